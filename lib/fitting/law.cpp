#include "fitting/law.hpp"

#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/expects.hpp"
#include "units/constants.hpp"

namespace ductledger::fitting {
namespace {

struct LawRow {
  Law law;
  std::string_view name;
  std::vector<std::string> variables;
};

const std::vector<LawRow>& law_rows() {
  static const std::vector<LawRow> list{
      {Law::borda_carnot, "borda-carnot", {"area_ratio"}},
      {Law::contraction_power, "contraction-power", {"area_ratio"}},
      {Law::contraction_linear, "contraction-linear", {"area_ratio"}},
      {Law::expander_exponential, "expander-exponential", {"included_angle", "area_ratio"}},
      {Law::mitre_angle, "mitre-angle", {"angle"}},
      {Law::mitre_hyperbola, "mitre-hyperbola", {"angle"}},
      {Law::bend_radius_power, "bend-radius-power", {"radius_ratio"}},
      {Law::bend_angle, "bend-angle", {"angle"}},
      {Law::bend_angle_thirds, "bend-angle-thirds", {"angle"}},
      {Law::screen_round_wire, "screen-round-wire", {"free_area"}},
      {Law::grille_sharp_edged, "grille-sharp-edged", {"free_area"}},
      {Law::converging_junction, "converging-junction", {}},
      {Law::converging_tee_older, "converging-tee-older", {}},
      {Law::diverging_junction, "diverging-junction", {}},
      {Law::flexible_compression, "flexible-compression", {}},
  };
  return list;
}

const LawRow& row(Law law) {
  const auto index = static_cast<std::size_t>(law);
  DUCTLEDGER_EXPECTS(law_rows()[index].law == law);
  return law_rows()[index];
}

double degrees(double angle_rad) noexcept { return angle_rad / units::kRadPerDegree; }

double bend_angle(double angle_rad) noexcept {
  const double theta = degrees(angle_rad);
  const auto from_100 = [](double t) { return 0.7 + 0.35 * t / 90.0; };
  if (theta <= 70.0) {
    return 0.9 * std::sin(angle_rad);
  }
  // Printed to 70, at 90 and from 100 degrees; straight lines join the pieces.
  if (theta <= 90.0) {
    const double at_70 = 0.9 * std::sin(70.0 * units::kRadPerDegree);
    return at_70 + (1.0 - at_70) * (theta - 70.0) / 20.0;
  }
  if (theta <= 100.0) {
    return 1.0 + (from_100(100.0) - 1.0) * (theta - 90.0) / 10.0;
  }
  return from_100(theta);
}

}  // namespace

std::string_view name_of(Law law) noexcept { return row(law).name; }

const std::vector<std::string>& law_names() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> list;
    for (const LawRow& r : law_rows()) {
      list.emplace_back(r.name);
    }
    return list;
  }();
  return names;
}

std::optional<Law> law_named(std::string_view name) noexcept {
  for (const LawRow& r : law_rows()) {
    if (r.name == name) {
      return r.law;
    }
  }
  return std::nullopt;
}

const std::vector<std::string>& law_variables(Law law) { return row(law).variables; }

bool gives_coefficient(Law law) noexcept { return !row(law).variables.empty(); }

double law_value(Law law, const LawArguments& arguments) noexcept {
  const double x = arguments.first;
  switch (law) {
    case Law::borda_carnot:
      return std::pow(1.0 - 1.0 / x, 2);
    case Law::contraction_power:
      return 0.5 * std::pow(1.0 - 1.0 / x, 0.75);
    case Law::contraction_linear:
      return 0.5 * (1.0 - 1.0 / x);
    case Law::expander_exponential:
      return 0.9455 * (1.0 - std::exp(-0.0541 * degrees(x))) *
             std::pow(1.0 - 1.0 / arguments.second, 1.92);
    case Law::mitre_angle: {
      const double s2 = std::pow(std::sin(x / 2.0), 2);
      return 0.95 * s2 + 2.05 * s2 * s2;
    }
    case Law::mitre_hyperbola:
      return 0.95 + 33.5 / degrees(x);
    case Law::bend_radius_power:
      return 0.21 * std::pow(x, x <= 1.0 ? -2.5 : -0.5);
    case Law::bend_angle:
      return bend_angle(x);
    case Law::bend_angle_thirds:
      return degrees(x) / 90.0;
    case Law::screen_round_wire:
      return 1.3 * (1.0 - x) + std::pow(1.0 / x - 1.0, 2);
    case Law::grille_sharp_edged:
      return (0.5 * (1.0 - x) + 1.0 - x * x) / (x * x);
    case Law::converging_junction:
    case Law::converging_tee_older:
    case Law::diverging_junction:
    case Law::flexible_compression:
      break;
  }
  return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace ductledger::fitting
