#pragma once

#include <span>

namespace ductledger::numeric {

/// Points of a function, abscissae strictly ascending, both of one size [n], n >= 2, finite.
struct Samples {
  std::span<const double> x;
  std::span<const double> y;
};

/// Slopes of the monotone piecewise cubic through the points: inside, the weighted harmonic mean of
/// the neighbouring secants, zero where they differ in sign; at the ends, the three-point formula,
/// limited so that it neither turns against its secant nor exceeds three times it. Two points: the
/// secant. Allocates nothing.
///
/// @param slopes [unit of y / unit of x], shape [n], written
/// Errors: sizes that differ, fewer than 2 points or abscissae not ascending break the contract.
/// @source fritsch-butland-1984 inside; fritsch-carlson-1980 ends
void pchip_slopes(const Samples& samples, std::span<double> slopes);

/// c0 + c1 x + c2 x^2 + c3 x^3, x counted from the start of its segment.
struct Cubic {
  double c0 = 0.0;
  double c1 = 0.0;
  double c2 = 0.0;
  double c3 = 0.0;

  [[nodiscard]] constexpr double value(double x) const noexcept {
    return c0 + x * (c1 + x * (c2 + x * c3));
  }
  [[nodiscard]] constexpr double slope(double x) const noexcept {
    return c1 + x * (2.0 * c2 + x * 3.0 * c3);
  }
};

/// Value and slope at one end of a segment.
struct HermiteEnd {
  double value = 0.0;
  double slope = 0.0;
};

/// The cubic with the values and slopes of both ends.
struct HermiteSegment {
  HermiteEnd start;
  HermiteEnd end;
  double width = 0.0;  ///< positive
};
[[nodiscard]] Cubic hermite_cubic(const HermiteSegment& segment) noexcept;

/// True when that cubic rises nowhere within its segment. Decided by the signs of the derivative's
/// Bernstein coefficients, without a tolerance.
[[nodiscard]] bool never_rises(const HermiteSegment& segment) noexcept;

}  // namespace ductledger::numeric
