#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace ductledger::result {

struct PointsWanted {
  std::size_t count = 0;
  std::uint64_t seed = 0;
  /// [dimensions] The direction in which what is asked changes most, of any length; all zero: none.
  std::span<const double> steepest;
};

/// Low-discrepancy points of independent standard normal numbers, shape [dimensions][count]: the
/// Sobol' sequence, shifted modulo 1 by a random vector, through the inverse normal distribution,
/// and turned so that its first coordinate lies along the steepest direction. A turn keeps the
/// distribution. Along that direction the points are even, which is what a quantile lives on.
/// @source sobol-1967; cranley-patterson-1976 (the shift); imai-tan-2006 (the turn)
[[nodiscard]] std::vector<std::vector<double>> normal_points(const PointsWanted& wanted);

}  // namespace ductledger::result
