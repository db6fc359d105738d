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

#include "units/constants.hpp"

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
using Pressure = boost::units::quantity<si::pressure>;

/// A point on a scale that shares its dimension with differences on it: an absolute pressure is no
/// gauge pressure, a temperature no temperature difference. Points have no sum.
///
/// Kinds of gauge pressure (static, total, velocity pressure) and of diameter are no types: a
/// ledger, a fan curve and an operating point hold them in fields and functions whose names say
/// which (`static_pressure_after_pa`, `equivalent_diameter_m`); which one a curve is printed in is
/// a fact of the file (`fan::PressureBasis`), not of the program; and the one law that turns total
/// into static also runs over arrays of samples, which a wrapped quantity cannot hold.
template <class Kind, class Quantity>
class Point {
 public:
  constexpr Point() = default;
  constexpr explicit Point(Quantity quantity) : quantity_(quantity) {}
  [[nodiscard]] constexpr double value() const { return quantity_.value(); }

 private:
  Quantity quantity_{};
};

using AbsolutePressure = Point<struct AbsolutePressureKind, Pressure>;
/// Kelvin inside.
using Temperature = Point<struct TemperatureKind, boost::units::quantity<si::temperature>>;

[[nodiscard]] constexpr Length metres(double v) { return v * si::meter; }
[[nodiscard]] constexpr Length inches(double v) { return metres(v * kMetresPerInch); }
[[nodiscard]] constexpr Length feet(double v) { return metres(v * kMetresPerFoot); }
[[nodiscard]] constexpr Area square_metres(double v) { return v * si::square_meter; }
[[nodiscard]] constexpr Velocity metres_per_second(double v) { return v * si::meter_per_second; }
[[nodiscard]] constexpr Velocity feet_per_minute(double v) {
  return metres_per_second(v * kM_SPerFpm);
}
[[nodiscard]] constexpr Flow cubic_metres_per_second(double v) { return Flow::from_value(v); }
[[nodiscard]] constexpr Flow cfm(double v) { return Flow::from_value(v * kM3SPerCfm); }
[[nodiscard]] constexpr Pressure pascals(double v) { return v * si::pascal; }
[[nodiscard]] constexpr Pressure inches_water(double v) { return pascals(v * kPascalPerInchWater); }
[[nodiscard]] constexpr Density kilograms_per_cubic_metre(double v) {
  return Density::from_value(v);
}
[[nodiscard]] constexpr Density pounds_per_cubic_foot(double v) {
  return Density::from_value(v * kKgM3PerLbFt3);
}
[[nodiscard]] constexpr Viscosity pascal_seconds(double v) { return Viscosity::from_value(v); }
[[nodiscard]] constexpr Temperature kelvin(double v) { return Temperature(v * si::kelvin); }
[[nodiscard]] constexpr Temperature celsius(double v) { return kelvin(v + kIcePointK); }
[[nodiscard]] constexpr Temperature fahrenheit(double v) {
  return kelvin((v - 32.0) / 1.8 + kIcePointK);
}
[[nodiscard]] constexpr Angle radians(double v) { return Angle::from_value(v); }

}  // namespace ductledger::units
