#pragma once

#include <array>
#include <optional>
#include <vector>

#include "fan/fan_curve.hpp"
#include "solve/run.hpp"

namespace ductledger::solve {

enum class Status { found, beyond_curve, below_curve, no_flow, not_determined, no_fan };
[[nodiscard]] const char* word(Status status) noexcept;

/// Pressures at the two ends against outdoors, the outdoor air column removed.
struct EndPressures {
  double start_pa = 0.0;  ///< the room at collar height: minus the depressurisation
  double end_pa = 0.0;    ///< at the cap: wind less stack
};

/// What the room's pressure falls by when the run draws air from it, on top of `start_pa`, by
/// whoever knows where the room's air comes from. It never falls with airflow. Called in the inner
/// loop: allocates nothing.
struct RoomSuction {
  double (*at_pa)(const void* state, double airflow_m3_s) noexcept = nullptr;  ///< null: none
  const void* state = nullptr;
};

/// A fan as it runs: curve(Q) + dynamic Q^2 is its total pressure.
struct FanAtSpeed {
  fan::FanCurve curve;
  double dynamic_pa_s2_m6 = 0.0;
  bool falls_throughout = false;  ///< the curve never rises
};

struct Crossing {
  double airflow_m3_s = 0.0;
  double total_pressure_pa = 0.0;  ///< of the fan
  bool stable = false;
  bool reached_from_rest = false;
};

/// An airflow bound from both sides [m3/s].
struct AirflowBounds {
  double low_m3_s = 0.0;
  double high_m3_s = 0.0;
};

/// Where the run crosses the curve carried on through its two nearest printed points [m3/s].
struct AirflowEstimate {
  double airflow_m3_s = 0.0;  ///< by a parabola P0 - a Q^2 through both
  double line_m3_s = 0.0;     ///< by a straight line through both
};

/// How the search ended. `found` means: |fan - losses - back pressure| <= 1e-9 of the fan's
/// pressure scale, or the bracket is narrower than 1e-13 of the curve's range.
struct OperatingPoint {
  static constexpr std::size_t kMaxCrossings = 8;
  Status status = Status::no_fan;
  bool stable = false;
  double airflow_m3_s = 0.0;       ///< found: the answer; beyond/below: the curve's end, a bound
  double total_pressure_pa = 0.0;  ///< of the fan, there
  double residual_pa = 0.0;
  double bracket_low_m3_s = 0.0;
  double bracket_high_m3_s = 0.0;
  int iterations = 0;
  std::size_t crossing_count = 0;
  std::array<Crossing, kMaxCrossings> crossings{};  ///< ascending, first `crossing_count` valid
  bool more_crossings = false;                      ///< more than the array holds
  /// Beyond or below the curve, where it falls throughout: see solve/airflow_bounds.hpp.
  std::optional<AirflowBounds> bounds{};
  std::optional<AirflowEstimate> estimate{};  ///< within `bounds`
};

/// The fan against the run. Allocates nothing. See the method page for the order of the cases.
[[nodiscard]] OperatingPoint operating_point(const RunLoss& loss,
                                             const FanAtSpeed& fan,
                                             const EndPressures& ends,
                                             const RoomSuction& suction = {}) noexcept;
/// The greatest airflow at which the fan can stay: the highest stable crossing, else the answer
/// itself. Makeup air and depressurisation are judged on it.
[[nodiscard]] double greatest_airflow_m3_s(const OperatingPoint& point) noexcept;

/// The airflow to work with: the answer, or its estimate where the answer is a bound.
[[nodiscard]] double best_airflow_m3_s(const OperatingPoint& point) noexcept;
/// Whether the answer is a bound: beyond or below the curve.
[[nodiscard]] bool is_bound(Status status) noexcept;
/// Whether an airflow is known: found, or estimated beyond or below the curve.
[[nodiscard]] bool has_best_airflow(const OperatingPoint& point) noexcept;

/// How a speed's curve came about, for what has to be said of it.
enum class CurveOrigin {
  points,       ///< three points or more
  two_points,   ///< parabola, with a line as the other shape
  two_ratings,  ///< the same from ratings
  one_rating,   ///< with the published drop of a bath fan
  free_air,     ///< a free-air airflow on the assumed shape of a small centrifugal blower
  none,         ///< too little known
};

/// A speed ready to be solved: its curve and, with two points, the other shape.
struct SpeedFan {
  CurveOrigin origin = CurveOrigin::none;
  std::optional<FanAtSpeed> fan;
  std::optional<FanAtSpeed> other_shape;  ///< the straight line through the same two points
  double speed_ratio = 1.0;               ///< of a speed known by its ratio alone
  std::string why_not;                    ///< origin none: what is missing
};
[[nodiscard]] SpeedFan speed_fan(const layout::Layout& layout,
                                 const CompiledRun& run,
                                 std::size_t speed);

/// What the label says of a speed, all blowers together.
struct RatedAirflow {
  double airflow_m3_s = 0.0;
  double pressure_pa = 0.0;
  enum class Basis { rating_at_pressure, free_air, curve_end } basis = Basis::curve_end;
};
[[nodiscard]] std::optional<RatedAirflow> rated_airflow(const layout::Layout& layout,
                                                        std::size_t speed);

}  // namespace ductledger::solve
