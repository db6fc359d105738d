#include "solve/airflow_bounds.hpp"

#include "numeric/root.hpp"

namespace ductledger::solve {
namespace {

constexpr numeric::RootStop kStop{
    .residual_max = 0.0, .width_absolute = 0.0, .width_relative = 1e-13, .iterations_max = 200};

/// The pressure on the printed basis that the run asks of the fan, less a pressure held.
class Asked {
 public:
  struct Of {
    const Demand& demand;
    double dynamic_pa_s2_m6 = 0.0;
    double held_pa = 0.0;
  };
  explicit Asked(const Of& of) noexcept : of_(of) {}
  [[nodiscard]] double operator()(double q) const noexcept {
    return of_.demand.total_pa(q) - of_.dynamic_pa_s2_m6 * q * q - of_.held_pa;
  }

 private:
  Of of_;
};

/// To the left of a point that the fan falls through.
AirflowBounds left_of(double airflow_m3_s, const Asked& asked) noexcept {
  if (asked(0.0) >= 0.0) {
    return {0.0, airflow_m3_s};
  }
  return {numeric::find_root(asked, {0.0, airflow_m3_s}, kStop).root, airflow_m3_s};
}

/// To its right.
std::optional<AirflowBounds> right_of(double airflow_m3_s, const Asked& asked) noexcept {
  double high = airflow_m3_s;
  for (int i = 0; i < kBoundDoublings && asked(high) < 0.0; ++i) {
    high *= 2.0;
  }
  if (asked(high) < 0.0) {
    return std::nullopt;
  }
  if (high == airflow_m3_s) {
    return AirflowBounds{airflow_m3_s, airflow_m3_s};
  }
  return AirflowBounds{airflow_m3_s, numeric::find_root(asked, {airflow_m3_s, high}, kStop).root};
}

}  // namespace

double last_pressure_pa(const fan::FanCurve& curve) noexcept {
  const std::size_t last = curve.segment_count() - 1;
  const auto knots = curve.knots_m3_s();
  return curve.cubic(last).value(knots[last + 1] - knots[last]);
}

std::optional<AirflowBounds> airflow_bounds(const Bounded& of) noexcept {
  if (!of.fan.falls_throughout || !of.demand.rises(of.fan.dynamic_pa_s2_m6)) {
    return std::nullopt;
  }
  const fan::FanCurve& curve = of.fan.curve;
  const auto asked = [&](double held_pa) {
    return Asked(
        {.demand = of.demand, .dynamic_pa_s2_m6 = of.fan.dynamic_pa_s2_m6, .held_pa = held_pa});
  };
  if (of.status == Status::below_curve) {
    return left_of(curve.first_airflow_m3_s(), asked(curve.cubic(0).c0));
  }
  if (of.status == Status::beyond_curve) {
    return right_of(curve.last_airflow_m3_s(), asked(last_pressure_pa(curve)));
  }
  return std::nullopt;
}

std::optional<AirflowBounds> airflow_bounds(const Demand& demand,
                                            const RatedPoint& rated) noexcept {
  if (!demand.rises(rated.dynamic_pa_s2_m6)) {
    return std::nullopt;
  }
  const Asked asked(
      {.demand = demand, .dynamic_pa_s2_m6 = rated.dynamic_pa_s2_m6, .held_pa = rated.pressure_pa});
  return asked(rated.airflow_m3_s) >= 0.0 ? left_of(rated.airflow_m3_s, asked)
                                          : right_of(rated.airflow_m3_s, asked);
}

AirflowEstimate airflow_estimate(const Bounded& of, const AirflowBounds& within) noexcept {
  const fan::FanCurve& curve = of.fan.curve;
  const auto knots = curve.knots_m3_s();
  const std::size_t segment = of.status == Status::below_curve ? 0 : curve.segment_count() - 1;
  const double q1 = knots[segment];
  const double q2 = knots[segment + 1];
  const double p1 = curve.cubic(segment).value(0.0);
  const double p2 = curve.cubic(segment).value(q2 - q1);
  const Asked asked({.demand = of.demand, .dynamic_pa_s2_m6 = of.fan.dynamic_pa_s2_m6});
  const auto crossing = [&](const auto& pressure_pa) {
    if (!(within.low_m3_s < within.high_m3_s)) {
      return within.low_m3_s;
    }
    const auto left_pa = [&](double q) { return pressure_pa(q) - asked(q); };
    const numeric::RootResult found =
        numeric::find_root(left_pa, {within.low_m3_s, within.high_m3_s}, kStop);
    // Without a change of sign even the steepest end does not reach: the run asks for more than
    // the shape has at no airflow.
    return found.status == numeric::RootStatus::no_sign_change ? within.low_m3_s : found.root;
  };
  const double a = (p1 - p2) / (q2 * q2 - q1 * q1);
  const double b = (p1 - p2) / (q2 - q1);
  return {crossing([&](double q) { return p1 + a * (q1 * q1 - q * q); }),
          crossing([&](double q) { return p1 + b * (q1 - q); })};
}

}  // namespace ductledger::solve
