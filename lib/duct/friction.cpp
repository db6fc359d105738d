#include "duct/friction.hpp"

#include <cmath>
#include <limits>

#include "duct/colebrook.hpp"
#include "units/quantity.hpp"

namespace ductledger::duct {
namespace {

constexpr double kLaminarEnd = 2300.0;
constexpr double kTurbulentStart = 4000.0;
constexpr double kLaminar = 64.0;

/// Colebrook-White in x = 1/sqrt(f): x + k ln(a + b x) = 0.
struct Colebrook {
  double a;
  double b;

  explicit Colebrook(const FrictionState& state)
      : a(state.relative_roughness * colebrook::kPerRoughness), b(2.51 / state.reynolds) {}

  /// x to better than 1e-10 relative for Re 4000 to 1e8 and roughness 0 to 0.1; a test shows it on
  /// a grid.
  [[nodiscard]] double root() const {
    const double start = colebrook::start(a, b);
    const double sum = a + b * start;
    return colebrook::root(b, start, sum, std::log(sum));
  }

  /// -d ln x / d ln b: with b proportional to 1/Re, d ln x / d ln Re = pull / (1 + pull).
  [[nodiscard]] double pull(double x) const { return colebrook::kPerLog * b / (a + b * x); }
};

/// G and dG/dRe.
struct End {
  double group;
  double slope;
};

End turbulent_end(double relative_roughness) {
  const Colebrook law({.reynolds = kTurbulentStart, .relative_roughness = relative_roughness});
  const double x = law.root();
  const double factor = 1.0 / (x * x);
  const double pull = law.pull(x);  // and G = (Re / x)^2
  const double slope = 2.0 * kTurbulentStart * factor * (1.0 - pull / (1.0 + pull));
  return {.group = factor * kTurbulentStart * kTurbulentStart, .slope = slope};
}

End blended(const FrictionState& state) {
  const End end = turbulent_end(state.relative_roughness);
  constexpr double kWidth = kTurbulentStart - kLaminarEnd;
  const double t = (state.reynolds - kLaminarEnd) / kWidth;
  const double u = 1.0 - t;
  const double start_value = (1.0 + 2.0 * t) * u * u;
  const double start_slope = t * u * u;
  const double end_value = t * t * (3.0 - 2.0 * t);
  const double end_slope = -t * t * u;
  const double bend = 6.0 * t * u * (end.group - kLaminar * kLaminarEnd) / kWidth;
  return {.group = start_value * kLaminar * kLaminarEnd + end_value * end.group +
                   kWidth * (start_slope * kLaminar + end_slope * end.slope),
          .slope = bend + u * (1.0 - 3.0 * t) * kLaminar - t * (2.0 - 3.0 * t) * end.slope};
}

}  // namespace

double friction_factor(const FrictionState& state) noexcept {
  if (state.reynolds >= kTurbulentStart) {
    const double x = Colebrook(state).root();
    return 1.0 / (x * x);
  }
  if (state.reynolds <= kLaminarEnd) {
    return state.reynolds > 0.0 ? kLaminar / state.reynolds
                                : std::numeric_limits<double>::infinity();
  }
  return blended(state).group / (state.reynolds * state.reynolds);
}

SlopedFriction sloped_friction(const FrictionState& state) noexcept {
  if (state.reynolds >= kTurbulentStart) {
    const Colebrook law(state);
    const double x = law.root();
    const double pull = law.pull(x);
    return {.factor = 1.0 / (x * x), .exponent = -2.0 * pull / (1.0 + pull)};
  }
  if (state.reynolds <= kLaminarEnd) {
    return {.factor = kLaminar / state.reynolds, .exponent = -1.0};
  }
  const End at = blended(state);
  return {.factor = at.group / (state.reynolds * state.reynolds),
          .exponent = state.reynolds * at.slope / at.group - 2.0};
}

double friction_group(const FrictionState& state) noexcept {
  if (state.reynolds <= kLaminarEnd) {
    return kLaminar * state.reynolds;
  }
  if (state.reynolds < kTurbulentStart) {
    return blended(state).group;
  }
  const double root = state.reynolds / Colebrook(state).root();
  return root * root;
}

double flexible_multiplier(const FlexState& state) noexcept {
  const double compression_percent = 100.0 * (1.0 - state.stretched);
  const double diameter_in = state.diameter.value() / units::kMetresPerInch;
  return 1.0 + 0.58 * compression_percent * std::exp(-0.126 * diameter_in);
}

bool is_outside_flexible_range(const FlexState& state) noexcept {
  // A part in 1e9 lets 6 in and 70 % in however they were rounded.
  constexpr double kAllowance = 1e-9;
  return state.diameter < units::inches(6.0 - kAllowance) ||
         state.diameter > units::inches(10.0 + kAllowance) || state.stretched < 0.7 - kAllowance;
}

}  // namespace ductledger::duct
