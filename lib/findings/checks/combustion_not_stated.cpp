#include <fmt/format.h>

#include <utility>

#include "findings/checks/list_internal.hpp"
#include "findings/worst_speed_internal.hpp"
#include "house/limits.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> combustion_not_stated(const result::Case& subject) {
  if (subject.house == nullptr || subject.layout->house->combustion_stated ||
      discharges_into_room(subject)) {
    return {};
  }
  units::Message message{
      "combustion appliances in the house are not stated: its depressurization is judged against "
      "no "
      "limit",
      {}};
  // Left out, what burns must not look safer than stated: some appliance would be over its limit.
  const result::SpeedResult* speed = worst_speed(subject);
  const double strictest_pa = house::strictest_limit_pa();
  const bool would_fail = speed != nullptr && speed->house->band->high_pa > strictest_pa;
  if (would_fail) {
    const house::SpeedHouse& at = *speed->house;
    append(
        message,
        {fmt::format(", and at {} it is {:.1f} Pa ({:.1f} to {:.1f}); the strictest limit, beside "
                     "an appliance with a natural draft, is {:g} Pa",
                     spoken(*speed),
                     at.judged_depressurisation_pa,
                     at.band->low_pa,
                     at.band->high_pa,
                     strictest_pa),
         {}});
  }
  return {finding(kCombustionNotStated,
                  {.level = would_fail ? Level::warn : Level::note,
                   .message = std::move(message),
                   .span = subject.layout->house->span})};
}

}  // namespace

const Check kCombustionNotStated{
    .code = "combustion-not-stated",
    .title = "no limit without the combustion appliances",
    .what =
        "a `house` without `combustion`; an empty list says that nothing burns inside; a warning "
        "where the top of the suction's band is over the strictest limit there is",
    .why = "the limit follows from the appliance that is easiest to upset",
    .instead = "list them: `combustion: [{kind: natural-draft-water-heater}]`, or `[]`",
    .source = "common practice",
    .check = combustion_not_stated,
};

}  // namespace ductledger::findings
