#pragma once

#include <optional>

#include "solve/operating_point.hpp"

/// What a fan known in part says of an airflow outside its printed points.
namespace ductledger::solve {

/// How often the search for an upper bound doubles the last printed airflow.
inline constexpr int kBoundDoublings = 10;

/// Pressure of the last printed point [Pa].
[[nodiscard]] double last_pressure_pa(const fan::FanCurve& curve) noexcept;

/// The run against a fan whose curve was found too short (`below_curve`, `beyond_curve`). A fan
/// that falls makes at least its first printed pressure to the left of that point and at most its
/// last to the right of it, so the crossing lies between that point and the airflow at which the
/// run asks for that same pressure.
///
/// Nothing where the status is another, where the printed curve rises somewhere (then nothing says
/// that it falls outside), where the loss may fall with airflow, or where no airflow asks for that
/// pressure.
/// Basis: curve and run are monotone (this project)
struct Bounded {
  const Demand& demand;
  const FanAtSpeed& fan;
  Status status = Status::no_fan;
};
[[nodiscard]] std::optional<AirflowBounds> airflow_bounds(const Bounded& of) noexcept;

/// One rating at a pressure, as the fan runs: all blowers, in the air of the run.
struct RatedPoint {
  double airflow_m3_s = 0.0;
  double pressure_pa = 0.0;       ///< on the printed basis
  double dynamic_pa_s2_m6 = 0.0;  ///< from there to total pressure, over Q^2
};
/// Of a speed of which nothing else is known; nothing where its rating is no such.
[[nodiscard]] std::optional<RatedPoint> one_rating(const layout::Layout& layout,
                                                   const CompiledRun& run,
                                                   std::size_t speed);
/// The same bounds by one rating alone: a fan that falls makes at least that pressure to the left
/// of it and at most that to its right. Nothing where the loss may fall with airflow, or where no
/// airflow asks for that pressure.
[[nodiscard]] std::optional<AirflowBounds> airflow_bounds(const Demand& demand,
                                                          const RatedPoint& rated) noexcept;

/// Where the run crosses the curve carried on beyond its printed points.
/// Both lie within the bounds. @param within as `airflow_bounds` gave it
/// Basis: as the two shapes of a curve of two points (assumed)
[[nodiscard]] AirflowEstimate airflow_estimate(const Bounded& of,
                                               const AirflowBounds& within) noexcept;

}  // namespace ductledger::solve
