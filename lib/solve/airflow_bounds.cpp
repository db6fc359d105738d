#include "solve/airflow_bounds.hpp"

#include "numeric/root.hpp"

namespace ductledger::solve {
namespace {

constexpr numeric::RootStop kStop{
    .residual_max = 0.0, .width_absolute = 0.0, .width_relative = 1e-13, .iterations_max = 200};

/// The pressure on the printed basis that the run asks of the fan, less a pressure held.
class Asked {
 public:
  Asked(const Bounded& of, double held_pa) noexcept : of_(of), held_pa_(held_pa) {}
  [[nodiscard]] double operator()(double q) const noexcept {
    const double suction_pa =
        of_.suction.at_pa == nullptr ? 0.0 : of_.suction.at_pa(of_.suction.state, q);
    return of_.loss.at(q) + of_.ends.end_pa - of_.ends.start_pa + suction_pa -
           of_.fan.dynamic_pa_s2_m6 * q * q - held_pa_;
  }

 private:
  const Bounded& of_;
  double held_pa_;
};

}  // namespace

double last_pressure_pa(const fan::FanCurve& curve) noexcept {
  const std::size_t last = curve.segment_count() - 1;
  const auto knots = curve.knots_m3_s();
  return curve.cubic(last).value(knots[last + 1] - knots[last]);
}

std::optional<AirflowBounds> airflow_bounds(const Bounded& of) noexcept {
  if (!of.fan.falls_throughout || !of.loss.rises(of.fan.dynamic_pa_s2_m6)) {
    return std::nullopt;
  }
  const fan::FanCurve& curve = of.fan.curve;
  if (of.status == Status::below_curve) {
    const double first = curve.first_airflow_m3_s();
    const Asked asked(of, curve.cubic(0).c0);
    if (asked(0.0) >= 0.0) {
      return AirflowBounds{0.0, first};
    }
    return AirflowBounds{numeric::find_root(asked, {0.0, first}, kStop).root, first};
  }
  if (of.status == Status::beyond_curve) {
    const double last = curve.last_airflow_m3_s();
    const Asked asked(of, last_pressure_pa(curve));
    double high = last;
    for (int i = 0; i < kBoundDoublings && asked(high) < 0.0; ++i) {
      high *= 2.0;
    }
    if (asked(high) < 0.0) {
      return std::nullopt;
    }
    if (high == last) {
      return AirflowBounds{last, last};
    }
    return AirflowBounds{last, numeric::find_root(asked, {last, high}, kStop).root};
  }
  return std::nullopt;
}

AirflowEstimate airflow_estimate(const Bounded& of, const AirflowBounds& within) noexcept {
  const fan::FanCurve& curve = of.fan.curve;
  const auto knots = curve.knots_m3_s();
  const std::size_t segment = of.status == Status::below_curve ? 0 : curve.segment_count() - 1;
  const double q1 = knots[segment];
  const double q2 = knots[segment + 1];
  const double p1 = curve.cubic(segment).value(0.0);
  const double p2 = curve.cubic(segment).value(q2 - q1);
  const Asked asked(of, 0.0);
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
