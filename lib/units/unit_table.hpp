#pragma once

#include <algorithm>
#include <array>
#include <string_view>

#include "units/constants.hpp"

/// The dimensions and units that ductledger knows: reading, showing, messages, the keys of the JSON
/// documents and the lists in the docs all take them from this file, and from nowhere else.
/// A new unit is a row in `kUnits`; a new dimension a word in `Dimension`, a row in `kDimensions`
/// and its units.
namespace ductledger::units {

enum class System {
  ip,
  si,
  si_by_hour,  ///< SI with airflows in m3/h
};

enum class Dimension {
  number,
  ratio,
  length,
  area,
  airflow,
  pressure,
  velocity,
  temperature,  ///< a point on the scale
  density,
  viscosity,
  angle,
  thermal_resistance,  ///< `R-8`, as the trade writes it
  volume,
  current,
  voltage,
  mass_per_area,
};

/// How the number of a dimension is rounded for people.
enum class Rounding {
  decimals,        ///< to the decimals of its system
  small_decimals,  ///< the same, and one decimal below ten: 4.7 cfm is not 5
  figures,         ///< to three figures: numbers without a fixed size
};

/// What a dimension is shown in.
struct Shown {
  std::string_view unit;  ///< a name in `kUnits`; none for a bare number
  int decimals = 0;
};

struct DimensionRow {
  Dimension dimension;
  std::string_view name;        ///< with its article, for messages
  std::string_view si_unit;     ///< what values inside the program are in
  std::string_view key_suffix;  ///< ends the keys of JSON documents
  Shown ip;
  Shown si;
  Rounding rounding = Rounding::decimals;
  Shown by_hour = {};  ///< with `si_by_hour`, where that differs from `si`
};

namespace table {
using D = Dimension;
using R = Rounding;
}  // namespace table

// clang-format off
inline constexpr auto kDimensions = std::to_array<DimensionRow>({
    {table::D::number, "a plain number", "", "", {"", 2}, {"", 2}, table::R::figures},
    {table::D::ratio, "a percentage", "", "", {"%", 0}, {"%", 0}},
    {table::D::length, "a length", "m", "_m", {"ft", 2}, {"m", 2}},
    {table::D::area, "an area", "m2", "_m2", {"in2", 1}, {"cm2", 0}},
    {table::D::airflow, "an airflow", "m3/s", "_m3_s", {"cfm", 0}, {"L/s", 0}, table::R::small_decimals, {"m3/h", 0}},
    {table::D::pressure, "a pressure", "Pa", "_pa", {"inH2O", 3}, {"Pa", 1}},
    {table::D::velocity, "a velocity", "m/s", "_m_s", {"fpm", 0}, {"m/s", 1}},
    {table::D::temperature, "a temperature", "K", "_k", {"degF", 0}, {"degC", 0}},
    {table::D::density, "a density", "kg/m3", "_kg_m3", {"lb/ft3", 4}, {"kg/m3", 3}},
    {table::D::viscosity, "a viscosity", "Pa.s", "_pa_s", {"Pa.s", 0}, {"Pa.s", 0}, table::R::figures},
    {table::D::angle, "an angle", "rad", "_rad", {"deg", 0}, {"deg", 0}},
    {table::D::thermal_resistance, "an insulation value", "m2 K/W", "_m2_k_w", {"h ft2 degF/Btu", 1}, {"m2 K/W", 2}},
    {table::D::volume, "a volume", "m3", "_m3", {"ft3", 0}, {"m3", 1}},
    {table::D::current, "a current", "A", "_a", {"A", 0}, {"A", 0}},
    {table::D::voltage, "a voltage", "V", "_v", {"V", 0}, {"V", 0}},
    {table::D::mass_per_area, "a mass per area", "kg/m2", "_kg_m2", {"lb/ft2", 2}, {"kg/m2", 2}},
});
// clang-format on

/// How messages tell a unit among those that fit.
enum class Told {
  by_name,
  as_r_value,  ///< `R-8`: the letter stands before the number
  no,          ///< known, but not offered
};

/// SI value = value * scale + offset.
struct Unit {
  Dimension dimension;
  std::string_view name;  ///< the one form that output uses
  double scale;
  /// Other spellings that are read, with blanks between: squeezed, that is lower case without
  /// blanks, full stops, hyphens, `^` and brackets. The name itself is always read.
  std::string_view spellings = {};
  Told told = Told::by_name;
  double offset = 0.0;
};

// In the order in which messages name them. `mPa` and `MPa` differ by 10^9 and are left out: case
// is forgiven.
inline constexpr auto kUnits = std::to_array<Unit>({
    {Dimension::ratio, "%", 0.01, "percent pct"},
    {Dimension::length, "in", kMetresPerInch, "inch inches \" ''"},
    {Dimension::length, "ft", kMetresPerFoot, "foot feet '"},
    {Dimension::length, "mm", 0.001, "millimetre millimetres millimeter millimeters"},
    {Dimension::length, "cm", 0.01, "centimetre centimetres centimeter centimeters"},
    {Dimension::length, "m", 1.0, "metre metres meter meters"},
    {Dimension::area, "ft2", kSquareFoot_m2, "sqft squarefeet"},
    {Dimension::area, "in2", kSquareInch_m2, "sqin squareinches"},
    {Dimension::area, "m2", 1.0, "sqm"},
    {Dimension::area, "cm2", 1e-4, "sqcm"},
    {Dimension::area, "mm2", 1e-6, "sqmm"},
    {Dimension::airflow, "cfm", kM3SPerCfm, "ft3/min cuft/min"},
    {Dimension::airflow, "L/s", 0.001},
    {Dimension::airflow, "m3/h", 1.0 / 3600.0, "m3/hr"},
    {Dimension::airflow, "m3/s", 1.0},
    {Dimension::airflow, "m3/min", 1.0 / 60.0, "", Told::no},
    {Dimension::pressure,
     "inH2O",
     kPascalPerInchWater,
     "inwg iwg inwc iwc \"wg \"wc \"h2o incheswater inchesofwater"},
    {Dimension::pressure, "Pa", 1.0},
    {Dimension::pressure, "hPa", 100.0, "mbar"},
    {Dimension::pressure, "mmH2O", 9.80665, "", Told::no},  // conventional, exact
    {Dimension::pressure, "kPa", 1000.0, "", Told::no},
    {Dimension::velocity, "fpm", kM_SPerFpm, "ft/min"},
    {Dimension::velocity, "m/s", 1.0},
    {Dimension::velocity, "mph", kMetresPerMile / 3600.0},
    {Dimension::velocity, "km/h", 1.0 / 3.6, "km/hr kph kmh"},
    {Dimension::velocity, "ft/s", kMetresPerFoot, "", Told::no},
    {Dimension::temperature,
     "degF",
     kKelvinPerFahrenheit,
     "f fahrenheit",
     Told::by_name,
     kZeroFahrenheitK},
    {Dimension::temperature, "degC", 1.0, "c celsius", Told::by_name, kIcePointK},
    {Dimension::temperature, "K", 1.0, "kelvin"},
    {Dimension::density, "lb/ft3", kKgM3PerLbFt3, "lbm/ft3 lb/cuft"},
    {Dimension::density, "kg/m3", 1.0},
    {Dimension::viscosity, "Pa.s", 1.0, "kg/ms"},
    {Dimension::viscosity, "uPa.s", 1e-6},
    {Dimension::angle, "deg", kRadPerDegree, "degree degrees"},
    {Dimension::angle, "rad", 1.0},
    {Dimension::thermal_resistance,
     "h ft2 degF/Btu",
     kM2KPerWPerR,
     "ft2hdegf/btu",
     Told::as_r_value},
    {Dimension::thermal_resistance, "m2 K/W", 1.0},
    {Dimension::volume, "ft3", kCubicMetresPerCubicFoot, "cuft cubicfeet"},
    {Dimension::volume, "m3", 1.0},
    {Dimension::current, "A", 1.0, "amp amps ampere amperes"},
    {Dimension::voltage, "V", 1.0, "volt volts"},
    {Dimension::mass_per_area, "lb/ft2", kKilogramsPerPound / kSquareFoot_m2},
    {Dimension::mass_per_area, "oz/ft2", kKilogramsPerPound / 16.0 / kSquareFoot_m2},
    {Dimension::mass_per_area, "kg/m2", 1.0},
});

[[nodiscard]] constexpr const DimensionRow& row_of(Dimension dimension) noexcept {
  return *std::ranges::find(kDimensions, dimension, &DimensionRow::dimension);
}

/// The unit of a name as output uses it; null when none is named so.
[[nodiscard]] constexpr const Unit* unit_named(std::string_view name) noexcept {
  const auto found = std::ranges::find(kUnits, name, &Unit::name);
  return found == kUnits.end() ? nullptr : &*found;
}

/// The scale on which a dimension is shown: shown = (si - offset) / scale.
struct Scale {
  std::string_view unit;
  double scale = 1.0;
  double offset = 0.0;
  int decimals = 0;
};
[[nodiscard]] constexpr Scale scale_of(Dimension dimension, System system) noexcept {
  const DimensionRow& row = row_of(dimension);
  const Shown& shown = system == System::ip                                        ? row.ip
                       : system == System::si_by_hour && !row.by_hour.unit.empty() ? row.by_hour
                                                                                   : row.si;
  const Unit* unit = unit_named(shown.unit);
  return unit == nullptr ? Scale{.unit = shown.unit, .decimals = shown.decimals}
                         : Scale{unit->name, unit->scale, unit->offset, shown.decimals};
}

/// Ends the key of a JSON document, `_m3_s`. @see docs/result-format.md
[[nodiscard]] constexpr std::string_view key_suffix(Dimension dimension) noexcept {
  return row_of(dimension).key_suffix;
}
/// `an airflow`.
[[nodiscard]] constexpr std::string_view name_of(Dimension dimension) noexcept {
  return row_of(dimension).name;
}
/// `airflow`, without its article.
[[nodiscard]] constexpr std::string_view bare_name_of(Dimension dimension) noexcept {
  const std::string_view name = row_of(dimension).name;
  return name.substr(name.find(' ') + 1);
}

}  // namespace ductledger::units
