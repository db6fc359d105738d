#pragma once

#include "study/check.hpp"

namespace ductledger::study {

/// A calculated layout as findings and rules look at it. Both have to outlive it.
[[nodiscard]] inline result::Case as_case(const CheckResult& result,
                                          const fitting::Catalogue& catalogue) {
  return {.layout = &result.layout,
          .catalogue = &catalogue,
          .run = &result.run,
          .house = result.layout.house ? &result.house : nullptr,
          .speeds = result.speeds,
          .headline = result.headline};
}

}  // namespace ductledger::study
