#include "result/requirement.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "support/check_text.hpp"

namespace ductledger::result {
namespace {

using State = Requirement::State;

std::string text(const std::string& required, const std::string& curve) {
  return fmt::format(R"(
layout: 1
appliance: {{kind: exhaust, collar: 6 in round{}}}
fan: {{speeds: [{{name: high, curve: {}}}]}}
run:
  section: 6 in round
  heading: up
  pieces:
    - straight: 10 ft
    - cap: {{type: grille, coefficient: 2 +- 20 %}}
)",
                     required.empty() ? "" : ", required_airflow: " + required,
                     curve);
}

const char* const kCurve =
    "{airflow: 0 100 200 300 400 cfm, pressure: 0.80 0.72 0.55 0.30 0 inH2O}";

TEST(Requirement, IsNothingWhereNoneIsStated) {
  EXPECT_FALSE(support::check(text("", kCurve)).requirement.has_value());
}

TEST(Requirement, FollowsTheBandOfTheHeadlineSpeed) {
  const auto free = support::check(text("", kCurve));
  const SpeedResult& speed = free.speeds.front();
  ASSERT_TRUE(speed.airflow_band_m3_s.has_value());
  const auto state_at = [&](double required_m3_s) {
    const auto result = support::check(text(fmt::format("{} m3/s", required_m3_s), kCurve));
    EXPECT_EQ(result.requirement->by, 0U);
    EXPECT_NEAR(result.requirement->required_m3_s, required_m3_s, 1e-12);
    return result.requirement->state;
  };
  EXPECT_EQ(state_at(0.999 * speed.airflow_band_m3_s->low), State::met);
  EXPECT_EQ(state_at(1.001 * speed.airflow_band_m3_s->low), State::not_shown);
  EXPECT_EQ(state_at(0.999 * speed.point.airflow_m3_s), State::not_shown);
  EXPECT_EQ(state_at(1.001 * speed.point.airflow_m3_s), State::not_met);
}

TEST(Requirement, NoFlowMeetsNothing) {
  const auto result = support::check(R"(
layout: 1
appliance: {kind: exhaust, collar: 6 in round, required_airflow: 50 cfm}
fan: {speeds: [{name: high, curve: {airflow: 0 100 200 cfm, pressure: 0.5 0.4 0 inH2O}}]}
run:
  section: 6 in round
  pieces:
    - damper: {type: backdraft-flap, opening_pressure: 0.7 inH2O}
    - straight: 10 ft
)");
  ASSERT_EQ(result.speeds.front().point.status, solve::Status::no_flow);
  EXPECT_EQ(result.requirement->state, State::not_met);
}

TEST(Requirement, WithoutASpeedThatCanRunNothingIsShown) {
  const auto result = support::check(R"(
layout: 1
appliance: {kind: exhaust, collar: 6 in round, required_airflow: 50 cfm}
run: {section: 6 in round, pieces: [{straight: 10 ft}]}
)");
  ASSERT_TRUE(result.requirement.has_value());
  EXPECT_EQ(result.requirement->state, State::not_shown);
  EXPECT_FALSE(result.requirement->by.has_value());
}

}  // namespace
}  // namespace ductledger::result
