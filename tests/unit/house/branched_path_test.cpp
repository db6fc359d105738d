#include "house/branched_path.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace ductledger::house {
namespace {

BranchedPath of(double (*loss_pa)(double), double at_rest_pa = 0.0) {
  std::vector<BranchedPath::Point> points;
  for (int i = 0; i <= 128; ++i) {
    const double q = 1e-4 * std::pow(10.0, i / 32.0);
    points.push_back({q, loss_pa(q)});
  }
  return {points, at_rest_pa};
}

TEST(BranchedPath, a_power_law_is_met_everywhere) {
  const auto law = [](double q) { return 900.0 * std::pow(q, 1.87); };
  const BranchedPath table = of(+law);
  for (double q = 1e-4; q < 1.0; q *= 1.07) {
    EXPECT_NEAR(table.at(q), law(q), 1e-12 * law(q)) << q;
  }
}

// Laminar below, turbulent above: the slope changes from 1 to 2.
TEST(BranchedPath, a_change_of_law_is_followed_between_the_points) {
  const auto law = [](double q) { return 2.0 * q + 900.0 * q * q; };
  const BranchedPath table = of(+law);
  double before = 0.0;
  for (double q = 1e-4; q < 1.0; q *= 1.013) {
    EXPECT_NEAR(table.at(q), law(q), 2e-6 * law(q)) << q;
    EXPECT_GT(table.at(q), before);
    before = table.at(q);
  }
}

TEST(BranchedPath, ends_lead_on_as_told) {
  const auto law = [](double q) { return 5.0 + 900.0 * q * q; };
  const BranchedPath table = of(+law, 5.0);
  EXPECT_EQ(table.at(0.0), 5.0);
  EXPECT_NEAR(table.at(5e-5), (5.0 + law(1e-4)) / 2.0, 1e-12);
  EXPECT_NEAR(table.at(2.0), 4.0 * law(1.0), 1e-9);
}

}  // namespace
}  // namespace ductledger::house
