#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>
#include <numbers>

#include "fitting/floating_flap.hpp"
#include "support/check_text.hpp"

// Flaps that the stream holds open.
namespace ductledger {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;

TEST(FlapProperty, StandsWhereTheMomentsBalance) {
  EXPECT_TRUE(rc::check([] {
    const double lift = std::exp(*rc::gen::inRange(-1200, 800) / 100.0);
    const double angle_rad = fitting::flap_angle_rad(lift);
    const double stream = (fitting::flap_coefficient(angle_rad) + 1.0) * lift;
    RC_ASSERT(std::abs(stream - std::tan(angle_rad)) <= 1e-9 * stream);
  }));
}

TEST(FlapProperty, CostsMoreInAllAndLessPerVelocityPressureAsTheStreamGrows) {
  EXPECT_TRUE(rc::check([] {
    const double lift = std::exp(*rc::gen::inRange(-1800, 1000) / 100.0);
    const double more = lift * (1.0 + *rc::gen::inRange(1, 1000) / 1000.0);
    const double before = fitting::flap_excess(lift);
    const double after = fitting::flap_excess(more);
    RC_ASSERT(after < before);
    RC_ASSERT(after > 0.0);
    RC_ASSERT(more * (1.0 + after) > lift * (1.0 + before));
    // At least as the tenth power of the velocity pressure: `RunLoss::rises` counts on it.
    RC_ASSERT(more * (1.0 + after) / (lift * (1.0 + before)) >=
              std::pow(more / lift, 0.1) * (1.0 - 1e-9));
  }));
}

TEST(FlapProperty, FollowsItsTableAtThePrintedAngles) {
  for (const fitting::FlapRow& row : fitting::flap_rows()) {
    EXPECT_NEAR(fitting::flap_coefficient(row.angle_rad), row.coefficient, 1e-12);
    if (row.angle_rad > 89.0 * kDegree) {
      continue;
    }
    const double lift = std::tan(row.angle_rad) / (row.coefficient + 1.0);
    EXPECT_NEAR(fitting::flap_angle_rad(lift), row.angle_rad, 1e-9);
    // Fully open the table's flap costs 2.0 - 1.0.
    EXPECT_NEAR(1.0 + fitting::flap_excess(lift), row.coefficient - 1.0, 3e-3 * row.coefficient);
  }
}

std::string flap_run_text(const std::string& cap, double free_cfm, double top_in_h2o) {
  return fmt::format(
      "layout: 1\nappliance: {{kind: exhaust, collar: 6 in round}}\n"
      "fan: {{speeds: [{{name: a, curve: {{airflow: 0 {} {} cfm, pressure: {} {} 0 inH2O}}}}]}}\n"
      "run:\n  section: 6 in round\n  pieces:\n    - straight: 20 ft\n    - cap: {}\n",
      0.6 * free_cfm,
      free_cfm,
      top_in_h2o,
      0.7 * top_in_h2o,
      cap);
}

TEST(FlapProperty, AHeavierFlapNeverLetsMoreThrough) {
  EXPECT_TRUE(rc::check([] {
    const double free_cfm = *rc::gen::inRange(40, 600);
    const double top = *rc::gen::inRange(10, 200) / 100.0;
    const double light = *rc::gen::inRange(1, 100) / 10.0;
    const double heavy = light * (1.0 + *rc::gen::inRange(1, 300) / 100.0);
    const auto airflow = [&](double mass) {
      const auto result = support::check(flap_run_text(
          fmt::format("{{type: wall-hood-flap, mass_per_area: {} kg/m2}}", mass), free_cfm, top));
      RC_ASSERT(result.speeds.front().point.status == solve::Status::found);
      return result.speeds.front().point.airflow_m3_s;
    };
    RC_ASSERT(airflow(heavy) < airflow(light));
  }));
}

TEST(FlapLimits, WithoutWeightItIsTheOpenFigureAndHeavyItStaysShut) {
  const auto cap_row = [](const std::string& cap, double free_cfm, double top_in_h2o) {
    const auto result = support::check(flap_run_text(cap, free_cfm, top_in_h2o));
    return result.speeds.front().ledger->rows.back();
  };
  const std::string light = "{type: wall-hood-flap, mass_per_area: 0.1 kg/m2}";
  const std::string heavy = "{type: wall-hood-flap, mass_per_area: 50 kg/m2}";
  EXPECT_NEAR(cap_row(light, 400.0, 1.0).coefficient, 2.5, 0.02);
  // A weak fan hardly moves what weighs 490 Pa: the flap is as good as shut.
  EXPECT_GT(cap_row(heavy, 60.0, 0.02).coefficient, 20.0);
  EXPECT_LT(cap_row(heavy, 60.0, 0.02).velocity_m_s, 0.7 * cap_row(light, 60.0, 0.02).velocity_m_s);
  const auto shut =
      support::check(flap_run_text("{type: wall-hood-flap, opening_pressure: 300 Pa}", 400.0, 1.0));
  EXPECT_EQ(shut.speeds.front().point.status, solve::Status::no_flow);
  bool said = false;
  for (const auto& finding : shut.findings) {
    said = said || (finding.code == "no-flow" &&
                    finding.message.pattern.find("flaps open at") != std::string::npos);
  }
  EXPECT_TRUE(said);
}

TEST(FlapLimits, AStatedCoefficientStaysConstant) {
  for (const double top : {0.2, 1.0}) {
    const auto result = support::check(
        flap_run_text("{type: wall-hood-flap, coefficient: 2.2}", 400.0 * std::sqrt(top), top));
    EXPECT_NEAR(result.speeds.front().ledger->rows.back().coefficient, 2.2, 1e-12);
  }
}

// The constant figures that floating replaced, at 1000 fpm: within their standard uncertainty.
TEST(FlapLimits, AgreesWithTheConstantFiguresAtTheDesignAirflow) {
  const double velocity_m_s = 1000.0 * 0.00508;
  const double lift = 1.20138 / 2.0 * velocity_m_s * velocity_m_s / (1.35 * 9.80665);
  const double flap = 0.67 * (1.0 + fitting::flap_excess(lift));
  EXPECT_NEAR(flap, 0.67, 0.46 * 0.67);
  EXPECT_NEAR(2.5 - 0.67 + flap, 2.5, 0.40 * 2.5);
}

}  // namespace
}  // namespace ductledger
