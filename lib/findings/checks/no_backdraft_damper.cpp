#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "layout/catalogue_query.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> no_backdraft_damper(const result::Case& subject) {
  const layout::Appliance& appliance = subject.layout->appliance;
  if (discharges_into_room(subject) || appliance.includes_damper) {
    return {};
  }
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = piece_of(subject, piece);
    if (stated != nullptr && layout::traits_of(*stated, *subject.catalogue).shuts_by_itself()) {
      return {};
    }
  }
  if (subject.layout->facts.yes_no("run.termination.damper").value_or(false)) {
    return {};
  }
  const bool dryer = appliance.kind == layout::ApplianceKind::clothes_dryer;
  Finding found = finding(
      kNoBackdraftDamper,
      {.level = is_range_hood(subject) || dryer ? Level::warn : Level::note,
       .message = {appliance.includes_stated ? "no backdraft damper in the run or the appliance"
                                             : "no backdraft damper stated anywhere",
                   {}},
       .span = subject.layout->run.span});
  if (is_range_hood(subject)) {
    found.source =
        "International Residential Code, M1503.3 in recent editions: hood duct with a backdraft "
        "damper";
  } else if (dryer) {
    found.source = "International Residential Code, M1502.3: dryer exhaust with a backdraft damper";
  }
  return {std::move(found)};
}

}  // namespace

const Check kNoBackdraftDamper{
    .code = "no-backdraft-damper",
    .title = "no backdraft damper anywhere",
    .what =
        "a run to outdoors without a cap with a flap, a damper piece that shuts by "
        "itself, `run.termination.damper: yes`, or `includes: [damper]`; a butterfly damper is set "
        "by hand and does not count",
    .why = "without one, outdoor air comes back through the duct when the fan is off",
    .instead =
        "a backdraft damper at the collar or a cap with a flap; where the appliance holds"
        " one, state `includes: [damper]`",
    .source = "common practice",
    .check = no_backdraft_damper,
};

}  // namespace ductledger::findings
