#pragma once

#include "study/compare.hpp"

namespace ductledger::study {

/// A speed of a checked layout; its status is `found`.
struct SpeedOf {
  const CheckResult& check;
  const result::SpeedResult& speed;
};

/// Airflow of a less that of b, with the band of the difference, k = 2: errors of one identity
/// count once, so that what both runs share cancels.
///
/// First order where the bands of both speeds are, and where both runs solved again two standard
/// uncertainties along the steepest direction of the difference end within 15 % of it. Else the
/// quantiles of samples drawn for both together; a sample in which a run ends beyond its fan curve
/// counts from bound to bound, and there is no band where that leaves an end open. Where a fan is
/// known by two points the band spans its two shapes: the same one in both runs where the fan is
/// the same, else each with each. A house moves with
/// the airflow, and its errors are those of its figures, so that they cancel where both runs stand
/// in it.
[[nodiscard]] Difference difference(const SpeedOf& a, const SpeedOf& b);

/// Whether two layouts have one fan: speeds of one name have the same printed figures.
[[nodiscard]] bool same_fan(const layout::Layout& a, const layout::Layout& b);

}  // namespace ductledger::study
