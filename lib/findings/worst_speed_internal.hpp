#pragma once

#include <utility>

#include "result/case.hpp"

namespace ductledger::findings {

/// The speed that can run and draws the house down furthest, as far as is known: one that is over
/// the limit for sure goes before one of which only its rated airflow is known.
[[nodiscard]] inline const result::SpeedResult* worst_speed(const result::Case& subject) {
  const result::SpeedResult* worst = nullptr;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.locked_out || !speed.house || !speed.house->coupled || !speed.house->band) {
      continue;
    }
    const auto rank = [](const result::SpeedResult& of) {
      return std::pair(of.house->verdict == house::Verdict::not_met,
                       of.house->judged_depressurisation_pa);
    };
    if (worst == nullptr || rank(speed) > rank(*worst)) {
      worst = &speed;
    }
  }
  return worst;
}

}  // namespace ductledger::findings
