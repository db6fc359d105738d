#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> combustion_not_stated(const result::Case& subject) {
  if (subject.house == nullptr || subject.layout->house->combustion_stated ||
      discharges_into_room(subject)) {
    return {};
  }
  return {finding(
      kCombustionNotStated,
      {.level = Level::note,
       .message = {"combustion appliances in the house are not stated: its depressurization is "
                   "judged against no limit",
                   {}},
       .span = subject.layout->house->span})};
}

}  // namespace

const Check kCombustionNotStated{
    .code = "combustion-not-stated",
    .title = "no limit without the combustion appliances",
    .what = "a `house` without `combustion`; an empty list says that nothing burns inside",
    .why = "the limit follows from the appliance that is easiest to upset",
    .instead = "list them: `combustion: [{kind: natural-draft-water-heater}]`, or `[]`",
    .source = "common practice",
    .check = combustion_not_stated,
};

}  // namespace ductledger::findings
