#include <algorithm>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> upkeep_screen_clogs(const result::Case& subject) {
  const layout::Layout& layout = *subject.layout;
  const bool dryer = layout.appliance.kind == layout::ApplianceKind::clothes_dryer;
  if (discharges_into_room(subject) || (!dryer && !is_range_hood(subject))) {
    return {};
  }
  const auto& pieces = layout.run.pieces;
  const auto mesh = std::find_if(pieces.begin(), pieces.end(), [](const layout::Piece& piece) {
    return piece.kind == layout::PieceKind::screen;
  });
  const layout::StatedFact* stated = layout.facts.find("run.termination.screen");
  if (mesh == pieces.end() && (stated == nullptr || !stated->yes)) {
    return {};
  }
  Finding found =
      finding(kUpkeepScreenClogs,
              {.level = dryer ? Level::warn : Level::note,
               .message = {dryer ? "a screen in a dryer's outlet catches lint until nothing passes"
                                 : "a screen in a hood's outlet clogs with grease",
                           {}},
               .span = mesh == pieces.end() ? stated->span : mesh->span});
  if (dryer) {
    found.source = "International Residential Code, M1502.3: no screen at a dryer's outlet";
    found.remedy = {"take the screen out; a flap keeps animals out", {}};
  }
  return {std::move(found)};
}

}  // namespace

const Check kUpkeepScreenClogs{
    .code = "upkeep-screen-clogs",
    .title = "a screen in the outlet clogs",
    .what = "a `screen` piece or `run.termination.screen: yes` in a hood's or dryer's run",
    .why = "grease or lint on the mesh takes airflow away, and lint burns",
    .instead = "a mesh of 1/4 to 1/2 in that comes off for washing, and a date to wash it",
    .source = "common practice",
    .check = upkeep_screen_clogs,
};

}  // namespace ductledger::findings
