#include "duct/friction.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace ductledger::duct {
namespace {

/// Colebrook-White by bisection in long double, an independent and slow way: 1/sqrt(f) to 1e-18.
double reference_factor(const FrictionState& state) {
  const auto f = [&](long double x) {
    return x + 2.0L * std::log10(static_cast<long double>(state.relative_roughness) / 3.7L +
                                 2.51L * x / static_cast<long double>(state.reynolds));
  };
  long double low = 0.1L;
  long double high = 20.0L;
  for (int i = 0; i < 70; ++i) {
    const long double middle = 0.5L * (low + high);
    (f(middle) < 0.0L ? low : high) = middle;
  }
  const long double x = 0.5L * (low + high);
  return static_cast<double>(1.0L / (x * x));
}

TEST(FrictionFactor, MeetsColebrookToOnePartInTenToTheTenth) {
  constexpr int kReynolds = 60;
  constexpr int kRoughness = 40;
  for (int i = 0; i <= kReynolds; ++i) {
    const double reynolds = 4000.0 * std::pow(25000.0, static_cast<double>(i) / kReynolds);
    for (int j = 0; j <= kRoughness; ++j) {
      const double roughness =
          j == 0 ? 0.0 : 1e-8 * std::pow(1e7, static_cast<double>(j) / kRoughness);
      const FrictionState state{.reynolds = reynolds, .relative_roughness = roughness};
      const double expected = reference_factor(state);
      ASSERT_NEAR(friction_factor(state), expected, 1e-10 * expected)
          << "Re " << reynolds << ", roughness " << roughness;
    }
  }
}

TEST(FrictionFactor, IsLaminarUpTo2300WhateverTheRoughness) {
  EXPECT_DOUBLE_EQ(friction_factor({.reynolds = 640.0, .relative_roughness = 0.05}), 0.1);
  EXPECT_DOUBLE_EQ(friction_factor({.reynolds = 2300.0, .relative_roughness = 0.0}), 64.0 / 2300.0);
}

TEST(FrictionFactor, IsInfiniteAtRest) {
  EXPECT_EQ(friction_factor({.reynolds = 0.0, .relative_roughness = 0.001}),
            std::numeric_limits<double>::infinity());
  EXPECT_EQ(friction_group({.reynolds = 0.0, .relative_roughness = 0.001}), 0.0);
}

TEST(FrictionGroup, IsFactorTimesReynoldsSquared) {
  for (const double reynolds : {100.0, 2299.0, 2301.0, 3000.0, 3999.0, 4000.0, 5e4, 3e6}) {
    const FrictionState state{.reynolds = reynolds, .relative_roughness = 0.0007};
    const double group = friction_group(state);
    EXPECT_NEAR(friction_factor(state) * reynolds * reynolds, group, 1e-14 * group) << reynolds;
  }
}

TEST(Flexible, FullyStretchedCostsNothingMore) {
  EXPECT_EQ(flexible_multiplier({.diameter = units::inches(8.0), .stretched = 1.0}), 1.0);
}

TEST(Flexible, RangeIsSixToTenInchesAndThirtyPercent) {
  EXPECT_FALSE(is_outside_flexible_range({.diameter = units::inches(6.0), .stretched = 0.7}));
  EXPECT_FALSE(is_outside_flexible_range({.diameter = units::inches(10.0), .stretched = 1.0}));
  EXPECT_FALSE(is_outside_flexible_range({.diameter = units::metres(0.1524), .stretched = 1.0}));
  EXPECT_TRUE(is_outside_flexible_range({.diameter = units::inches(5.0), .stretched = 0.9}));
  EXPECT_TRUE(is_outside_flexible_range({.diameter = units::inches(12.0), .stretched = 0.9}));
  EXPECT_TRUE(is_outside_flexible_range({.diameter = units::inches(8.0), .stretched = 0.69}));
}

TEST(Friction, its_exponent_is_the_slope_of_the_same_laws) {
  for (const double roughness : {0.0, 1e-4, 0.02}) {
    for (const double re : {50.0, 2299.0, 2350.0, 3000.0, 3990.0, 4100.0, 2e4, 1e6, 5e7}) {
      const double step = 1e-5 * re;
      const auto g = [&](double at) { return duct::friction_group({at, roughness}); };
      const double slope = (g(re + step) - g(re - step)) / (2.0 * step);
      const auto found = duct::sloped_friction({re, roughness});
      EXPECT_NEAR(found.factor, duct::friction_factor({re, roughness}), 1e-14 * found.factor);
      EXPECT_NEAR((2.0 + found.exponent) * g(re) / re, slope, 2e-4 * slope) << re;
    }
  }
}

}  // namespace
}  // namespace ductledger::duct
