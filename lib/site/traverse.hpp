#pragma once

#include <span>

#include "layout/measurement.hpp"

/// Airflow from velocity pressures read across a duct.
namespace ductledger::site {

/// Places of the points, as fractions of the diameter or side from one wall, ascending, shape [n].
/// Round: log-linear, n = 6, 8 or 10. Rectangular: log-Tchebycheff, n = 5, 6 or 7. Empty for
/// another n or shape.
/// @source iso-3966 (as reprinted in instrument manuals); the print's 0.32 for the first of six and
/// 0.981 for the last of eight contradict its own symmetry and are taken as 0.032 and 0.979
[[nodiscard]] std::span<const double> traverse_places(duct::Shape shape, std::size_t count);

/// How far a plane may be trusted: 7.5 diameters of straight duct upstream make a good one (common
/// practice); not stated counts as poor.
enum class Plane { good, poor };

struct TraverseAirflow {
  double airflow_m3_s = 0.0;
  double mean_velocity_m_s = 0.0;
  double standard_uncertainty = 0.0;  ///< [1] relative: good plane 0.03, poor 0.10 (assumed)
  Plane plane = Plane::poor;
};

/// Area times the mean of sqrt(2 VP / rho) over the points. @param density_kg_m3 [kg/m3] of the air
/// at the plane, > 0
[[nodiscard]] TraverseAirflow traverse_airflow(const layout::Traverse& traverse,
                                               double density_kg_m3);

}  // namespace ductledger::site
