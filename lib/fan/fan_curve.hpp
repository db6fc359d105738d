#pragma once

#include <cstddef>
#include <span>
#include <variant>
#include <vector>

#include "base/words.hpp"
#include "numeric/hermite.hpp"

namespace ductledger::fan {

struct FanPoint {
  double airflow_m3_s = 0.0;
  double pressure_pa = 0.0;
};

/// What the printed pressure of a curve is.
enum class PressureBasis { static_pressure, total_pressure, static_rise };
inline constexpr auto kPressureBasisWords =
    base::words<PressureBasis>({{PressureBasis::static_pressure, "static"},
                                {PressureBasis::total_pressure, "total"},
                                {PressureBasis::static_rise, "static-rise"}});
[[nodiscard]] constexpr const char* word(PressureBasis basis) {
  return kPressureBasisWords.of(basis);
}

enum class CurveShape {
  points,    ///< three points or more: PCHIP
  parabola,  ///< two points: P = P0 - a Q^2
  line,      ///< two points: the other shape of the band
};

/// How a curve is run: one blower's printed curve becomes what stands at the collar.
struct Running {
  double density_ratio = 1.0;  ///< air density / rated density
  double speed_ratio = 1.0;
  int count = 1;  ///< identical blowers in parallel
};

/// A fan curve on its printed basis, piecewise cubic (PCHIP with Fritsch-Butland harmonic slopes
/// and limited three-point ends). Humped curves are valid. Immutable; evaluation allocates nothing.
///
/// `Fault` of a rejected set of points: fewer than 2 points, a number not finite, a negative
/// airflow, airflow not ascending, or pressure that falls between no two neighbouring points.
/// @source fritsch-butland-1984 slopes; fan laws: amca-201 (memory)
class FanCurve {
 public:
  enum class Fault { too_few, not_finite, negative_airflow, not_ascending, never_falls };
  /// A segment in the local variable Q - knot [Pa, m3/s].
  using Cubic = numeric::Cubic;

  /// Shape `points` for three and more; two take the shape asked for (`parabola` or `line`).
  /// @param points [m3/s, Pa] ascending in airflow, shape [n]
  [[nodiscard]] static std::variant<FanCurve, Fault> from_points(std::span<const FanPoint> points,
                                                                 CurveShape two_point_shape);

  /// The curve of several blowers at another speed and density (fan laws): Q -> count r Q,
  /// P -> density_ratio r^2 P. Exact: a piecewise cubic stays one.
  /// @param running [1] all positive
  /// @source amca-201 (memory)
  [[nodiscard]] FanCurve running(const Running& running) const;

  [[nodiscard]] double first_airflow_m3_s() const noexcept { return knots_.front(); }
  [[nodiscard]] double last_airflow_m3_s() const noexcept { return knots_.back(); }
  [[nodiscard]] CurveShape shape() const noexcept { return shape_; }
  /// Printed-basis pressure [Pa]. @param airflow_m3_s [m3/s] within first and last; nothing is
  /// invented beyond: asking outside breaks the contract.
  [[nodiscard]] double pressure_pa(double airflow_m3_s) const;
  /// dP/dQ [Pa s/m3]. @param airflow_m3_s [m3/s] as for pressure_pa
  [[nodiscard]] double slope(double airflow_m3_s) const;
  /// The knots, ascending [n].
  [[nodiscard]] std::span<const double> knots_m3_s() const noexcept { return knots_; }
  [[nodiscard]] std::size_t segment_count() const noexcept { return cubics_.size(); }
  /// True when the pressure never rises within segment i (knot i to i+1). @param i below n - 1
  [[nodiscard]] bool falls_in_segment(std::size_t i) const;
  /// The greatest d(P + square Q^2)/dQ [Pa s/m3] within segment i. @param i below n - 1
  /// @param square_pa_s2_m6 what comes on top of the curve, such as the outlet's velocity pressure
  [[nodiscard]] double greatest_slope(std::size_t i, double square_pa_s2_m6) const noexcept;
  /// Cubic of a segment: p = c0 + c1 x + c2 x^2 + c3 x^3, x = Q - knot. @param segment below n - 1
  [[nodiscard]] const Cubic& cubic(std::size_t segment) const;

 private:
  FanCurve() = default;
  [[nodiscard]] std::size_t segment_of(double airflow_m3_s) const;

  CurveShape shape_ = CurveShape::points;
  std::vector<double> knots_;  // [n]
  std::vector<Cubic> cubics_;  // [n - 1]
  std::vector<char> falls_;    // [n - 1]
};

/// Shut-off pressure [inH2O] of a blower of which only the free-air airflow is known, with a
/// parabola P0 (1 - (Q/Q0)^2) to it; a factor of 2 either way as k = 2. A bath fan's follows from
/// the published drop below, others are assumed.
/// @source texas-am-bath-fans (derived); this project (assumed)
inline constexpr double kBathFanShutOffInH2O = 0.54;
inline constexpr double kBlowerShutOffInH2O = 0.8;

/// Airflow ratio Q(0.25 inH2O)/Q(0.1 inH2O) of an AC bath fan: 0.81, standard uncertainty 0.08.
/// @source texas-am-bath-fans (mean of more than 80 fans, -19 %)
inline constexpr double kBathFanDropRatio = 0.81;
inline constexpr double kBathFanDropRatioU = 0.08;

}  // namespace ductledger::fan
