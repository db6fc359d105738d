#pragma once

#include "units/quantity.hpp"

namespace ductledger::air {

/// Air as the duct calculation needs it.
struct Air {
  units::Density density;
  units::Viscosity viscosity;
};

struct MoistState {
  units::Temperature temperature;        ///< 173 to 473 K
  double relative_humidity = 0.0;        ///< [1] 0 to 1
  units::AbsolutePressure pressure;
};

/// 101325 (1 - 2.25577e-5 z)^5.25588 Pa. @param elevation -500 to 11000 m. @source us-standard-1976
[[nodiscard]] units::AbsolutePressure pressure_at(units::Length elevation);

/// Saturation pressure of water vapour, over ice below 0 degC [Pa]. @source hyland-wexler-1983
[[nodiscard]] double saturation_pressure_pa(units::Temperature temperature);

/// Ideal moist gas, Ra = 287.042 J/(kg K), water/dry-air molar mass ratio 0.621945.
[[nodiscard]] units::Density moist_density(const MoistState& state);

/// 1.458e-6 T^1.5 / (T + 110.4) Pa s. @source us-standard-1976 (Sutherland)
[[nodiscard]] units::Viscosity sutherland_viscosity(units::Temperature temperature);

[[nodiscard]] Air moist_air(const MoistState& state);

/// Dew point of moist air; for a completely dry one the lowest temperature of the range.
[[nodiscard]] units::Temperature dew_point(const MoistState& state);

/// Standard air: 1.20138 kg/m3, viscosity of 70 degF (21.11 degC) by Sutherland.
[[nodiscard]] Air standard_air();

}  // namespace ductledger::air
