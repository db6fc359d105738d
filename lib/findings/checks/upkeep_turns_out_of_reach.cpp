#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

[[nodiscard]] bool closed_in(const layout::Piece& piece) {
  static constexpr std::array<const char*, 6> kPlaces{
      "stud-bay", "joist-bay", "chase", "ceiling", "attic", "crawl-space"};
  return std::find(kPlaces.begin(), kPlaces.end(), piece.around().through) != kPlaces.end();
}

std::vector<Finding> upkeep_turns_out_of_reach(const result::Case& subject) {
  const layout::Layout& layout = *subject.layout;
  const bool dryer = layout.appliance.kind == layout::ApplianceKind::clothes_dryer;
  if ((!dryer && !is_range_hood(subject)) || discharges_into_room(subject)) {
    return {};
  }
  const layout::StatedFact* access = layout.facts.find("run.access_at_turns");
  if (access != nullptr && access->yes) {
    return {};
  }
  const auto& pieces = layout.run.pieces;
  const bool hidden = layout.facts.yes_no("run.concealed").value_or(false) ||
                      std::any_of(pieces.begin(), pieces.end(), closed_in);
  const auto elbow = std::find_if(pieces.begin(), pieces.end(), [](const layout::Piece& piece) {
    return piece.kind == layout::PieceKind::elbow;
  });
  if (elbow == pieces.end() || (!hidden && access == nullptr)) {
    return {};
  }
  return {
      finding(kUpkeepTurnsOutOfReach,
              {.level = Level::note,
               .message = {access == nullptr ? "concealed elbows have no stated cleanout"
                                             : "concealed elbows cannot be reached for cleaning",
                           {}},
               .span = access == nullptr ? elbow->span : access->span})};
}

}  // namespace

const Check kUpkeepTurnsOutOfReach{
    .code = "upkeep-turns-out-of-reach",
    .title = "elbows that cannot be reached for cleaning",
    .what =
        "a hood's or dryer's run with an elbow, closed in or through a cavity, without "
        "`run.access_at_turns: yes`",
    .why = "grease and lint settle where the air turns, and both burn",
    .instead = "a cleanout with a tight cover at each elbow, then state `access_at_turns: yes`",
    .source = "common practice",
    .check = upkeep_turns_out_of_reach,
};

}  // namespace ductledger::findings
