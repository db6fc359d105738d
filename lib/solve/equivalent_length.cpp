#include "solve/equivalent_length.hpp"

#include <utility>

#include "duct/straight.hpp"

namespace ductledger::solve {
namespace {

/// Friction of one metre [Pa].
double gradient_pa_m(const StraightDuct& duct, const SiteAir& air) {
  return duct::straight_loss({.section = duct.section,
                              .length = units::metres(1.0),
                              .roughness = units::metres(duct.roughness_m)},
                             units::cubic_metres_per_second(duct.airflow_m3_s),
                             {.density = units::kilograms_per_cubic_metre(air.density_kg_m3),
                              .viscosity = units::pascal_seconds(air.viscosity_pa_s)})
      .loss.value();
}

double velocity_pressure_pa(const StraightDuct& duct, const SiteAir& air) {
  const double velocity_m_s = duct.airflow_m3_s / duct.section.area_m2();
  return air.density_kg_m3 / 2.0 * velocity_m_s * velocity_m_s;
}

bool is_duct(const layout::Piece& piece) {
  return piece.kind == layout::PieceKind::straight || piece.kind == layout::PieceKind::flex;
}

duct::Section main_section(const layout::Run& run) {
  std::vector<std::pair<duct::Section, double>> lengths;
  for (const layout::Piece& piece : run.pieces) {
    if (!is_duct(piece)) {
      continue;
    }
    auto of_section = lengths.begin();
    while (of_section != lengths.end() && of_section->first != piece.upstream) {
      ++of_section;
    }
    if (of_section == lengths.end()) {
      of_section = lengths.insert(lengths.end(), {piece.upstream, 0.0});
    }
    of_section->second += piece.length_m.value_or(0.0);
  }
  std::pair<duct::Section, double> longest{run.first_section, 0.0};
  for (const auto& each : lengths) {
    longest = each.second > longest.second ? each : longest;
  }
  return longest.first;
}

}  // namespace

std::optional<EquivalentLength> equivalent_length(const layout::Layout& layout,
                                                  const CompiledRun& run,
                                                  double airflow_m3_s) {
  EquivalentLength found;
  found.airflow_m3_s = airflow_m3_s;
  found.section = main_section(layout.run);
  found.material = layout.run.material;
  found.gradient_pa_m =
      gradient_pa_m({found.section, layout.run.roughness_m, airflow_m3_s}, run.air);
  if (!(airflow_m3_s > 0.0) || !(found.gradient_pa_m > 0.0)) {
    return std::nullopt;
  }
  for (const CompiledPiece& piece : run.pieces) {
    found.pieces_m.push_back(run.loss.of(piece.loss, airflow_m3_s) / found.gradient_pa_m);
    found.total_m += found.pieces_m.back();
    if (piece.piece && is_duct(layout.run.pieces[*piece.piece])) {
      found.duct_m += piece.length_m;
    }
  }
  return found;
}

double length_of_coefficient(double coefficient, const StraightDuct& duct, const SiteAir& air) {
  return coefficient * velocity_pressure_pa(duct, air) / gradient_pa_m(duct, air);
}

double coefficient_of_length(double length_m, const StraightDuct& duct, const SiteAir& air) {
  return length_m * gradient_pa_m(duct, air) / velocity_pressure_pa(duct, air);
}

}  // namespace ductledger::solve
