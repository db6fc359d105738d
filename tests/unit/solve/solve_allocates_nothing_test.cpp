#include <gtest/gtest.h>

#include "solve/operating_point.hpp"
#include "support/allocations.hpp"
#include "support/check_text.hpp"

namespace ductledger::solve {
namespace {

const char* const kFallingCurve = R"(
layout: 1
appliance: {kind: range-hood, collar: 8 in round}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}}
run:
  section: 8 in round
  heading: up
  pieces:
    - damper: backdraft-flap
    - straight: 4 ft
    - elbow: {type: smooth-radius, turn: back}
    - elbow: {type: mitered, turn: up}
    - transition: {to: 10 x 3-1/4 in, length: 8 in}
    - flex: {length: 3 ft, stretched: 95 %}
    - cap: wall-hood-flap
)";

const char* const kHumpedCurve = R"(
layout: 1
appliance: {kind: exhaust, collar: 6 in round}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 60 120 200 260 320 380 cfm, pressure: 110 95 100 108 95 60 0 Pa}}
run:
  section: 6 in round
  pieces:
    - damper: {type: backdraft-flap, coefficient: 0.5, opening_pressure: 20 Pa}
    - straight: 10 ft
)";

TEST(Solve, AllocatesNothing) {
  for (const char* text : {kFallingCurve, kHumpedCurve}) {
    const auto result = support::check(text);
    const auto fan = speed_fan(result.layout, result.run, 0);
    ASSERT_TRUE(fan.fan.has_value());
    const long before = support::allocations.load();
    const OperatingPoint point =
        operating_point({.loss = result.run.loss, .ends = {0.0, 5.0}}, *fan.fan);
    const long after = support::allocations.load();
    EXPECT_EQ(after - before, 0);
    EXPECT_EQ(point.status, Status::found);
    EXPECT_GT(before, 0) << "the counter does not count";
  }
}

TEST(Solve, PressureOffsetsAtBothEndsMoveTheAnswer) {
  const auto result = support::check(kFallingCurve);
  const auto fan = speed_fan(result.layout, result.run, 0);
  const double still = operating_point({.loss = result.run.loss}, *fan.fan).airflow_m3_s;
  const double wind =
      operating_point({.loss = result.run.loss, .ends = {0.0, 10.0}}, *fan.fan).airflow_m3_s;
  const double depressurised =
      operating_point({.loss = result.run.loss, .ends = {-10.0, 0.0}}, *fan.fan).airflow_m3_s;
  EXPECT_LT(wind, still);
  EXPECT_DOUBLE_EQ(wind, depressurised);
}

}  // namespace
}  // namespace ductledger::solve
