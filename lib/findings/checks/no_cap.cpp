#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> no_cap(const result::Case& subject) {
  const layout::Run& run = subject.layout->run;
  if (discharges_into_room(subject) || run.pieces.empty() ||
      run.pieces.back().kind == layout::PieceKind::fan) {
    return {};
  }
  for (const layout::Piece& piece : run.pieces) {
    if (piece.kind == layout::PieceKind::cap) {
      return {};
    }
  }
  return {finding(kNoCap,
                  {.level = Level::warn,
                   .message = {"the run ends without a cap; an open end is charged", {}},
                   .span = run.pieces.back().span})};
}

}  // namespace

const Check kNoCap{
    .code = "no-cap",
    .title = "run to outdoors without a cap",
    .what = "a run to outdoors without a cap whose last piece is not the fan",
    .why = "an open end lets in rain, animals and wind; it is charged as a plain exit",
    .instead = "end the run in a wall or roof cap",
    .source = "common practice",
    .check = no_cap,
};

}  // namespace ductledger::findings
