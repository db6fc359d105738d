#pragma once

#include <bit>
#include <cstdint>
#include <numbers>

/// Colebrook-White in x = 1/sqrt(f): x + k ln(a + b x) = 0 with a = roughness/3.7, b = 2.51/Re, in
/// steps, for who takes the logarithm of one or of many at a time. One logarithm is enough: a start
/// that needs none is at most 0.65 off for Re 4000 to 1e8 and roughness 0 to 0.1, and what is left
/// of the argument is so near to 1 that a short series is its logarithm.
namespace ductledger::duct::colebrook {

inline constexpr double kPerRoughness = 1.0 / 3.7;
inline constexpr double kPerLog = 2.0 / std::numbers::ln10;

/// Where the root is looked for: one substitution of x = 7, at most 0.6 off, with the logarithm as
/// the exponent of the number and its mantissa as a straight line, at most 0.03 off.
/// @source mitchell-1962
inline double start(double a, double b) noexcept {
  constexpr double kBias = 1023.0;
  constexpr double kAbove = 0.043;  // the middle of what the line lies below the logarithm
  const auto bits = static_cast<std::int64_t>(std::bit_cast<std::uint64_t>(a + 7.0 * b));
  const double log2 = static_cast<double>(bits) * 0x1p-52 - (kBias - kAbove);
  return -kPerLog * std::numbers::ln2 * log2;
}

/// Halley's step of an equation g = 0. @param bend less g''
inline double halley(double g, double slope, double bend) noexcept {
  return -2.0 * g * slope / (2.0 * slope * slope + g * bend);
}

/// ln(1 + u) to 1e-14 for u from -0.2 to 0.2.
inline double log1p_of_little(double u) noexcept {
  const double w = u / (2.0 + u);
  const double w2 = w * w;
  return 2.0 * w *
         (1.0 +
          w2 * (1.0 / 3.0 + w2 * (1.0 / 5.0 + w2 * (1.0 / 7.0 + w2 * (1.0 / 9.0 + w2 / 11.0)))));
}

/// The root. @param start as above @param sum a + b start @param log_of_sum its logarithm
///
/// With e the error of x, Halley's step leaves at most k e^3 / (3 x^3), so that two are enough.
inline double root(double b, double start, double sum, double log_of_sum) noexcept {
  const double ratio = b / sum;
  const double value = start + kPerLog * log_of_sum;
  const double first = halley(value, 1.0 + kPerLog * ratio, kPerLog * ratio * ratio);
  // The argument of the logarithm there is `grown` times the sum; slope and bend of the second step
  // are over it and its square, which take no division of their own.
  const double u = ratio * first;
  const double grown = 1.0 + u;
  const double left = value + first + kPerLog * log1p_of_little(u);
  const double slope = grown + kPerLog * ratio;
  return start + first -
         2.0 * left * grown * slope / (2.0 * slope * slope + left * kPerLog * ratio * ratio);
}

}  // namespace ductledger::duct::colebrook
