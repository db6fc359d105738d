#pragma once

#include "study/compare.hpp"

namespace ductledger::study {

/// A speed of a checked layout; its status is `found`.
struct SpeedOf {
  const CheckResult& check;
  const review::SpeedResult& speed;
};

/// Airflow of a less that of b, with the band of the difference: errors of one identity count once,
/// so that what both runs share cancels.
[[nodiscard]] Difference difference(const SpeedOf& a, const SpeedOf& b);

}  // namespace ductledger::study
