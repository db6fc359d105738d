#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> check(const result::Case& subject) {
  if (!discharges_into_room(subject)) {
    return {};
  }
  const layout::ApplianceKind kind = subject.layout->appliance.kind;
  const bool hood = kind == layout::ApplianceKind::range_hood;
  Finding found = finding(
      kDischargesIntoRoom,
      {.level = Level::warn,
       .message = {hood || kind == layout::ApplianceKind::exhaust
                       ? "the air returns to the room: moisture and combustion products stay inside"
                       : "the air returns to the room: moisture stays inside",
                   {}},
       .span = subject.layout->run.span});
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
    .why = "a carbon filter holds odor, not water vapour or carbon monoxide",
    .instead =
        "a run to outdoors, or other ventilation that takes the moisture and combustion "
        "products away",
    .source = "common practice",
    .check = check,
};

}  // namespace ductledger::findings
