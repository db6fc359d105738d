#include "numeric/hermite.hpp"

#include <gtest/gtest.h>

#include <array>
#include <vector>

#include "base/expects.hpp"

namespace ductledger::numeric {
namespace {

std::vector<double> slopes_of(const std::vector<double>& x, const std::vector<double>& y) {
  std::vector<double> slopes(x.size());
  pchip_slopes({.x = x, .y = y}, slopes);
  return slopes;
}

TEST(Pchip, TwoPointsGiveTheSecant) {
  EXPECT_EQ(slopes_of({1.0, 3.0}, {5.0, 1.0}), (std::vector<double>{-2.0, -2.0}));
}

TEST(Pchip, InnerSlopeIsTheWeightedHarmonicMean) {
  // Secants 2 and 1 over widths 1 and 2: (5 + 4) / (5/2 + 4/1).
  const auto slopes = slopes_of({0.0, 1.0, 3.0}, {0.0, 2.0, 4.0});
  EXPECT_DOUBLE_EQ(slopes[1], 9.0 / 6.5);
  // Ends: ((2 + 2) 2 - 1) / 3 and ((4 + 1) 1 - 2 2) / 3.
  EXPECT_DOUBLE_EQ(slopes[0], 7.0 / 3.0);
  EXPECT_DOUBLE_EQ(slopes[2], 1.0 / 3.0);
}

TEST(Pchip, SlopeIsZeroAtAHump) {
  const auto slopes = slopes_of({0.0, 1.0, 2.0, 3.0}, {0.0, 1.0, 0.5, -3.0});
  EXPECT_EQ(slopes[1], 0.0);
  EXPECT_LT(slopes[2], 0.0);
}

TEST(Pchip, EndSlopeDoesNotTurnAgainstItsSecant) {
  // The three-point formula alone gives (2 0.1 - 10) / 2 at the left end.
  EXPECT_EQ(slopes_of({0.0, 1.0, 2.0}, {0.0, 0.1, 10.1})[0], 0.0);
}

TEST(Pchip, EndSlopeIsAtMostThreeSecants) {
  // (3 1 + 10) / 2 = 6.5 at the left end.
  EXPECT_EQ(slopes_of({0.0, 1.0, 2.0}, {0.0, 1.0, -9.0})[0], 3.0);
}

TEST(Pchip, BrokenContractIsSaid) {
  std::array<double, 2> slopes{};
  const std::array<double, 2> same{1.0, 1.0};
  const std::array<double, 3> three{1.0, 2.0, 3.0};
  EXPECT_THROW(pchip_slopes({.x = same, .y = same}, slopes), base::LogicError);
  EXPECT_THROW(pchip_slopes({.x = three, .y = same}, slopes), base::LogicError);
}

TEST(HermiteCubic, MeetsValuesAndSlopesOfBothEnds) {
  const HermiteSegment segment{
      .start = {.value = 3.0, .slope = -1.0}, .end = {.value = -2.0, .slope = 0.5}, .width = 4.0};
  const Cubic cubic = hermite_cubic(segment);
  EXPECT_DOUBLE_EQ(cubic.value(0.0), 3.0);
  EXPECT_DOUBLE_EQ(cubic.slope(0.0), -1.0);
  EXPECT_DOUBLE_EQ(cubic.value(4.0), -2.0);
  EXPECT_DOUBLE_EQ(cubic.slope(4.0), 0.5);
}

TEST(NeverRises, SeesABumpBetweenFallingEnds) {
  // Both ends fall steeply while the secant is nearly flat, so the middle must rise.
  const HermiteSegment bump{
      .start = {.value = 1.0, .slope = -4.0}, .end = {.value = 0.9, .slope = -4.0}, .width = 1.0};
  EXPECT_FALSE(never_rises(bump));
  EXPECT_GT(hermite_cubic(bump).slope(0.5), 0.0);
}

TEST(NeverRises, AcceptsAFlatAndATouchingSegment) {
  EXPECT_TRUE(never_rises({.start = {.value = 2.0}, .end = {.value = 2.0}, .width = 3.0}));
  // Slopes of three secants at both ends: the derivative just touches zero in the middle.
  EXPECT_TRUE(never_rises({.start = {.value = 1.0, .slope = -3.0},
                           .end = {.value = 0.0, .slope = -3.0},
                           .width = 1.0}));
  EXPECT_FALSE(never_rises({.start = {.value = 1.0, .slope = -3.1},
                            .end = {.value = 0.0, .slope = -3.1},
                            .width = 1.0}));
}

TEST(NeverRises, RefusesARisingEnd) {
  EXPECT_FALSE(never_rises(
      {.start = {.value = 1.0, .slope = 0.1}, .end = {.value = 0.0, .slope = -1.0}, .width = 1.0}));
}

}  // namespace
}  // namespace ductledger::numeric
