#pragma once

#include <algorithm>
#include <cstddef>

namespace ductledger::result {

/// What a band leaves out at either end.
inline constexpr double kLowQuantile = 0.023;

/// Where a quantile stands among values in order: `after` of the way from `below` to the next.
struct QuantilePlace {
  std::size_t below = 0;
  double after = 0.0;
};
/// The k-th of n values stands for the share (k - 1/2) / n.
[[nodiscard]] inline QuantilePlace quantile_place(std::size_t count, double share) noexcept {
  const auto last = static_cast<double>(count - 1);
  const double place = std::clamp(share * (last + 1.0) - 0.5, 0.0, last);
  const auto below = static_cast<std::size_t>(place);
  return {below, place - static_cast<double>(below)};
}

/// How many of the lowest and of the highest values the quantiles of a band stand on.
struct Tail {
  std::size_t low = 0;
  std::size_t high = 0;
};
[[nodiscard]] inline Tail tail_of(std::size_t count) noexcept {
  return {std::min(quantile_place(count, kLowQuantile).below + 2, count),
          count - quantile_place(count, 1.0 - kLowQuantile).below};
}

}  // namespace ductledger::result
