#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "solve/airflow_bounds.hpp"
#include "support/check_text.hpp"
#include "units/constants.hpp"

// A fan known by two points, and every falling fan through them: the crossing of each lies within
// the bounds that the two points give.
namespace ductledger {
namespace {

constexpr double kCfm = 4.719474e-4;
constexpr double kInchWaterPa = 249.08891;

struct Drawn {
  double first_cfm = 0.0;
  double last_cfm = 0.0;
  double high_in = 0.0;
  double low_in = 0.0;
  double coefficient = 0.0;
  double length_ft = 0.0;
};

study::CheckResult checked(const Drawn& of) {
  return support::check(fmt::format(
      "layout: 1\n"
      "appliance: {{kind: exhaust, collar: 6 in round}}\n"
      "fan: {{speeds: [{{name: a, rated: [{{airflow: {} cfm, pressure: {} inH2O}}, {{airflow: {} "
      "cfm, pressure: {} inH2O}}]}}]}}\n"
      "run: {{section: 6 in round, pieces: [{{straight: {} ft}}, {{cap: {{type: grille, "
      "coefficient: {}}}}}]}}\n",
      of.first_cfm,
      of.high_in,
      of.last_cfm,
      of.low_in,
      of.length_ft,
      of.coefficient));
}

/// Pressure of a random falling fan through both points [Pa]: a staircase of slopes on either side.
/// @param density_ratio the air in the duct against the air of the ratings
class FallingFan {
 public:
  FallingFan(const Drawn& of, double density_ratio, std::mt19937_64& engine)
      : of_(of), density_ratio_(density_ratio) {
    std::exponential_distribution<double> steep(1.0);
    for (double& slope : slopes_) {
      slope = steep(engine) * of.high_in * kInchWaterPa / (of.last_cfm * kCfm);
    }
    std::uniform_real_distribution<double> power(0.2, 6.0);
    power_ = power(engine);
  }
  [[nodiscard]] double pressure_pa(double q) const { return density_ratio_ * rated_pa(q); }

 private:
  [[nodiscard]] double rated_pa(double q) const {
    const double first = of_.first_cfm * kCfm;
    const double last = of_.last_cfm * kCfm;
    const double high = of_.high_in * kInchWaterPa;
    const double low = of_.low_in * kInchWaterPa;
    if (q < first) {
      return high + slopes_[0] * (first - q) + slopes_[1] * std::max(0.6 * first - q, 0.0);
    }
    if (q > last) {
      return low - slopes_[2] * (q - last) - slopes_[3] * std::max(q - 1.3 * last, 0.0);
    }
    return high - (high - low) * std::pow((q - first) / (last - first), power_);
  }

  Drawn of_;
  double density_ratio_;
  double slopes_[4] = {};
  double power_ = 1.0;
};

TEST(BoundsProperty, EveryFallingFanThroughTwoRatingsCrossesWithinTheBounds) {
  std::mt19937_64 engine(20260101);
  const auto uniform = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine);
  };
  std::size_t below = 0;
  std::size_t beyond = 0;
  for (int i = 0; i < 60; ++i) {
    Drawn of;
    of.first_cfm = uniform(40.0, 150.0);
    of.last_cfm = of.first_cfm * uniform(1.1, 2.0);
    of.low_in = uniform(0.02, 0.3);
    of.high_in = of.low_in + uniform(0.05, 0.6);
    of.coefficient = std::exp(uniform(std::log(1.1), std::log(120.0)));
    of.length_ft = uniform(1.0, 60.0);
    const study::CheckResult result = checked(of);
    const solve::OperatingPoint& point = result.speeds.front().point;
    below += point.status == solve::Status::below_curve ? 1U : 0U;
    beyond += point.status == solve::Status::beyond_curve ? 1U : 0U;
    if (!solve::is_bound(point.status)) {
      EXPECT_FALSE(point.bounds.has_value());
      continue;
    }
    ASSERT_TRUE(point.bounds.has_value());
    ASSERT_TRUE(point.estimate.has_value());
    EXPECT_GE(point.estimate->airflow_m3_s, point.bounds->low_m3_s * (1.0 - 1e-9));
    EXPECT_LE(point.estimate->airflow_m3_s, point.bounds->high_m3_s * (1.0 + 1e-9));
    for (int fan = 0; fan < 20; ++fan) {
      const FallingFan falling(
          of, result.run.air.density_kg_m3 / units::kStandardDensityKgM3, engine);
      const double dynamic = result.run.outlet_dynamic_pa_s2_m6;
      double low = 0.0;
      double high = 1.0;
      while (high - low > 1e-9) {
        const double q = (low + high) / 2.0;
        const bool flows = falling.pressure_pa(q) + dynamic * q * q > result.run.loss.at(q);
        (flows ? low : high) = q;
      }
      EXPECT_GE(low, point.bounds->low_m3_s - 1e-7) << i;
      EXPECT_LE(low, point.bounds->high_m3_s + 1e-7) << i;
    }
  }
  EXPECT_GT(below, 5U);
  EXPECT_GT(beyond, 5U);
}

// One rating of a kind of fan that has no published drop: every falling fan through it.
TEST(BoundsProperty, EveryFallingFanThroughOneRatingCrossesWithinTheBounds) {
  std::mt19937_64 engine(20260728);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  std::size_t left = 0;
  std::size_t right = 0;
  for (int i = 0; i < 120; ++i) {
    const double rated_cfm = 80.0 + 300.0 * unit(engine);
    const double rated_in = 0.05 + 0.3 * unit(engine);
    const double coefficient = 1.1 + 8.0 * unit(engine);  // below 1 the loss may fall
    const auto result = support::check(fmt::format(
        "layout: 1\nappliance: {{kind: range-hood, collar: 6 in round}}\n"
        "fan: {{speeds: [{{name: a, rated: {{airflow: {} cfm, pressure: {} inH2O}}}}]}}\n"
        "run: {{section: 6 in round, pieces: [{{straight: 10 ft}}, {{cap: {{type: grille, "
        "coefficient: {}}}}}]}}\n",
        rated_cfm,
        rated_in,
        coefficient));
    const result::SpeedResult& speed = result.speeds.front();
    ASSERT_EQ(speed.point.status, solve::Status::not_determined);
    ASSERT_TRUE(speed.point.bounds);
    const double density_ratio = result.run.air.density_kg_m3 / units::kStandardDensityKgM3;
    const solve::Demand demand = house::demand(result.run, result.house);
    const double steep = std::exp(4.0 * unit(engine) - 2.0) * rated_in / rated_cfm;
    const double shallow = std::exp(4.0 * unit(engine) - 3.0) * rated_in / rated_cfm;
    double crossing_cfm = 0.0;
    for (double cfm = 0.0; cfm < 2000.0; cfm += 0.02) {
      const double fan_in = rated_in + (cfm < rated_cfm ? steep : shallow) * (rated_cfm - cfm);
      if (demand.static_pa(cfm * kCfm) >= density_ratio * fan_in * kInchWaterPa) {
        crossing_cfm = cfm;
        break;
      }
    }
    EXPECT_GE(crossing_cfm, speed.point.bounds->low_m3_s / kCfm - 0.05);
    EXPECT_LE(crossing_cfm, speed.point.bounds->high_m3_s / kCfm + 0.05);
    ASSERT_TRUE(speed.airflow_band_m3_s);
    EXPECT_LE(speed.airflow_band_m3_s->low, speed.point.bounds->low_m3_s);
    EXPECT_GE(speed.airflow_band_m3_s->high, speed.point.bounds->high_m3_s);
    (crossing_cfm < rated_cfm ? left : right) += 1;
  }
  EXPECT_GT(left, 10U);
  EXPECT_GT(right, 10U);
}

}  // namespace
}  // namespace ductledger
