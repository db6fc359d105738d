#pragma once

#include "result/case.hpp"

namespace ductledger::findings {

/// The speed that can run and draws the house down furthest, as far as is known.
[[nodiscard]] inline const result::SpeedResult* worst_speed(const result::Case& subject) {
  const result::SpeedResult* worst = nullptr;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.locked_out || !speed.house || !speed.house->coupled || !speed.house->band) {
      continue;
    }
    if (worst == nullptr ||
        speed.house->judged_depressurisation_pa > worst->house->judged_depressurisation_pa) {
      worst = &speed;
    }
  }
  return worst;
}

}  // namespace ductledger::findings
