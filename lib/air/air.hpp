#pragma once

#include "units/quantity.hpp"

/// Density and viscosity of the air in the duct. Temperatures outside 173.15 to 473.15 K, relative
/// humidities outside 0 to 1 and elevations outside the stated range break the contract.
namespace ductledger::air {

/// Air as the duct calculation needs it.
struct Air {
  units::Density density;
  units::Viscosity viscosity;
};

struct MoistState {
  units::Temperature temperature;    ///< 173.15 to 473.15 K
  double relative_humidity = 0.0;    ///< [1] 0 to 1
  units::AbsolutePressure pressure;  ///< above the vapour pressure
};

/// Pressure of the standard atmosphere, 101325 (1 - 2.25577e-5 z)^5.25588 [Pa].
/// @param elevation [m] -500 to 11000
/// @source us-standard-1976
[[nodiscard]] units::AbsolutePressure pressure_at(units::Length elevation);

/// Saturation pressure of water vapour [Pa], over ice below 0 degC.
/// @param temperature [K] 173.15 to 473.15
/// @source hyland-wexler-1983
[[nodiscard]] double saturation_pressure_pa(units::Temperature temperature);

/// Partial pressure of the water vapour, relative humidity times saturation [Pa]. A state holds air
/// at all only while this is below its pressure.
/// @param state [K, 1] temperature 173.15 to 473.15, humidity 0 to 1; its pressure is not used
/// @source hyland-wexler-1983
[[nodiscard]] double vapour_pressure_pa(const MoistState& state);

/// Density of ideal moist gas, (p - pw + 0.621945 pw) / (Ra T) with Ra = 287.042 J/(kg K) [kg/m3].
/// @param state [K, 1, Pa] ranges as in MoistState
/// @source ashrae-psychrometrics
[[nodiscard]] units::Density moist_density(const MoistState& state);

/// 1.458e-6 T^1.5 / (T + 110.4) [Pa s]; humidity is left out (below 1 % at duct conditions).
/// @param temperature [K] 173.15 to 473.15
/// @source us-standard-1976 (Sutherland)
[[nodiscard]] units::Viscosity sutherland_viscosity(units::Temperature temperature);

/// Density and viscosity together [kg/m3, Pa s]. @param state ranges as in MoistState
/// @source ashrae-psychrometrics; us-standard-1976
[[nodiscard]] Air moist_air(const MoistState& state);

/// Dew point of moist air (frost point below 0 degC) [K]; for air drier than saturation at 173.15 K
/// that lowest temperature.
/// @param state [K, 1] temperature 173.15 to 473.15, humidity 0 to 1; its pressure is not used
/// @source hyland-wexler-1983
[[nodiscard]] units::Temperature dew_point(const MoistState& state);

/// Standard air: 1.20138 kg/m3 (0.075 lb/ft3), viscosity of 70 degF (21.11 degC) by Sutherland.
/// @source ashrae-psychrometrics; us-standard-1976
[[nodiscard]] Air standard_air();

}  // namespace ductledger::air
