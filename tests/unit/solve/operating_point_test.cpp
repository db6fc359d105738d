#include "solve/operating_point.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/check_text.hpp"

namespace ductledger::solve {
namespace {

constexpr double kCfm = units::kM3SPerCfm;

/// A run whose loss is R Q^2 (Pa, cfm) alone, so that answers can be worked by hand.
std::string square_run(const std::string& kind,
                       const std::string& speeds,
                       double loss_pa,
                       const std::string& extra = {}) {
  return "layout: 1\nsite: {air: {density: 1.20138 kg/m3}}\nappliance: {kind: " + kind +
         ", collar: 10 in round}\nfan:\n  curve_pressure: total\n  rated_density: 1.20138 kg/m3\n"
         "  speeds:\n" +
         speeds + "run:\n  pieces:\n" + extra +
         "    - loss: {pressure: " + std::to_string(loss_pa) +
         " Pa, at: 100 cfm}\n    - cap: {type: wall-hood-flap, coefficient: 0}\n";
}

const char* const kHump =
    "    - {name: a, curve: {airflow: 0 60 120 200 260 320 380 cfm, pressure: 110 95 100 108 95 60 "
    "0 "
    "Pa}}\n";

TEST(OperatingPoint, TwoPointsGiveTheParabolaAndTheLineAsItsBand) {
  const auto result = support::check(
      square_run("exhaust",
                 "    - {name: a, curve: {airflow: 240 300 cfm, pressure: 62.272 24.909 Pa}}\n",
                 9.6));
  const auto& speed = result.speeds.front();
  ASSERT_EQ(speed.point.status, Status::found);
  // R = 9.6e-4 Pa/cfm2 against 128.696 - 1.1531894e-3 Q^2, and against 211.726 - 0.6227223 Q.
  EXPECT_NEAR(speed.point.airflow_m3_s / kCfm, 246.782, 5e-3);
  ASSERT_TRUE(speed.other_shape.has_value());
  EXPECT_NEAR(speed.other_shape->airflow_m3_s / kCfm, 246.402, 5e-3);
  ASSERT_TRUE(speed.airflow_band_m3_s.has_value());
  EXPECT_LT(speed.airflow_band_m3_s->low, speed.airflow_band_m3_s->high);
}

TEST(OperatingPoint, AConstantBackPressureGivesThreeCrossingsAndTheLowestStableIsReached) {
  // A flap of 95 Pa and a slight square loss under a humped curve.
  const auto result = support::check(square_run(
      "exhaust",
      kHump,
      2.0,
      "    - damper: {type: backdraft-flap, coefficient: 0, opening_pressure: 96 Pa}\n"));
  const auto& point = result.speeds.front().point;
  ASSERT_EQ(point.status, Status::found);
  ASSERT_EQ(point.crossing_count, 3U);
  EXPECT_TRUE(point.crossings[0].stable);
  EXPECT_FALSE(point.crossings[1].stable);
  EXPECT_TRUE(point.crossings[2].stable);
  EXPECT_TRUE(point.crossings[0].reached_from_rest);
  EXPECT_FALSE(point.crossings[2].reached_from_rest);
  EXPECT_DOUBLE_EQ(point.airflow_m3_s, point.crossings[0].airflow_m3_s);
}

TEST(OperatingPoint, AFanWeakerThanTheFlapDoesNotFlow) {
  const auto result = support::check(square_run(
      "exhaust",
      kHump,
      2.0,
      "    - damper: {type: backdraft-flap, coefficient: 0, opening_pressure: 120 Pa}\n"));
  EXPECT_EQ(result.speeds.front().point.status, Status::no_flow);
  EXPECT_DOUBLE_EQ(result.speeds.front().point.airflow_m3_s, 0.0);
}

TEST(OperatingPoint, BeyondAndBelowTheGivenPointsNothingIsInvented) {
  const char* const ratings =
      "    - {name: a, curve: {airflow: 240 300 cfm, pressure: 62.272 24.909 Pa}}\n";
  const auto easy = support::check(square_run("exhaust", ratings, 0.1));
  EXPECT_EQ(easy.speeds.front().point.status, Status::beyond_curve);
  EXPECT_NEAR(easy.speeds.front().point.airflow_m3_s / kCfm, 300.0, 1e-6);
  const auto tight = support::check(square_run("exhaust", ratings, 100.0));
  EXPECT_EQ(tight.speeds.front().point.status, Status::below_curve);
}

TEST(OperatingPoint, OneRatingServesABathFanOnly) {
  const char* const rating = "    - {name: a, rated: {airflow: 100 cfm, pressure: 0.1 inH2O}}\n";
  const auto bath = support::check(square_run("bath-fan", rating, 40.0));
  EXPECT_EQ(bath.speeds.front().fan.origin, CurveOrigin::one_rating);
  EXPECT_EQ(bath.speeds.front().point.status, Status::found);
  const auto hood = support::check(square_run("range-hood", rating, 40.0));
  EXPECT_EQ(hood.speeds.front().point.status, Status::not_determined);
  EXPECT_FALSE(hood.resistance.empty());
}

TEST(OperatingPoint, AFreeAirFigureAloneGivesNone) {
  const auto result = support::check(square_run(
      "bath-fan", "    - {name: a, rated: {airflow: 100 cfm, pressure: 0 inH2O}}\n", 40.0));
  EXPECT_EQ(result.speeds.front().point.status, Status::not_determined);
  EXPECT_FALSE(result.speeds.front().fan.why_not.empty());
}

TEST(OperatingPoint, TwoBlowersShareTheAirflowEqually) {
  const std::string speeds =
      "    - {name: a, curve: {airflow: 0 100 200 300 cfm, pressure: 100 90 60 0 Pa}}\n";
  // Two blowers on the loss R Q^2 run as one on the loss R (2q)^2 = 4 R q^2.
  std::string twin = square_run("exhaust", speeds, 3.0);
  twin.replace(twin.find("  speeds:"), 0, "  count: 2\n");
  const auto two = support::check(twin);
  const auto one = support::check(square_run("exhaust", speeds, 12.0));
  EXPECT_NEAR(
      two.speeds.front().point.airflow_m3_s, 2.0 * one.speeds.front().point.airflow_m3_s, 1e-9);
}

TEST(OperatingPoint, StaticBasisEqualsTotalLessTheOutletVelocityPressure) {
  // A static curve and an exit of one velocity head in the same section cancel.
  const std::string head =
      "layout: 1\nsite: {air: {density: 1.20138 kg/m3}}\nappliance: {collar: 6 in round}\nfan:\n";
  const std::string speeds =
      "  speeds: [{name: a, curve: {airflow: 0 100 200 300 cfm, pressure: 100 90 60 0 Pa}}]\n";
  const auto with_exit = support::check(
      head + "  curve_pressure: static\n" + speeds +
      "run: {pieces: [{loss: {coefficient: 4}}, {cap: {type: wall-hood-flap, coefficient: 1}}]}\n");
  const auto without = support::check(
      head + "  curve_pressure: total\n" + speeds +
      "run: {pieces: [{loss: {coefficient: 4}}, {cap: {type: wall-hood-flap, coefficient: 0}}]}\n");
  EXPECT_NEAR(with_exit.speeds.front().point.airflow_m3_s,
              without.speeds.front().point.airflow_m3_s,
              1e-10);
}

}  // namespace
}  // namespace ductledger::solve
