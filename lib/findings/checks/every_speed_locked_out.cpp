#include <algorithm>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> every_speed_locked_out(const result::Case& subject) {
  const auto& required_m3_s = subject.layout->appliance.required_airflow_m3_s;
  const auto& fan = subject.layout->fan;
  if (!fan || fan->speeds.empty() ||
      !std::ranges::all_of(fan->speeds, &layout::Speed::locked_out)) {
    return {};
  }
  units::Message message{"every speed is locked out: the fan cannot run", {}};
  if (required_m3_s) {
    append(message, {", and {} required is delivered by none", {airflow(*required_m3_s)}});
  }
  Finding found = finding(
      kEverySpeedLockedOut,
      {.level = Level::warn, .message = std::move(message), .span = fan->speeds.front().span});
  if (required_m3_s) {
    found.limit = {{"required_airflow_m3_s", *required_m3_s}};
  }
  return {std::move(found)};
}

}  // namespace

const Check kEverySpeedLockedOut{
    .code = "every-speed-locked-out",
    .title = "every speed of the fan is locked out",
    .what = "a fan of which no speed may run",
    .why = "what a locked-out speed delivers is shown, and counts for nothing",
    .instead = "state the speed that the fan runs at, without `locked_out`",
    .source = "layout format",
    .check = every_speed_locked_out,
};

}  // namespace ductledger::findings
