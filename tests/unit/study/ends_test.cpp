#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "study/check.hpp"

// What stands at the ends of a run: back pressure, wind, the house's stack.
namespace ductledger::study {
namespace {

struct Text {
  std::string run{};   ///< keys of the run
  std::string rest{};  ///< top-level keys
  std::string curve = "0.80 0.72 0.55 0.30 0 inH2O";
  std::string pieces = "    - straight: 20 ft\n    - cap: wall-hood-flap\n";
};

CheckResult checked(const Text& text) {
  const std::string whole =
      "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\n"
      "fan: {curve_pressure: total, speeds: [{name: a, curve: {airflow: 0 100 200 300 400 cfm, "
      "pressure: " +
      text.curve + "}}]}\n" + text.rest + "run:\n  section: 6 in round\n" + text.run +
      "  pieces:\n" + text.pieces;
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  auto layout = layout::read(std::make_shared<base::SourceText>("bench.yaml", whole), catalogue);
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  auto result = check(*std::move(layout), catalogue);
  EXPECT_TRUE(result);
  return *std::move(result);
}

double airflow(const CheckResult& result) { return result.speeds.front().point.airflow_m3_s; }

TEST(BackPressure, takes_what_a_fan_of_so_much_less_pressure_would) {
  // 0.1 inH2O off every point of the curve, in the air that it is rated in.
  const std::string air = "site: {air: {density: 1.20138 kg/m3}}\n";
  const std::string curve = "1.00 0.92 0.75 0.50 0.20 inH2O";
  const CheckResult held =
      checked({.run = "  back_pressure: 0.1 inH2O\n", .rest = air, .curve = curve});
  const CheckResult less = checked({.rest = air, .curve = "0.90 0.82 0.65 0.40 0.10 inH2O"});
  const CheckResult free = checked({.rest = air, .curve = curve});
  ASSERT_EQ(less.speeds.front().point.status, solve::Status::found);
  EXPECT_NEAR(airflow(held), airflow(less), 1e-5 * airflow(less));
  EXPECT_LT(airflow(held), airflow(free));
  ASSERT_TRUE(held.without_back_pressure_m3_s);
  EXPECT_NEAR(*held.without_back_pressure_m3_s, airflow(free), 1e-9);
  const solve::LedgerRow& last = held.speeds.front().ledger->rows.back();
  EXPECT_EQ(last.piece, "back pressure");
  EXPECT_NEAR(last.total_pressure_after_pa, 0.1 * units::kPascalPerInchWater, 1e-6);
}

TEST(BackPressure, more_than_the_fan_makes_from_rest_is_no_flow) {
  EXPECT_EQ(checked({.run = "  back_pressure: 250 Pa\n"}).speeds.front().point.status,
            solve::Status::no_flow);
}

TEST(Wind, what_it_takes_is_the_run_without_it) {
  const CheckResult windy = checked({.rest = "site: {wind: 20 mph}\n"});
  ASSERT_TRUE(windy.without_wind_m3_s);
  EXPECT_NEAR(*windy.without_wind_m3_s, airflow(checked({})), 1e-12);
  EXPECT_LT(airflow(windy), *windy.without_wind_m3_s);
  EXPECT_FALSE(checked({}).without_wind_m3_s);
}

TEST(NominalRoute, of_the_same_pieces_is_as_good_in_wind_and_in_a_tight_house) {
  const std::string pieces =
      "    - straight: 10 ft\n    - elbow: {type: smooth-radius, angle: 90 deg, radius_ratio: "
      "1.5}\n"
      "    - elbow: {type: smooth-radius, angle: 90 deg, radius_ratio: 1.5}\n"
      "    - cap: wall-hood-flap\n";
  const CheckResult same = checked(
      {.rest = "site: {wind: 15 mph, elevation: 3000 ft}\nhouse: {leakage: {airflow: 300 cfm, at: "
               "50 Pa}}\n",
       .pieces = pieces});
  ASSERT_TRUE(same.nominal && same.nominal->speeds.front());
  ASSERT_TRUE(same.nominal->speeds.front()->difference_m3_s);
  // Two close elbows may be charged as a pair in the run as in the route.
  EXPECT_NEAR(*same.nominal->speeds.front()->difference_m3_s, 0.0, 1e-9);
}

TEST(HouseStack, is_the_weight_of_the_column_between_collar_and_leaks) {
  const std::string cold = "site: {outdoor: {temperature: 0 degF}}\n";
  const std::string leaks = "house: {leakage: {airflow: 300 cfm, at: 50 Pa";
  const CheckResult neutral = checked({.rest = cold + leaks + "}}\n"});
  const CheckResult high = checked({.rest = cold + leaks + ", above_collar: 10 ft}}\n"});
  const CheckResult low = checked({.rest = cold + leaks + ", above_collar: -5 ft}}\n"});
  const auto suction = [](const CheckResult& result) {
    return result.house.depressurisation_pa(0.05);
  };
  const solve::SiteAir& air = neutral.run.air;
  const double per_m = (air.outdoor_density_kg_m3 - air.indoor_density_kg_m3) * units::kGravityM_S2;
  EXPECT_NEAR(suction(high) - suction(neutral), per_m * 3.048, 1e-9);
  EXPECT_NEAR(suction(low) - suction(neutral), -per_m * 1.524, 1e-9);
  EXPECT_GT(per_m, 1.0);
}

TEST(LeakageReported, tells_what_the_key_would_change_and_is_that) {
  const std::string cold = "site: {outdoor: {temperature: 0 degF}}\n";
  const std::string leaks = "house: {leakage: {airflow: 300 cfm, at: 50 Pa";
  const CheckResult as_flows = checked({.rest = cold + leaks + "}}\n"});
  const CheckResult reported = checked({.rest = cold + leaks + ", reported_at: standard}}\n"});
  ASSERT_TRUE(as_flows.leakage_reported);
  EXPECT_NEAR(as_flows.leakage_reported->airflow_m3_s, airflow(reported), 1e-12);
  EXPECT_FALSE(reported.leakage_reported);
}

}  // namespace
}  // namespace ductledger::study
