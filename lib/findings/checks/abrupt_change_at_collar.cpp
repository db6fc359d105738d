#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> abrupt_change_at_collar(const result::Case& subject) {
  const layout::Layout& layout = *subject.layout;
  if (!layout.run.changes_at_collar || !layout.appliance.collar) {
    return {};
  }
  units::Message message{"the run begins at ", {}};
  append(message, section_words(layout.run.first_section));
  append(message, {", the collar is ", {}});
  append(message, section_words(*layout.appliance.collar));
  append(message, {", and no transition is stated: charged as an abrupt change", {}});
  Finding found = finding(
      kAbruptChangeAtCollar,
      {.level = Level::warn, .message = std::move(message), .span = layout.run.section_span});
  found.observed = {{"area_m2", layout.run.first_section.area_m2()}};
  found.limit = {{"area_m2", layout.appliance.collar->area_m2()}};
  return {std::move(found)};
}

}  // namespace

const Check kAbruptChangeAtCollar{
    .code = "abrupt-change-at-collar",
    .title = "section unlike the collar without a transition",
    .what =
        "a run whose first section differs from the collar and that does not begin with a"
        " transition",
    .why = "it is charged as an abrupt change, row 0 of the ledger",
    .instead = "state the transition that is there, or use one",
    .source = "common practice",
    .check = abrupt_change_at_collar,
};

}  // namespace ductledger::findings
