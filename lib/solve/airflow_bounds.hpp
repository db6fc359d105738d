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

/// Where the run crosses the curve carried on beyond its printed points.
/// Both lie within the bounds. @param within as `airflow_bounds` gave it
/// Basis: as the two shapes of a curve of two points (assumed)
[[nodiscard]] AirflowEstimate airflow_estimate(const Bounded& of,
                                               const AirflowBounds& within) noexcept;

}  // namespace ductledger::solve
