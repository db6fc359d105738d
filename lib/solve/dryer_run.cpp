#include "solve/dryer_run.hpp"

#include <cmath>
#include <string>

#include "fitting/dryer_length.hpp"

namespace ductledger::solve {
namespace {

using layout::PieceKind;

double radius_m(const layout::Piece& piece,
                const std::string& type,
                const fitting::Catalogue& catalogue) {
  const auto stated = piece.parameters.find("radius_ratio");
  if (stated != piece.parameters.end()) {
    return stated->second * piece.upstream.width_m();
  }
  for (const auto& parameter : catalogue.parameters(fitting::Kind::elbow, type)) {
    if (parameter.name == "radius_ratio" && parameter.default_value) {
      return *parameter.default_value * piece.upstream.width_m();
    }
  }
  return 0.0;
}

}  // namespace

duct::Section dryer_table_section() {
  return duct::Section::round(units::metres(fitting::dryer_table().diameter_m));
}

std::optional<DryerRun> dryer_run(const layout::Layout& layout,
                                  const CompiledRun& run,
                                  const fitting::Catalogue& catalogue) {
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
    const std::string type = entry.fitting ? entry.fitting->type : piece.type;
    const fitting::Traits traits = catalogue.traits(fitting::Kind::elbow, type);
    const bool smooth = traits.is(fitting::Make::smooth);
    const fitting::DryerAllowance allowance = fitting::dryer_allowance(
        {.make = smooth ? fitting::DryerMake::smooth : fitting::DryerMake::mitered,
         .radius_m = smooth                              ? radius_m(piece, type, catalogue)
                     : traits.is(fitting::Make::mitered) ? table.diameter_m
                                                         : 0.0,
         .angle_rad = piece.angle_rad});
    found.elbows.push_back(
        {.piece = *entry.piece, .length_m = allowance.length_m, .listed = allowance.listed});
    found.elbows_m += allowance.length_m;
  }
  found.total_m = found.duct_m + found.elbows_m;
  return found;
}

}  // namespace ductledger::solve
