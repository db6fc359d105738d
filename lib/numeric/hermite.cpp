#include "numeric/hermite.hpp"

#include <cmath>
#include <cstddef>

#include "base/expects.hpp"

namespace ductledger::numeric {
namespace {

int sign(double v) { return static_cast<int>(v > 0.0) - static_cast<int>(v < 0.0); }

struct Interval {
  double width;
  double secant;
};

/// The three-point slope at the outer end of `near`, with `far` beside it.
double end_slope(const Interval& near, const Interval& far) {
  const double slope = ((2.0 * near.width + far.width) * near.secant - near.width * far.secant) /
                       (near.width + far.width);
  if (sign(slope) != sign(near.secant)) {
    return 0.0;
  }
  if (sign(near.secant) != sign(far.secant) && std::fabs(slope) > 3.0 * std::fabs(near.secant)) {
    return 3.0 * near.secant;
  }
  return slope;
}

double inner_slope(const Interval& left, const Interval& right) {
  if (sign(left.secant) * sign(right.secant) <= 0) {
    return 0.0;
  }
  const double left_weight = 2.0 * right.width + left.width;
  const double right_weight = right.width + 2.0 * left.width;
  return (left_weight + right_weight) / (left_weight / left.secant + right_weight / right.secant);
}

}  // namespace

void pchip_slopes(const Samples& samples, std::span<double> slopes) {
  const auto x = samples.x;
  const auto y = samples.y;
  const std::size_t n = x.size();
  DUCTLEDGER_EXPECTS(n >= 2 && y.size() == n && slopes.size() == n);
  const auto interval = [&](std::size_t i) {
    const double width = x[i + 1] - x[i];
    DUCTLEDGER_EXPECTS(width > 0.0);
    return Interval{width, (y[i + 1] - y[i]) / width};
  };
  Interval left = interval(0);
  if (n == 2) {
    slopes[0] = left.secant;
    slopes[1] = left.secant;
    return;
  }
  slopes[0] = end_slope(left, interval(1));
  for (std::size_t i = 1; i + 1 < n; ++i) {
    const Interval right = interval(i);
    slopes[i] = inner_slope(left, right);
    left = right;
  }
  slopes[n - 1] = end_slope(left, interval(n - 3));
}

Cubic hermite_cubic(const HermiteSegment& segment) noexcept {
  const double h = segment.width;
  const double secant = (segment.end.value - segment.start.value) / h;
  return {.c0 = segment.start.value,
          .c1 = segment.start.slope,
          .c2 = (3.0 * secant - 2.0 * segment.start.slope - segment.end.slope) / h,
          .c3 = (segment.start.slope + segment.end.slope - 2.0 * secant) / (h * h)};
}

bool never_rises(const HermiteSegment& segment) noexcept {
  // The derivative is b0 (1-t)^2 + 2 b1 t (1-t) + b2 t^2. With b0, b2 <= 0 its greatest value on
  // [0, 1] is positive exactly when b1 > sqrt(b0 b2).
  const double b0 = segment.start.slope;
  const double b2 = segment.end.slope;
  if (b0 > 0.0 || b2 > 0.0) {
    return false;
  }
  // The derivative's mean, (b0 + b1 + b2) / 3, is the secant.
  const double secant = (segment.end.value - segment.start.value) / segment.width;
  const double b1 = 3.0 * secant - b0 - b2;
  return b1 <= std::sqrt(b0 * b2);
}

}  // namespace ductledger::numeric
