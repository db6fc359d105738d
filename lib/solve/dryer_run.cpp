#include "solve/dryer_run.hpp"

#include <cmath>
#include <string>

#include "fitting/dryer_length.hpp"

namespace ductledger::solve {
namespace {

using layout::PieceKind;

}  // namespace

duct::Section dryer_table_section() {
  return duct::Section::round(units::metres(fitting::dryer_table().diameter_m));
}

std::optional<DryerRun> dryer_run(const layout::Layout& layout, const CompiledRun& run) {
  if (layout.appliance.kind != layout::ApplianceKind::clothes_dryer) {
    return std::nullopt;
  }
  const fitting::DryerTable& table = fitting::dryer_table();
  DryerRun found;
  found.greatest_length_m = table.greatest_length_m;
  bool begun = false;
  for (const CompiledPiece& entry : run.pieces) {
    if (!entry.piece) {
      continue;
    }
    const layout::Piece& piece = layout.run.pieces[*entry.piece];
    if (piece.kind == PieceKind::flex && !begun) {
      found.transition_duct_m += entry.length_m;
      continue;
    }
    begun = true;
    const bool duct = piece.kind == PieceKind::straight || piece.kind == PieceKind::flex;
    if (duct) {
      found.duct_m += entry.length_m;
    }
    if (duct || piece.kind == PieceKind::elbow) {
      constexpr double kSameM = 0.002;
      found.other_size = found.other_size || piece.upstream.shape() != duct::Shape::round ||
                         std::abs(piece.upstream.width_m() - table.diameter_m) > kSameM;
    }
    if (piece.kind != PieceKind::elbow) {
      continue;
    }
    const auto& elbow = piece.as<layout::Elbow>();
    // What a stated loss is of is not known, and a code's allowance rests on no usual radius: the
    // longest is counted.
    const auto make = piece.known_type().empty() ? std::nullopt : elbow.make;
    const bool smooth = make == fitting::Make::smooth;
    const double radius_m =
        piece.states("radius_ratio") ? *elbow.radius_ratio * piece.upstream.width_m() : 0.0;
    const fitting::DryerAllowance allowance = fitting::dryer_allowance(
        {.make = smooth ? fitting::DryerMake::smooth : fitting::DryerMake::mitered,
         .radius_m = smooth                           ? radius_m
                     : make == fitting::Make::mitered ? table.diameter_m
                                                      : 0.0,
         .angle_rad = elbow.angle_rad});
    found.elbows.push_back(
        {.piece = *entry.piece, .length_m = allowance.length_m, .listed = allowance.listed});
    found.elbows_m += allowance.length_m;
  }
  found.total_m = found.duct_m + found.elbows_m;
  return found;
}

}  // namespace ductledger::solve
