#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "duct/friction.hpp"
#include "result/lanes_internal.hpp"

// What walks samples at once says of each what the law for one says.
namespace ductledger::result {
namespace {

using solve::Array;

double greatest_difference(const std::vector<double>& reynolds,
                           const std::vector<double>& roughness) {
  const auto count = static_cast<Eigen::Index>(reynolds.size());
  const Array all =
      solve::LossScalar<Array>::friction_factor(Eigen::Map<const Array>(reynolds.data(), count),
                                                Eigen::Map<const Array>(roughness.data(), count));
  double greatest = 0.0;
  for (std::size_t i = 0; i < reynolds.size(); ++i) {
    const double one = duct::friction_factor({reynolds[i], roughness[i]});
    greatest = std::max(greatest, std::abs(all[static_cast<Eigen::Index>(i)] / one - 1.0));
  }
  return greatest;
}

TEST(Lanes, friction_of_samples_near_each_other_is_that_of_each) {
  for (const double roughness : {0.0, 1e-6, 1e-4, 1e-3, 1e-2, 0.1}) {
    for (double reynolds = 500.0; reynolds < 1e8; reynolds *= 1.7) {
      for (const double spread : {0.01, 0.1, 0.3}) {
        std::vector<double> re;
        std::vector<double> rough;
        for (int i = 0; i < 64; ++i) {
          re.push_back(reynolds * std::exp(spread * std::sin(1.7 * i)));
          rough.push_back(std::min(0.1, roughness * std::exp(spread * std::cos(2.3 * i))));
        }
        EXPECT_LE(greatest_difference(re, rough), 1e-12) << reynolds << ' ' << roughness;
      }
    }
  }
}

TEST(Lanes, friction_of_samples_far_from_each_other_is_that_of_each) {
  std::vector<double> re;
  std::vector<double> rough;
  for (double reynolds = 10.0; reynolds < 1e8; reynolds *= 1.5) {
    for (const double roughness : {0.0, 1e-6, 1e-4, 1e-3, 1e-2, 0.1}) {
      re.push_back(reynolds);
      rough.push_back(roughness);
    }
  }
  EXPECT_LE(greatest_difference(re, rough), 1e-12);
}

TEST(Lanes, friction_at_rest_is_none_and_spoils_no_other) {
  const std::vector<double> re{0.0, 2e4, 0.0, 3e4};
  const std::vector<double> rough(4, 1e-3);
  const Array all = solve::LossScalar<Array>::friction_factor(
      Eigen::Map<const Array>(re.data(), 4), Eigen::Map<const Array>(rough.data(), 4));
  EXPECT_EQ(all[0], 0.0);
  EXPECT_NEAR(all[3], duct::friction_factor({3e4, 1e-3}), 1e-12);
}

}  // namespace
}  // namespace ductledger::result
