#include "site/traverse.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "base/expects.hpp"

namespace ductledger::site {
namespace {

constexpr std::array kRound6{0.032, 0.135, 0.321, 0.679, 0.865, 0.968};
constexpr std::array kRound8{0.021, 0.117, 0.184, 0.345, 0.655, 0.816, 0.883, 0.979};
constexpr std::array kRound10{0.019, 0.077, 0.153, 0.217, 0.361, 0.639, 0.783, 0.847, 0.923, 0.981};
constexpr std::array kRectangular5{0.074, 0.288, 0.500, 0.712, 0.926};
constexpr std::array kRectangular6{0.061, 0.235, 0.437, 0.563, 0.765, 0.939};
constexpr std::array kRectangular7{0.053, 0.203, 0.366, 0.500, 0.634, 0.797, 0.947};

constexpr double kDiametersUpstream = 7.5;
constexpr double kGoodPlaneU = 0.03;
constexpr double kPoorPlaneU = 0.10;

}  // namespace

std::span<const double> traverse_places(duct::Shape shape, std::size_t count) {
  if (shape == duct::Shape::round) {
    switch (count) {
      case 6:
        return kRound6;
      case 8:
        return kRound8;
      case 10:
        return kRound10;
      default:
        return {};
    }
  }
  if (shape == duct::Shape::rectangular) {
    switch (count) {
      case 5:
        return kRectangular5;
      case 6:
        return kRectangular6;
      case 7:
        return kRectangular7;
      default:
        return {};
    }
  }
  return {};
}

TraverseAirflow traverse_airflow(const layout::Traverse& traverse, double density_kg_m3) {
  DUCTLEDGER_EXPECTS(density_kg_m3 > 0.0);
  double sum_m_s = 0.0;
  std::size_t count = 0;
  for (const std::vector<double>& line : traverse.velocity_pressure_pa) {
    for (const double velocity_pressure_pa : line) {
      sum_m_s += std::sqrt(2.0 * velocity_pressure_pa / density_kg_m3);
      ++count;
    }
  }
  DUCTLEDGER_EXPECTS(count > 0);
  TraverseAirflow out;
  const double area_m2 = traverse.section.area_m2();
  out.mean_velocity_m_s = sum_m_s / static_cast<double>(count);
  out.airflow_m3_s = out.mean_velocity_m_s * area_m2;
  const double diameter_m = std::sqrt(4.0 * area_m2 / std::numbers::pi);
  const bool good = traverse.straight_upstream_m &&
                    *traverse.straight_upstream_m >= kDiametersUpstream * diameter_m;
  out.plane = good ? Plane::good : Plane::poor;
  out.standard_uncertainty = good ? kGoodPlaneU : kPoorPlaneU;
  return out;
}

}  // namespace ductledger::site
