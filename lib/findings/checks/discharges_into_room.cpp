#include <string>
#include <utility>

#include "base/text.hpp"
#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> discharging_into_room(const result::Case& subject) {
  if (!discharges_into_room(subject)) {
    return {};
  }
  const layout::ApplianceKind kind = subject.layout->appliance.kind;
  const layout::Layout& layout = *subject.layout;
  const bool hood = kind == layout::ApplianceKind::range_hood;
  const std::string fuel = layout.appliance.cooking
                               ? base::canonical_word(layout.appliance.cooking->fuel)
                               : std::string();
  const bool electric = fuel.find("electric") != std::string::npos || fuel == "induction";
  // What is made for it, over cooking that burns nothing, where other ventilation takes the
  // moisture: told, not warned of.
  const bool as_intended = hood && electric &&
                           layout.facts.yes_no("appliance.ductless").value_or(false) &&
                           layout.facts.yes_no("dwelling.other_ventilation").value_or(false);
  const bool burns = (hood && !electric) || kind == layout::ApplianceKind::exhaust;
  Finding found = finding(
      kDischargesIntoRoom,
      {.level = as_intended ? Level::note : Level::warn,
       .message = {burns ? "the air returns to the room: moisture and combustion products stay "
                           "inside"
                         : "the air returns to the room: moisture stays inside",
                   {}},
       .span = layout.run.span});
  if (kind == layout::ApplianceKind::bath_fan) {
    found.source =
        "International Residential Code, M1505.2 in recent editions: bath exhaust goes outdoors";
  } else if (kind == layout::ApplianceKind::clothes_dryer) {
    found.source = "International Residential Code, M1502.2: dryer exhaust goes outdoors";
    found.why = {"dryer air carries moisture and lint, and a gas dryer's combustion products", {}};
  }
  if (kind == layout::ApplianceKind::bath_fan) {
    found.why = {};
  }
  return {std::move(found)};
}

}  // namespace

const Check kDischargesIntoRoom{
    .code = "discharges-into-room",
    .title = "air goes back into the room",
    .what = "a run whose discharge is the room",
    .why = "a carbon filter holds odor, not water vapor or carbon monoxide",
    .instead =
        "a run to outdoors, or other ventilation that takes the moisture and combustion "
        "products away",
    .source = "common practice",
    .check = discharging_into_room,
};

}  // namespace ductledger::findings
