#include "solve/demand.hpp"

#include <gtest/gtest.h>

#include "house/zone.hpp"
#include "support/check_text.hpp"

namespace ductledger::solve {
namespace {

const char* const kTightHouse = R"(
layout: 1
site: {wind: 15 mph, indoor: {temperature: 70 degF}, outdoor: {temperature: 10 degF}}
appliance: {kind: range-hood, collar: 8 in round}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}}
run:
  section: 8 in round
  heading: up
  pieces:
    - straight: 12 ft
    - cap: wall-hood-flap
house: {leakage: {airflow: 700 cfm, at: 50 Pa}}
)";

TEST(Demand, the_fan_makes_at_its_operating_point_what_run_ends_and_room_ask_for) {
  const auto result = support::check(kTightHouse);
  const Demand demand = house::demand(result.run, result.house);
  const OperatingPoint& point = result.speeds.front().point;
  ASSERT_EQ(point.status, Status::found);
  EXPECT_GT(result.run.air.stack_pa, 1.0);
  EXPECT_GT(result.run.air.wind_pa, 1.0);
  EXPECT_GT(result.house.depressurisation_pa(point.airflow_m3_s), 5.0);
  EXPECT_NEAR(demand.total_pa(point.airflow_m3_s), point.total_pressure_pa, 1e-6);
  EXPECT_NEAR(demand.left_pa(point.total_pressure_pa, point.airflow_m3_s), 0.0, 1e-6);
}

TEST(Demand, is_the_sum_of_its_parts) {
  const auto result = support::check(kTightHouse);
  const double q = 0.15;
  const Demand alone{.loss = result.run.loss};
  const Demand ends = demand(result.run);
  const Demand all = house::demand(result.run, result.house);
  EXPECT_DOUBLE_EQ(alone.total_pa(q), result.run.loss.at(q));
  EXPECT_NEAR(ends.total_pa(q) - alone.total_pa(q),
              result.run.air.wind_pa - result.run.air.stack_pa,
              1e-10);
  EXPECT_NEAR(all.total_pa(q) - ends.total_pa(q), result.house.depressurisation_pa(q), 1e-10);
  EXPECT_NEAR(
      all.total_pa(q) - all.static_pa(q), result.run.outlet_dynamic_pa_s2_m6 * q * q, 1e-10);
}

TEST(Demand, its_slope_is_that_of_a_square_law_exactly) {
  const RunLoss square({}, {{.square_pa_s2_m6 = 700.0, .linear_pa_s_m3 = 30.0, .reynolds = {}}});
  const Demand demand{.loss = square, .ends = {.start_pa = -3.0, .end_pa = 9.0}};
  EXPECT_NEAR(demand.slope_pa_s_m3(0.2), 2.0 * 700.0 * 0.2 + 30.0, 1e-7);
}

}  // namespace
}  // namespace ductledger::solve
