#include "numeric/root.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace ductledger::numeric {
namespace {

TEST(Root, IsFoundToTheStatedWidth) {
  const auto f = [](double x) { return std::cos(x) - x; };
  const RootStop stop{.width_relative = 1e-13};
  const RootResult result = find_root(f, {.low = 0.0, .high = 1.0}, stop);
  EXPECT_EQ(result.status, RootStatus::converged);
  EXPECT_NEAR(result.root, 0.73908513321516064, 1e-13);
  EXPECT_LE(result.bracket.high - result.bracket.low, 1e-13 * result.bracket.high);
  EXPECT_EQ(result.residual, f(result.root));
  EXPECT_LT(result.iterations, 12);
}

TEST(Root, BracketHoldsTheSignChange) {
  const auto f = [](double x) { return x * x * x - 2.0; };
  const RootResult result = find_root(f, {.low = 0.0, .high = 9.0}, {.width_absolute = 0.01});
  ASSERT_EQ(result.status, RootStatus::converged);
  EXPECT_LE(f(result.bracket.low), 0.0);
  EXPECT_GE(f(result.bracket.high), 0.0);
  EXPECT_LE(result.bracket.high - result.bracket.low, 0.01 + 1e-12 * 9.0);
}

TEST(Root, StopsOnceTheResidualIsSmallEnough) {
  const auto f = [](double x) { return 1000.0 * (x - 0.3) * (x + 5.0); };
  const RootResult result =
      find_root(f, {.low = 0.0, .high = 4.0}, {.residual_max = 2.0, .width_relative = 0.0});
  ASSERT_EQ(result.status, RootStatus::converged);
  EXPECT_LE(std::fabs(result.residual), 2.0);
  EXPECT_EQ(result.residual, f(result.root));
}

TEST(Root, ZeroAtAnEndCounts) {
  const RootResult result =
      find_root([](double x) { return x - 2.0; }, {.low = 2.0, .high = 3.0}, {});
  EXPECT_EQ(result.status, RootStatus::converged);
  EXPECT_EQ(result.root, 2.0);
  EXPECT_EQ(result.iterations, 0);
}

TEST(Root, FallingFunctionsAreFoundToo) {
  const RootResult result =
      find_root([](double x) { return 5.0 - x * x; }, {.low = 0.0, .high = 5.0}, {});
  EXPECT_EQ(result.status, RootStatus::converged);
  EXPECT_NEAR(result.root, std::sqrt(5.0), 1e-11);
}

TEST(Root, WithoutASignChangeNothingIsSearched) {
  const RootResult result =
      find_root([](double x) { return 1.0 + x * x; }, {.low = -1.0, .high = 2.0}, {});
  EXPECT_EQ(result.status, RootStatus::no_sign_change);
  EXPECT_EQ(result.iterations, 0);
}

TEST(Root, BadBracketIsNotFinite) {
  const auto f = [](double x) { return x; };
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double infinity = std::numeric_limits<double>::infinity();
  EXPECT_EQ(find_root(f, {.low = nan, .high = 1.0}, {}).status, RootStatus::not_finite);
  EXPECT_EQ(find_root(f, {.low = -1.0, .high = infinity}, {}).status, RootStatus::not_finite);
  EXPECT_EQ(find_root(f, {.low = 1.0, .high = -1.0}, {}).status, RootStatus::not_finite);
  EXPECT_TRUE(std::isnan(find_root(f, {.low = 1.0, .high = -1.0}, {}).root));
}

TEST(Root, ValueThatIsNotFiniteEndsTheSearch) {
  const auto f = [](double x) { return std::fabs(x) < 0.5 ? std::nan("") : x; };
  const RootResult result = find_root(f, {.low = -1.0, .high = 1.0}, {});
  EXPECT_EQ(result.status, RootStatus::not_finite);
}

TEST(Root, IterationLimitIsReportedWithTheNarrowestBracket) {
  const auto f = [](double x) { return std::exp(x) - 2.0; };
  const RootResult result =
      find_root(f, {.low = -20.0, .high = 20.0}, {.width_relative = 1e-15, .iterations_max = 3});
  EXPECT_EQ(result.status, RootStatus::iteration_limit);
  EXPECT_LE(result.bracket.low, std::log(2.0));
  EXPECT_GE(result.bracket.high, std::log(2.0));
  EXPECT_LT(result.bracket.high - result.bracket.low, 40.0);
}

TEST(Root, JumpThroughZeroIsPlaced) {
  const auto f = [](double x) { return x < 1.25 ? -3.0 : 4.0; };
  const RootResult result = find_root(f, {.low = 0.0, .high = 10.0}, {});
  EXPECT_EQ(result.status, RootStatus::converged);
  EXPECT_NEAR(result.root, 1.25, 1e-10);
  EXPECT_EQ(std::fabs(result.residual), 3.0);
}

}  // namespace
}  // namespace ductledger::numeric
