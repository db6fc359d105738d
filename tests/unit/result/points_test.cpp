#include <gtest/gtest.h>

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numeric>

#include "result/points_internal.hpp"

namespace ductledger::result {
namespace {

constexpr std::size_t kCount = 2048;

double mean_product(const std::vector<double>& a, const std::vector<double>& b) {
  return std::inner_product(a.begin(), a.end(), b.begin(), 0.0) / static_cast<double>(a.size());
}

TEST(Points, AreIndependentStandardNormalNumbers) {
  const std::vector<double> steepest{0.2, -1.0, 0.0, 0.7, 0.1, 0.3};
  const auto z = normal_points({.count = kCount, .seed = 5, .steepest = steepest});
  ASSERT_EQ(z.size(), steepest.size());
  const std::vector<double> ones(kCount, 1.0);
  for (std::size_t j = 0; j < z.size(); ++j) {
    ASSERT_EQ(z[j].size(), kCount);
    EXPECT_NEAR(mean_product(z[j], ones), 0.0, 0.01) << j;
    EXPECT_NEAR(mean_product(z[j], z[j]), 1.0, 0.02) << j;
    for (std::size_t k = 0; k < j; ++k) {
      EXPECT_NEAR(mean_product(z[j], z[k]), 0.0, 0.05) << j << ' ' << k;
    }
  }
}

TEST(Points, LieEvenlyAlongTheSteepestDirection) {
  const std::vector<double> steepest{3.0, -4.0, 12.0};  // of length 13
  const auto z = normal_points({.count = kCount, .seed = 9, .steepest = steepest});
  std::vector<double> along(kCount);
  for (std::size_t i = 0; i < kCount; ++i) {
    along[i] = (3.0 * z[0][i] - 4.0 * z[1][i] + 12.0 * z[2][i]) / 13.0;
  }
  std::sort(along.begin(), along.end());
  const boost::math::normal normal;
  for (std::size_t i = 0; i < kCount; ++i) {
    // One point in each of as many stretches of equal probability.
    const double share = boost::math::cdf(normal, along[i]) * static_cast<double>(kCount);
    EXPECT_GE(share, static_cast<double>(i) - 1e-6);
    EXPECT_LE(share, static_cast<double>(i) + 1.0 + 1e-6);
  }
}

TEST(Points, AreTheSameForOneSeedWhateverWasAskedBetween) {
  const std::vector<double> three{1.0, 0.0, 0.0};
  const std::vector<double> five{0.0, 1.0, 0.0, 0.0, 2.0};
  const PointsWanted wanted{.count = 300, .seed = 1, .steepest = three};
  const auto first = normal_points(wanted);
  const auto other = normal_points({.count = 300, .seed = 2, .steepest = three});
  EXPECT_NE(first, other);
  (void)normal_points({.count = 300, .seed = 1, .steepest = five});
  EXPECT_EQ(first, normal_points(wanted));
}

TEST(Points, WithoutADirectionStayAsTheyAre) {
  const std::vector<double> none{0.0, 0.0};
  const auto z = normal_points({.count = 64, .seed = 3, .steepest = none});
  const std::vector<double> first{1.0, 0.0};
  EXPECT_EQ(z, normal_points({.count = 64, .seed = 3, .steepest = first}));
}

TEST(Points, OfMoreErrorsThanTheSequenceHasAreIndependentStandardNormalNumbersToo) {
  std::vector<double> steepest(400, 0.0);
  steepest[2] = 1.0;
  const auto z = normal_points({.count = kCount, .seed = 5, .steepest = steepest});
  ASSERT_EQ(z.size(), steepest.size());
  const std::vector<double> ones(kCount, 1.0);
  for (const std::size_t j : {1UL, 255UL, 256UL, 350UL, 399UL}) {
    EXPECT_NEAR(mean_product(z[j], ones), 0.0, 0.01) << j;
    EXPECT_NEAR(mean_product(z[j], z[j]), 1.0, 0.02) << j;
  }
  const std::vector<double> fewer(380, 0.0);
  const std::vector<double> level(400, 0.0);
  EXPECT_EQ(normal_points({.count = kCount, .seed = 5, .steepest = fewer}).back(),
            normal_points({.count = kCount, .seed = 5, .steepest = level})[379]);
  // Four standard errors of a correlation.
  EXPECT_NEAR(mean_product(z[350], z[351]), 0.0, 4.0 / std::sqrt(kCount));
  EXPECT_NEAR(mean_product(z[255], z[256]), 0.0, 4.0 / std::sqrt(kCount));
}

}  // namespace
}  // namespace ductledger::result
