#pragma once

#include <span>
#include <string>
#include <variant>
#include <vector>

#include "units/quantity.hpp"

namespace ductledger::fan {

struct FanPoint {
  double airflow_m3_s = 0.0;
  double pressure_pa = 0.0;
};

/// What the printed pressure of a curve is.
enum class PressureBasis { static_pressure, total_pressure, static_rise };

enum class CurveShape {
  points,    ///< three points or more: PCHIP
  parabola,  ///< two points: P = P0 - a Q^2
  line,      ///< two points: the other shape of the band
};

/// How a curve is run: one blower's printed curve becomes what stands at the collar.
struct Running {
  double density_ratio = 1.0;  ///< air density / rated density
  double speed_ratio = 1.0;
  int count = 1;               ///< identical blowers in parallel
};

/// A fan curve on its printed basis, piecewise cubic (PCHIP with Fritsch-Butland harmonic slopes and
/// limited three-point ends). Immutable; evaluation allocates nothing.
///
/// `fault` of a rejected set of points: fewer than 2 points, airflow not ascending, not finite or
/// negative, pressure nowhere falling (rising throughout).
/// @source fritsch-butland-1984 slopes; fan laws: amca-201 (memory)
class FanCurve {
 public:
  enum class Fault { too_few, not_finite, negative_airflow, not_ascending, never_falls };

  /// Shape `points` for three and more; two take the shape asked for (`parabola` or `line`).
  [[nodiscard]] static std::variant<FanCurve, Fault> from_points(std::span<const FanPoint> points,
                                                                 CurveShape two_point_shape);

  /// The curve of several blowers at another speed and density (fan laws): Q -> count r Q,
  /// P -> density_ratio r^2 P. Exact: a piecewise cubic stays one.
  [[nodiscard]] FanCurve running(const Running& running) const;

  [[nodiscard]] double first_airflow_m3_s() const noexcept;
  [[nodiscard]] double last_airflow_m3_s() const noexcept;
  [[nodiscard]] CurveShape shape() const noexcept;
  /// Printed-basis pressure [Pa]. @param airflow_m3_s within first and last; nothing is invented
  /// beyond: outside, the caller must not ask (checked).
  [[nodiscard]] double pressure_pa(double airflow_m3_s) const noexcept;
  /// dP/dQ [Pa s/m3].
  [[nodiscard]] double slope(double airflow_m3_s) const noexcept;
  /// The knots, ascending [n].
  [[nodiscard]] std::span<const double> knots_m3_s() const noexcept;
  /// True when the pressure never rises within segment i (knot i to i+1).
  [[nodiscard]] bool falls_in_segment(std::size_t i) const noexcept;
  /// Cubic of a segment in the local variable (Q - knot): p = c0 + c1 x + c2 x^2 + c3 x^3.
  struct Cubic { double c0, c1, c2, c3; };
  [[nodiscard]] const Cubic& cubic(std::size_t segment) const noexcept;

 private:
  FanCurve() = default;
  CurveShape shape_ = CurveShape::points;
  std::vector<double> knots_;   // [n]
  std::vector<Cubic> cubics_;   // [n - 1]
  std::vector<char> falls_;     // [n - 1]
};

/// Airflow ratio Q(0.25 inH2O)/Q(0.1 inH2O) of an AC bath fan: 0.81, standard uncertainty 0.08.
/// @source texas-am-bath-fans (mean of more than 80 fans, -19 %)
inline constexpr double kBathFanDropRatio = 0.81;
inline constexpr double kBathFanDropRatioU = 0.08;

}  // namespace ductledger::fan
