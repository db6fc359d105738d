#include "air/air.hpp"

#include <cmath>

#include "base/expects.hpp"
#include "numeric/root.hpp"
#include "units/constants.hpp"

namespace ductledger::air {
namespace {

constexpr double kGasConstantDryAir = 287.042;  // J/(kg K); source: ashrae-psychrometrics
constexpr double kMolarMassRatio = 0.621945;    // water over dry air; source: ashrae-psychrometrics
constexpr double kLowestK = 173.15;
constexpr double kHighestK = 473.15;

bool is_in_range(units::Temperature temperature) {
  return temperature.value() >= kLowestK && temperature.value() <= kHighestK;
}

/// ln of the saturation pressure in Pa. Source: hyland-wexler-1983, over ice 173.15 to 273.15 K,
/// over liquid water 273.15 to 473.15 K; coefficients as in ashrae-psychrometrics.
double log_saturation(double temperature_k) {
  const double t = temperature_k;
  if (t < units::kIcePointK) {
    return -5.6745359e3 / t + 6.3925247 +
           t * (-9.6778430e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 + t * -9.4840240e-13))) +
           4.1635019 * std::log(t);
  }
  return -5.8002206e3 / t + 1.3914993 +
         t * (-4.8640239e-2 + t * (4.1764768e-5 + t * -1.4452093e-8)) + 6.5459673 * std::log(t);
}

}  // namespace

units::AbsolutePressure pressure_at(units::Length elevation) {
  const double elevation_m = elevation.value();
  DUCTLEDGER_EXPECTS(elevation_m >= -500.0 && elevation_m <= 11000.0);
  return units::AbsolutePressure(units::pascals(units::kStandardPressurePa *
                                                std::pow(1.0 - 2.25577e-5 * elevation_m, 5.25588)));
}

double saturation_pressure_pa(units::Temperature temperature) {
  DUCTLEDGER_EXPECTS(is_in_range(temperature));
  return std::exp(log_saturation(temperature.value()));
}

double vapour_pressure_pa(const MoistState& state) {
  DUCTLEDGER_EXPECTS(state.relative_humidity >= 0.0 && state.relative_humidity <= 1.0);
  return state.relative_humidity * saturation_pressure_pa(state.temperature);
}

units::Density moist_density(const MoistState& state) {
  const double vapour_pa = vapour_pressure_pa(state);
  const double dry_air_pa = state.pressure.value() - vapour_pa;
  DUCTLEDGER_EXPECTS(dry_air_pa > 0.0);
  return units::Density::from_value((dry_air_pa + kMolarMassRatio * vapour_pa) /
                                    (kGasConstantDryAir * state.temperature.value()));
}

units::Viscosity sutherland_viscosity(units::Temperature temperature) {
  DUCTLEDGER_EXPECTS(is_in_range(temperature));
  const double t = temperature.value();
  return units::pascal_seconds(1.458e-6 * t * std::sqrt(t) / (t + 110.4));
}

Air moist_air(const MoistState& state) {
  return {.density = moist_density(state), .viscosity = sutherland_viscosity(state.temperature)};
}

units::Temperature dew_point(const MoistState& state) {
  const double vapour_pa = vapour_pressure_pa(state);
  if (vapour_pa <= saturation_pressure_pa(units::kelvin(kLowestK))) {
    return units::kelvin(kLowestK);
  }
  if (state.relative_humidity == 1.0) {
    return state.temperature;
  }
  const double log_vapour = std::log(vapour_pa);
  const numeric::RootResult result =
      numeric::find_root([&](double t) { return log_saturation(t) - log_vapour; },
                         {.low = kLowestK, .high = state.temperature.value()},
                         {.width_absolute = 1e-9});
  DUCTLEDGER_EXPECTS(result.status == numeric::RootStatus::converged);
  return units::kelvin(result.root);
}

Air standard_air() {
  return {.density = units::Density::from_value(units::kStandardDensityKgM3),
          .viscosity = sutherland_viscosity(units::fahrenheit(70.0))};
}

}  // namespace ductledger::air
