#pragma once

#include <algorithm>
#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>

namespace ductledger::numeric {

enum class RootStatus {
  converged,
  no_sign_change,   ///< f(low) and f(high) have the same sign: nothing was searched
  not_finite,       ///< an end, or a value of f, is not a finite number
  iteration_limit,  ///< the bracket is the narrowest reached
};

/// An interval, low < high.
struct Bracket {
  double low = 0.0;
  double high = 0.0;
};

/// When the search stops. The first inequality that holds ends it:
///   |f(x)| <= residual_max
///   high - low <= width_absolute + width_relative max(|low|, |high|)
/// Units: residual_max that of f, width_absolute that of x.
struct RootStop {
  double residual_max = 0.0;
  double width_absolute = 0.0;
  double width_relative = 1e-12;
  int iterations_max = 100;  ///< 1 and above
};

struct RootResult {
  RootStatus status = RootStatus::not_finite;
  double root = std::nan("");      ///< the end of `bracket` with the smaller |f|
  double residual = std::nan("");  ///< f(root)
  Bracket bracket;                 ///< f changes sign within; both ends equal at an exact zero
  int iterations = 0;              ///< evaluations of f beyond the two at the ends
};

/// A search under way: its bracket, and the values at both ends.
struct RootSearch {
  RootStop stop;
  RootResult result{};
  double value_low = 0.0;
  double value_high = 0.0;

  [[nodiscard]] bool is_small(double value) const { return std::fabs(value) <= stop.residual_max; }
  [[nodiscard]] bool is_narrow(double low, double high) const {
    return high - low <=
           stop.width_absolute + stop.width_relative * std::max(std::fabs(low), std::fabs(high));
  }
  /// How the search ends before it begins; nothing: the bracket holds a zero to be found.
  [[nodiscard]] std::optional<RootStatus> ends_at_once() const {
    if (is_small(value_low) || is_small(value_high)) {
      return RootStatus::converged;
    }
    if ((value_low < 0.0) == (value_high < 0.0)) {
      return RootStatus::no_sign_change;
    }
    return is_narrow(result.bracket.low, result.bracket.high) ? std::optional(RootStatus::converged)
                                                              : std::nullopt;
  }
  /// Narrows the bracket by a point within it.
  void take(double x, double value) {
    if ((value < 0.0) == (value_low < 0.0)) {
      result.bracket.low = x;
      value_low = value;
    } else {
      result.bracket.high = x;
      value_high = value;
    }
    if (value == 0.0) {
      result.bracket = {x, x};
    }
  }
  [[nodiscard]] RootResult ended(RootStatus status) const {
    const bool low_is_nearer = std::fabs(value_low) <= std::fabs(value_high);
    RootResult out = result;
    out.status = status;
    out.root = low_is_nearer ? out.bracket.low : out.bracket.high;
    out.residual = low_is_nearer ? value_low : value_high;
    return out;
  }
};

/// A zero of `f` within `start`, where f(start.low) and f(start.high) differ in sign; a zero at an
/// end counts. Allocates nothing and throws nothing of its own.
///
/// @param f `double(double)`, continuous within `start`; at a jump the place of the jump is found
/// @param start [unit of x] finite, low < high, else `not_finite`
/// @source alefeld-potra-shi-1995 (algorithm 748, as in Boost.Math)
template <class Function>
[[nodiscard]] RootResult find_root(Function&& f, const Bracket& start, const RootStop& stop) {
  RootSearch search{.stop = stop};
  search.result.bracket = start;
  if (!std::isfinite(start.low) || !std::isfinite(start.high) || !(start.low < start.high)) {
    return search.result;
  }
  search.value_low = f(start.low);
  search.value_high = f(start.high);
  if (!std::isfinite(search.value_low) || !std::isfinite(search.value_high)) {
    return search.result;
  }
  if (const auto status = search.ends_at_once()) {
    return search.ended(*status);
  }

  bool finite = true;
  bool settled = false;
  // The library keeps a bracket of its own but not the values at its ends, so both are kept here.
  // A zero handed back stops it at once.
  const auto watched = [&](double x) {
    const double value = f(x);
    ++search.result.iterations;
    if (!std::isfinite(value)) {
      finite = false;
      return 0.0;
    }
    search.take(x, value);
    settled = search.is_small(value);
    return settled ? 0.0 : value;
  };
  const auto narrow = [&](double low, double high) { return search.is_narrow(low, high); };
  namespace policies = boost::math::policies;
  using Quiet = policies::policy<policies::domain_error<policies::ignore_error>,
                                 policies::evaluation_error<policies::ignore_error>>;
  auto budget = static_cast<std::uintmax_t>(std::max(stop.iterations_max, 1));
  boost::math::tools::toms748_solve(
      watched, start.low, start.high, search.value_low, search.value_high, narrow, budget, Quiet());
  if (!finite) {
    return search.ended(RootStatus::not_finite);
  }
  const Bracket& last = search.result.bracket;
  const bool done = settled || search.is_narrow(last.low, last.high);
  return search.ended(done ? RootStatus::converged : RootStatus::iteration_limit);
}

}  // namespace ductledger::numeric
