#include <array>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "layout/facts.hpp"

namespace ductledger::findings {
namespace {

struct Place {
  const char* word;
  Level level;
  const char* said;
};
constexpr std::array<Place, 6> kPlaces{{
    {"attic", Level::fail, "the run ends in the attic"},
    {"crawl-space", Level::fail, "the run ends in the crawl space"},
    {"garage", Level::fail, "the run ends in the garage"},
    {"inside", Level::fail, "the run ends inside the building"},
    {"soffit", Level::warn, "the run ends in a soffit"},
    {"ridge-vent", Level::warn, "the run ends in a ridge vent"},
}};

std::vector<Finding> outlet_in_closed_space(const result::Case& subject) {
  const layout::StatedFact* stated = subject.layout->facts.find("run.termination.place");
  if (stated == nullptr) {
    return {};
  }
  const layout::StatedFact* ductless = subject.layout->facts.find("appliance.ductless");
  const bool returns = discharges_into_room(subject) || (ductless != nullptr && ductless->yes);
  const std::string& word = stated->word();
  for (const Place& place : kPlaces) {
    if (word != place.word || (word == "inside" && returns)) {
      continue;
    }
    Finding found = finding(kOutletInClosedSpace,
                            {.level = place.level,
                             .message = {std::string(place.said) + ", not outdoors", {}},
                             .span = stated->span});
    if (place.level == Level::warn) {
      found.message = {std::string(place.said) + ": its air can be drawn back into the attic", {}};
    }
    return {std::move(found)};
  }
  return {};
}

}  // namespace

const Check kOutletInClosedSpace{
    .code = "outlet-in-closed-space",
    .title = "the air ends inside the building",
    .what = "the place where the run ends, as `run.termination.place` states it",
    .why = "grease, lint and moisture collect there, burn or rot, and combustion products return",
    .instead = "a run to a wall or roof cap outdoors",
    .source = "International Residential Code, M1501.1 in recent editions: exhaust goes outdoors",
    .check = outlet_in_closed_space,
};

}  // namespace ductledger::findings
