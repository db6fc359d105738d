#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "support/check_text.hpp"

// Fans of which the file knows little: cartons, blowers with outlets of their own, no house stated.
namespace ductledger::study {
namespace {

constexpr double kCfm = 4.719474432e-4;

std::string hood(const std::string& fan, const std::string& more = {}) {
  return "layout: 1\nappliance: {kind: range-hood, collar: 8 in round}\nfan: " + fan +
         "\nrun: {section: 8 in round, pieces: [{straight: 10 ft}, {cap: {type: grille, "
         "coefficient: 2 +- 10 %}}]}\n" +
         more;
}

TEST(Carton, AFreeAirAirflowRunsOnTheAssumedShapeWhereItIsAskedFor) {
  const CheckResult result = support::check(hood("{free_air: 600 cfm, blower: generic}"));
  const result::SpeedResult& speed = result.speeds.front();
  EXPECT_EQ(speed.fan.origin, solve::CurveOrigin::free_air);
  ASSERT_EQ(speed.point.status, solve::Status::found);
  // 0.8 inH2O (1 - (Q/Q0)^2) against the run, worked here.
  double low = 0.0;
  double high = 600.0 * kCfm;
  while (high - low > 1e-12) {
    const double q = (low + high) / 2.0;
    const double share = q / (600.0 * kCfm);
    const double fan_pa = 0.8 * 249.08891 * (1.0 - share * share) * result.run.air.density_kg_m3 /
                          (0.075 * 16.018463373960142);
    const double run_pa = result.run.loss.at(q) - result.run.outlet_dynamic_pa_s2_m6 * q * q;
    (fan_pa > run_pa ? low : high) = q;
  }
  EXPECT_NEAR(speed.point.airflow_m3_s, low, 1e-6 * low);
  // A factor of 2 on the shut-off pressure, as k = 2, is in the band.
  bool counted = false;
  for (const solve::ErrorSource& source : speed.band->sources) {
    if (source.key == "fan-shut-off") {
      counted = true;
      const double u = source.standard_uncertainty;
      EXPECT_NEAR(std::exp(2.0 * std::sqrt(std::log1p(u * u))), 2.0, 0.01);
    }
  }
  EXPECT_TRUE(counted);
  const auto said = std::find_if(result.findings.begin(), result.findings.end(), [](const auto& f) {
    return f.code == "fan-shape-assumed";
  });
  ASSERT_NE(said, result.findings.end());
  EXPECT_EQ(said->level, findings::Level::warn);
}

TEST(Carton, ABareRatingIsFreeAirAndGivesNoOperatingPointByItself) {
  const CheckResult result = support::check(hood("{speeds: [{name: high, rated: 600 cfm}]}"));
  const result::SpeedResult& speed = result.speeds.front();
  EXPECT_EQ(speed.point.status, solve::Status::not_determined);
  ASSERT_TRUE(speed.rated.has_value());
  EXPECT_EQ(speed.rated->basis, solve::RatedAirflow::Basis::free_air);
  EXPECT_NEAR(speed.rated->airflow_m3_s, 600.0 * kCfm, 1e-9);
}

// Two blowers: half the airflow in each outlet.
TEST(Outlet, TheVelocityPressureIsThatOfEachBlowersOwn) {
  const char* const curve =
      "speeds: [{name: high, curve: {airflow: 0 150 250 320 cfm, pressure: 0.8 0.6 0.3 0 inH2O}}]}";
  const CheckResult own =
      support::check(hood(std::string("{count: 2, outlet: 6 in round, ") + curve));
  const CheckResult shared = support::check(hood(std::string("{count: 2, ") + curve));
  const double area_m2 = std::acos(-1.0) / 4.0 * 0.1524 * 0.1524;
  EXPECT_NEAR(own.run.outlet_dynamic_pa_s2_m6,
              own.run.air.density_kg_m3 / 2.0 / (4.0 * area_m2 * area_m2),
              1e-9 * own.run.outlet_dynamic_pa_s2_m6);
  // Two 6 in outlets have more area than the 8 in collar, so less velocity pressure helps.
  EXPECT_LT(own.speeds.front().point.airflow_m3_s, shared.speeds.front().point.airflow_m3_s);
}

TEST(NoHouse, ATightOneWouldLeaveLessThanAnOldOne) {
  const char* const fan =
      "{speeds: [{name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 "
      "0.32 "
      "0 inH2O}}]}";
  const CheckResult open = support::check(hood(fan));
  ASSERT_TRUE(open.house_would_leave.has_value());
  const HouseWouldLeave& left = *open.house_would_leave;
  EXPECT_LT(left.tight_m3_s, left.old_m3_s);
  EXPECT_LT(left.old_m3_s, open.speeds.front().point.airflow_m3_s);
  // What it says is what a layout with that house gives.
  const CheckResult stated =
      support::check(hood(fan, "house: {volume: 16000 ft3, leakage: {ach50: 3}}\n"));
  EXPECT_FALSE(stated.house_would_leave.has_value());
  EXPECT_NEAR(stated.speeds.front().point.airflow_m3_s, left.tight_m3_s, 1e-6 * left.tight_m3_s);
}

}  // namespace
}  // namespace ductledger::study
