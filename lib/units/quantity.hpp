#pragma once

#include <boost/units/quantity.hpp>
#include <boost/units/systems/si/area.hpp>
#include <boost/units/systems/si/dynamic_viscosity.hpp>
#include <boost/units/systems/si/length.hpp>
#include <boost/units/systems/si/mass_density.hpp>
#include <boost/units/systems/si/plane_angle.hpp>
#include <boost/units/systems/si/pressure.hpp>
#include <boost/units/systems/si/temperature.hpp>
#include <boost/units/systems/si/time.hpp>
#include <boost/units/systems/si/velocity.hpp>
#include <boost/units/systems/si/volume.hpp>

/// The one place that names Boost.Units. Everything public speaks these aliases; kernels take plain
/// SI doubles whose names carry the unit.
namespace ductledger::units {

namespace si = boost::units::si;

using Length = boost::units::quantity<si::length>;
using Area = boost::units::quantity<si::area>;
using Velocity = boost::units::quantity<si::velocity>;
using Density = boost::units::quantity<si::mass_density>;
using Viscosity = boost::units::quantity<si::dynamic_viscosity>;
using Angle = boost::units::quantity<si::plane_angle>;
using Flow = boost::units::quantity<boost::units::divide_typeof_helper<si::volume, si::time>::type>;
using PressureQuantity = boost::units::quantity<si::pressure>;

/// Kinds that share a dimension and must not be mixed: a static pressure is not a total pressure.
/// Each wraps an SI value and converts only where a named function says so.
template <class Kind, class Quantity>
class Distinct {
 public:
  constexpr Distinct() = default;
  constexpr explicit Distinct(Quantity quantity) : quantity_(quantity) {}
  [[nodiscard]] constexpr Quantity quantity() const { return quantity_; }
  [[nodiscard]] constexpr double value() const { return quantity_.value(); }

  friend constexpr Distinct operator+(Distinct a, Distinct b) {
    return Distinct(a.quantity_ + b.quantity_);
  }
  friend constexpr Distinct operator-(Distinct a, Distinct b) {
    return Distinct(a.quantity_ - b.quantity_);
  }
  friend constexpr auto operator<=>(Distinct a, Distinct b) {
    return a.quantity_.value() <=> b.quantity_.value();
  }
  friend constexpr bool operator==(Distinct a, Distinct b) {
    return a.quantity_.value() == b.quantity_.value();
  }

 private:
  Quantity quantity_{};
};

using StaticPressure = Distinct<struct StaticPressureKind, PressureQuantity>;
using VelocityPressure = Distinct<struct VelocityPressureKind, PressureQuantity>;
using TotalPressure = Distinct<struct TotalPressureKind, PressureQuantity>;
using AbsolutePressure = Distinct<struct AbsolutePressureKind, PressureQuantity>;
/// A point on the temperature scale, kelvin inside.
using Temperature = Distinct<struct TemperatureKind, boost::units::quantity<si::temperature>>;
using TemperatureDifference =
    Distinct<struct TemperatureDifferenceKind, boost::units::quantity<si::temperature>>;
/// 4 A / P. Not the diameter of equal friction.
using HydraulicDiameter = Distinct<struct HydraulicDiameterKind, Length>;
/// Diameter of the round duct with the same friction at the same airflow.
using EquivalentDiameter = Distinct<struct EquivalentDiameterKind, Length>;

[[nodiscard]] constexpr TotalPressure total_pressure(StaticPressure s, VelocityPressure v) {
  return TotalPressure(s.quantity() + v.quantity());
}
[[nodiscard]] constexpr StaticPressure static_pressure(TotalPressure t, VelocityPressure v) {
  return StaticPressure(t.quantity() - v.quantity());
}

// Conversion constants: each exact, or with its source.
inline constexpr double kMetresPerInch = 0.0254;                    // exact
inline constexpr double kMetresPerFoot = 0.3048;                    // exact
inline constexpr double kCubicMetresPerCubicFoot = 0.028316846592;  // exact, 0.3048^3
inline constexpr double kM3SPerCfm = kCubicMetresPerCubicFoot / 60.0;
/// Conventional inch of water (water at 4 degC, 1000 kg/m3, g = 9.80665).
inline constexpr double kPascalPerInchWater = 249.08891;
inline constexpr double kKgM3PerLbFt3 = 0.45359237 / kCubicMetresPerCubicFoot;
inline constexpr double kGravityM_S2 = 9.80665;          // standard gravity, exact
inline constexpr double kStandardDensityKgM3 = 1.20138;  // 0.075 lb/ft3

[[nodiscard]] constexpr Length metres(double v) { return v * si::meter; }
[[nodiscard]] constexpr Length inches(double v) { return metres(v * kMetresPerInch); }
[[nodiscard]] constexpr Length feet(double v) { return metres(v * kMetresPerFoot); }
[[nodiscard]] constexpr Area square_metres(double v) { return v * si::square_meter; }
[[nodiscard]] constexpr Velocity metres_per_second(double v) { return v * si::meter_per_second; }
[[nodiscard]] constexpr Velocity feet_per_minute(double v) {
  return metres_per_second(v * kMetresPerFoot / 60.0);
}
[[nodiscard]] constexpr Flow cubic_metres_per_second(double v) { return Flow::from_value(v); }
[[nodiscard]] constexpr Flow cfm(double v) { return Flow::from_value(v * kM3SPerCfm); }
[[nodiscard]] constexpr PressureQuantity pascals(double v) { return v * si::pascal; }
[[nodiscard]] constexpr PressureQuantity inches_water(double v) {
  return pascals(v * kPascalPerInchWater);
}
[[nodiscard]] constexpr Density kilograms_per_cubic_metre(double v) {
  return Density::from_value(v);
}
[[nodiscard]] constexpr Density pounds_per_cubic_foot(double v) {
  return Density::from_value(v * kKgM3PerLbFt3);
}
[[nodiscard]] constexpr Viscosity pascal_seconds(double v) { return Viscosity::from_value(v); }
[[nodiscard]] constexpr Temperature kelvin(double v) { return Temperature(v * si::kelvin); }
[[nodiscard]] constexpr Temperature celsius(double v) { return kelvin(v + 273.15); }
[[nodiscard]] constexpr Temperature fahrenheit(double v) {
  return kelvin((v - 32.0) / 1.8 + 273.15);
}
[[nodiscard]] constexpr Angle radians(double v) { return Angle::from_value(v); }

}  // namespace ductledger::units
