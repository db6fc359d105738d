#pragma once

#include <algorithm>
#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
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

/// A zero of `f` within `start`, where f(start.low) and f(start.high) differ in sign; a zero at an
/// end counts. Allocates nothing and throws nothing of its own.
///
/// @param f `double(double)`, continuous within `start`; at a jump the place of the jump is found
/// @param start [unit of x] finite, low < high, else `not_finite`
/// @source alefeld-potra-shi-1995 (algorithm 748, as in Boost.Math)
template <class Function>
[[nodiscard]] RootResult find_root(Function&& f, const Bracket& start, const RootStop& stop) {
  RootResult result;
  result.bracket = start;
  if (!std::isfinite(start.low) || !std::isfinite(start.high) || !(start.low < start.high)) {
    return result;
  }
  double value_low = f(start.low);
  double value_high = f(start.high);
  if (!std::isfinite(value_low) || !std::isfinite(value_high)) {
    return result;
  }
  const auto finish = [&](RootStatus status) {
    const bool low_is_nearer = std::fabs(value_low) <= std::fabs(value_high);
    result.status = status;
    result.root = low_is_nearer ? result.bracket.low : result.bracket.high;
    result.residual = low_is_nearer ? value_low : value_high;
    return result;
  };
  const auto small = [&](double value) { return std::fabs(value) <= stop.residual_max; };
  const auto narrow = [&](double low, double high) {
    return high - low <=
           stop.width_absolute + stop.width_relative * std::max(std::fabs(low), std::fabs(high));
  };
  if (small(value_low) || small(value_high)) {
    return finish(RootStatus::converged);
  }
  if ((value_low < 0.0) == (value_high < 0.0)) {
    return finish(RootStatus::no_sign_change);
  }
  if (narrow(start.low, start.high)) {
    return finish(RootStatus::converged);
  }

  bool finite = true;
  bool settled = false;
  const bool low_is_negative = value_low < 0.0;
  // The library keeps a bracket of its own but not the values at its ends, so both are kept here.
  // A zero handed back stops it at once.
  const auto watched = [&](double x) {
    const double value = f(x);
    ++result.iterations;
    if (!std::isfinite(value)) {
      finite = false;
      return 0.0;
    }
    if ((value < 0.0) == low_is_negative) {
      result.bracket.low = x;
      value_low = value;
    } else {
      result.bracket.high = x;
      value_high = value;
    }
    settled = small(value);
    if (value == 0.0) {
      result.bracket = {x, x};
    }
    return settled ? 0.0 : value;
  };
  namespace policies = boost::math::policies;
  using Quiet = policies::policy<policies::domain_error<policies::ignore_error>,
                                 policies::evaluation_error<policies::ignore_error>>;
  auto budget = static_cast<std::uintmax_t>(std::max(stop.iterations_max, 1));
  boost::math::tools::toms748_solve(
      watched, start.low, start.high, value_low, value_high, narrow, budget, Quiet());
  if (!finite) {
    return finish(RootStatus::not_finite);
  }
  const bool done = settled || narrow(result.bracket.low, result.bracket.high);
  return finish(done ? RootStatus::converged : RootStatus::iteration_limit);
}

}  // namespace ductledger::numeric
