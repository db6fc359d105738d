#include <algorithm>
#include <array>

#include "rules/judge_internal.hpp"

namespace ductledger::rules {

std::span<const RuleCheck> rule_checks() {
  static const std::array kAll{kMakeupAirThreshold,
                               kMakeupAirRate,
                               kPrescriptiveLength,
                               kDryerLength,
                               kExhaustRate,
                               kNetExhaust,
                               kDepressurisation,
                               kWholeDwellingRate};
  return kAll;
}

const RuleCheck* find_rule_check(std::string_view name) {
  const auto all = rule_checks();
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const RuleCheck& one) { return name == one.name; });
  return found == all.end() ? nullptr : &*found;
}

}  // namespace ductledger::rules
