#pragma once

#include <string_view>

/// Published formulas of junctions. Both coefficients are of total pressure, on the velocity
/// pressure of the combined leg, and may be negative: that stream gains from the other.
namespace ductledger::fitting {

/// The angle between branch and main, as the formulas take it.
struct JunctionAngle {
  double cosine = 1.0;
  double sine = 0.0;
};
/// @param angle_rad [rad] 30 to 90 degrees
[[nodiscard]] JunctionAngle junction_angle(double angle_rad) noexcept;

struct JunctionState {
  JunctionAngle angle{};
  double area_ratio = 1.0;  ///< [1] branch over combined leg, 0.1 to 1
  double flow_ratio = 0.5;  ///< [1] branch over combined airflow, 0 to 1
};

struct JunctionLoss {
  double branch = 0.0;
  double straight = 0.0;
};

/// The angle [rad] of a type: the figure that its name ends in (`wye-45`); without one 45 degrees.
[[nodiscard]] double junction_angle_rad(std::string_view type) noexcept;

/// Streams that join, in a main of constant area.
/// branch = A (1 + (q/a)^2 - 2 (1-q)^2 - 2 q^2/a cos(alpha));
/// straight = 1 - (1-q)^2 - (1.4-q) q^2 sin(alpha) - 2 Kst q/a cos(alpha), q = flow ratio, a = area
/// ratio. A = 1 to a 0.35, else 0.9 (1-q) to q 0.4, else 0.55; Kst = 0.8 q to a 0.35, else 0.5 to
/// q 0.6, else 0.8 q. The print jumps at a 0.35 and at q 0.4 and 0.6: between a 0.35 and 0.40 and
/// between q 0.4 and 0.5 straight lines lead over, and Kst is the larger of 0.5 and 0.8 q
/// (derived). Outside the ranges the formula is continued; the caller says so. Allocates nothing.
/// @source idelchik, 3rd ed. p. 416-418, eq. 7-1, 7-2
[[nodiscard]] JunctionLoss converging_junction(const JunctionState& state) noexcept;

/// The older version for a branch at 90 degrees: branch = A'(a) (1 + (q/a)^2 - 2 (1-q)^2) with A'
/// from a table over a; straight = (1.55 - q) q.
/// @source idelchik, 2nd ed. p. 260-266
[[nodiscard]] JunctionLoss converging_tee_older(const JunctionState& state) noexcept;

/// A stream that divides: branch = A' (1 + v^2 - 2 v cos(alpha)), v = q/a, A' = 1 (memory; about
/// 0.9 for v over 0.8 is printed too); straight = 0.4 q^2, printed for a to 0.4.
/// @source idelchik, 3rd ed. p. 418-419, 453
[[nodiscard]] JunctionLoss diverging_junction(const JunctionState& state) noexcept;

}  // namespace ductledger::fitting
