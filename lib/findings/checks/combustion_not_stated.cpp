#include <utility>

#include "findings/checks/list_internal.hpp"
#include "findings/house_words_internal.hpp"
#include "findings/worst_speed_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> combustion_not_stated(const result::Case& subject) {
  if (subject.house == nullptr || subject.layout->house->combustion_stated ||
      discharges_into_room(subject)) {
    return {};
  }
  Finding found = finding(kCombustionNotStated,
                          {.level = Level::note,
                           .message = {"combustion appliances in the house are not stated: its "
                                       "depressurization is judged against no limit",
                                       {}},
                           .span = subject.layout->house->span});
  // Left out, what burns must not look safer than stated: some appliance would be over its limit.
  const result::SpeedResult* speed = worst_speed(subject);
  const house::Limit strictest = house::strictest_limit();
  if (speed == nullptr || speed->house->band->high_pa <= strictest.pressure_pa) {
    return {std::move(found)};
  }
  found.level = Level::warn;
  found.message = {"combustion appliances in the house are not stated; ", {}};
  append(found.message, depressurization_words(*speed));
  append(found.message,
         {(speed->house->band->low_pa > strictest.pressure_pa ? ", over "
                                                              : ", not shown to stay within ") +
              limit_words(strictest) + ", were there one",
          {}});
  found.observed = {{"depressurisation_pa", speed->house->judged_depressurisation_pa}};
  found.limit = {{"depressurisation_pa", strictest.pressure_pa}};
  found.source = sources_of(strictest);
  return {std::move(found)};
}

}  // namespace

const Check kCombustionNotStated{
    .code = "combustion-not-stated",
    .title = "no limit without the combustion appliances",
    .what =
        "a `house` without `combustion`; an empty list says that nothing burns inside; a warning "
        "where the top of the suction's band is over the strictest limit, of a natural-draft water "
        "heater",
    .why = "the limit follows from the appliance that is easiest to upset",
    .instead = "list them: `combustion: [{kind: natural-draft-water-heater}]`, or `[]`",
    .source = "common practice",
    .check = combustion_not_stated,
};

}  // namespace ductledger::findings
