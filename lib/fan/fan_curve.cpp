#include "fan/fan_curve.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/expects.hpp"

namespace ductledger::fan {
namespace {

std::optional<FanCurve::Fault> fault_of(std::span<const FanPoint> points) {
  if (points.size() < 2) {
    return FanCurve::Fault::too_few;
  }
  const auto is_finite = [](const FanPoint& p) {
    return std::isfinite(p.airflow_m3_s) && std::isfinite(p.pressure_pa);
  };
  if (!std::all_of(points.begin(), points.end(), is_finite)) {
    return FanCurve::Fault::not_finite;
  }
  const auto is_negative = [](const FanPoint& p) { return p.airflow_m3_s < 0.0; };
  if (std::any_of(points.begin(), points.end(), is_negative)) {
    return FanCurve::Fault::negative_airflow;
  }
  const auto goes_back = [](const FanPoint& a, const FanPoint& b) {
    return a.airflow_m3_s >= b.airflow_m3_s;
  };
  if (std::adjacent_find(points.begin(), points.end(), goes_back) != points.end()) {
    return FanCurve::Fault::not_ascending;
  }
  const auto falls = [](const FanPoint& a, const FanPoint& b) {
    return a.pressure_pa > b.pressure_pa;
  };
  if (std::adjacent_find(points.begin(), points.end(), falls) == points.end()) {
    return FanCurve::Fault::never_falls;
  }
  return std::nullopt;
}

/// Slopes at the two points of P = P0 - a Q^2.
void parabola_slopes(std::span<const FanPoint> points, std::span<double> slopes) {
  const double q1 = points[0].airflow_m3_s;
  const double q2 = points[1].airflow_m3_s;
  const double a = (points[0].pressure_pa - points[1].pressure_pa) / ((q2 - q1) * (q2 + q1));
  slopes[0] = -2.0 * a * q1;
  slopes[1] = -2.0 * a * q2;
}

}  // namespace

std::variant<FanCurve, FanCurve::Fault> FanCurve::from_points(std::span<const FanPoint> points,
                                                              CurveShape two_point_shape) {
  if (const auto fault = fault_of(points)) {
    return *fault;
  }
  const std::size_t n = points.size();
  FanCurve curve;
  std::vector<double> pressures_pa;
  for (const FanPoint& point : points) {
    curve.knots_.push_back(point.airflow_m3_s);
    pressures_pa.push_back(point.pressure_pa);
  }
  std::vector<double> slopes(n);
  if (n == 2) {
    DUCTLEDGER_EXPECTS(two_point_shape != CurveShape::points);
    curve.shape_ = two_point_shape;
  }
  if (curve.shape_ == CurveShape::parabola) {
    parabola_slopes(points, slopes);
  } else {
    numeric::pchip_slopes({.x = curve.knots_, .y = pressures_pa}, slopes);
  }
  for (std::size_t i = 0; i + 1 < n; ++i) {
    const numeric::HermiteSegment segment{
        .start = {.value = pressures_pa[i], .slope = slopes[i]},
        .end = {.value = pressures_pa[i + 1], .slope = slopes[i + 1]},
        .width = curve.knots_[i + 1] - curve.knots_[i]};
    curve.cubics_.push_back(numeric::hermite_cubic(segment));
    curve.falls_.push_back(numeric::never_rises(segment) ? 1 : 0);
  }
  return curve;
}

FanCurve FanCurve::running(const Running& running) const {
  DUCTLEDGER_EXPECTS(running.density_ratio > 0.0 && running.speed_ratio > 0.0 && running.count > 0);
  const double q = running.count * running.speed_ratio;
  const double p = running.density_ratio * running.speed_ratio * running.speed_ratio;
  FanCurve curve = *this;
  for (double& knot : curve.knots_) {
    knot *= q;
  }
  for (Cubic& c : curve.cubics_) {
    c = {
        .c0 = c.c0 * p, .c1 = c.c1 * p / q, .c2 = c.c2 * p / (q * q), .c3 = c.c3 * p / (q * q * q)};
  }
  return curve;
}

std::size_t FanCurve::segment_of(double airflow_m3_s) const {
  DUCTLEDGER_EXPECTS(airflow_m3_s >= knots_.front() && airflow_m3_s <= knots_.back());
  const auto next = std::upper_bound(knots_.begin() + 1, knots_.end() - 1, airflow_m3_s);
  return static_cast<std::size_t>(next - knots_.begin()) - 1;
}

double FanCurve::pressure_pa(double airflow_m3_s) const {
  const std::size_t i = segment_of(airflow_m3_s);
  return cubics_[i].value(airflow_m3_s - knots_[i]);
}

double FanCurve::slope(double airflow_m3_s) const {
  const std::size_t i = segment_of(airflow_m3_s);
  return cubics_[i].slope(airflow_m3_s - knots_[i]);
}

bool FanCurve::falls_in_segment(std::size_t i) const {
  DUCTLEDGER_EXPECTS(i < falls_.size());
  return falls_[i] != 0;
}

double FanCurve::greatest_slope(std::size_t i, double square_pa_s2_m6) const noexcept {
  Cubic of = cubics_[i];
  of.c1 += 2.0 * square_pa_s2_m6 * knots_[i];
  of.c2 += square_pa_s2_m6;
  const double width = knots_[i + 1] - knots_[i];
  double greatest = std::max(of.slope(0.0), of.slope(width));
  if (of.c3 < 0.0) {
    const double turn = -of.c2 / (3.0 * of.c3);
    if (turn > 0.0 && turn < width) {
      greatest = std::max(greatest, of.slope(turn));
    }
  }
  return greatest;
}

const FanCurve::Cubic& FanCurve::cubic(std::size_t segment) const {
  DUCTLEDGER_EXPECTS(segment < cubics_.size());
  return cubics_[segment];
}

}  // namespace ductledger::fan
