#pragma once

#include <numbers>

/// Conversion and physical constants: each exact, or with its source. Everything that converts or
/// needs one of them takes it from here.
namespace ductledger::units {

inline constexpr double kMetresPerInch = 0.0254;    // exact
inline constexpr double kMetresPerFoot = 0.3048;    // exact
inline constexpr double kMetresPerMile = 1609.344;  // exact
inline constexpr double kSquareInch_m2 = kMetresPerInch * kMetresPerInch;
inline constexpr double kSquareFoot_m2 = kMetresPerFoot * kMetresPerFoot;
inline constexpr double kCubicMetresPerCubicFoot = 0.028316846592;  // exact, 0.3048^3
inline constexpr double kM3SPerCfm = kCubicMetresPerCubicFoot / 60.0;
inline constexpr double kM_SPerFpm = kMetresPerFoot / 60.0;
/// Conventional inch of water (water at 4 degC, 1000 kg/m3, g = 9.80665).
inline constexpr double kPascalPerInchWater = 249.08891;
inline constexpr double kKilogramsPerPound = 0.45359237;  // exact
inline constexpr double kKgM3PerLbFt3 = kKilogramsPerPound / kCubicMetresPerCubicFoot;
inline constexpr double kGravityM_S2 = 9.80665;          // standard gravity, exact
inline constexpr double kStandardDensityKgM3 = 1.20138;  // 0.075 lb/ft3
/// Of that air at 70 degF, by Sutherland's law; for tables printed against velocity.
inline constexpr double kStandardViscosityPaS = 1.819e-5;
inline constexpr double kStandardPressurePa = 101325.0;  // standard atmosphere, exact
inline constexpr double kIcePointK = 273.15;             // exact
inline constexpr double kKelvinPerFahrenheit = 1.0 / 1.8;
inline constexpr double kZeroFahrenheitK = kIcePointK - 32.0 / 1.8;
inline constexpr double kJoulesPerBtu = 1055.05585262;  // International Table, exact
/// 1 h ft2 degF/Btu in m2 K/W.
inline constexpr double kM2KPerWPerR = 3600.0 * kSquareFoot_m2 / (1.8 * kJoulesPerBtu);
inline constexpr double kRadPerDegree = std::numbers::pi / 180.0;

}  // namespace ductledger::units
