#include "layout/measurement.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "layout/layout.hpp"

namespace ductledger::layout {
namespace {

base::Checked<std::vector<Measurement>> readings(const std::string& records) {
  Layout layout;
  layout.fan.emplace();
  layout.fan->speeds.push_back({});
  layout.fan->speeds.front().name = "high";
  return read_readings(
      std::make_shared<base::SourceText>("site.yaml", "readings: 1\nmeasurements:\n" + records),
      layout);
}

void expect_fault(const std::string& records, const std::string& rule, int line) {
  const auto read = readings(records);
  ASSERT_FALSE(read) << records;
  ASSERT_EQ(read.error().size(), 1U) << base::render(read.error());
  EXPECT_EQ(read.error().front().rule, rule) << base::render(read.error());
  EXPECT_EQ(read.error().front().span.line, line) << base::render(read.error());
}

TEST(Readings, of_a_gauge_a_hood_and_a_traverse_read) {
  const auto read = readings(
      "  - {speed: high, static_pressure: 0.42 inH2O, at: collar}\n"
      "  - {airflow: 300 cfm, by: powered-flow-hood}\n"
      "  - static_pressure: 100 Pa\n"
      "    traverse:\n"
      "      section: 8 in round\n"
      "      straight_upstream: 6 ft\n"
      "      velocity_pressure:\n"
      "        - 10 20 30 30 20 10 Pa\n"
      "        - 11 21 31 31 21 11 Pa\n");
  ASSERT_TRUE(read) << base::render(read.error());
  ASSERT_EQ(read->size(), 3U);
  EXPECT_NEAR(*(*read)[0].static_pressure_pa, 0.42 * 249.08891, 1e-9);
  EXPECT_EQ((*read)[1].instrument, Instrument::powered_flow_hood);
  ASSERT_TRUE((*read)[2].traverse);
  EXPECT_EQ((*read)[2].traverse->velocity_pressure_pa[1][2], 31.0);
}

TEST(Readings, say_what_is_wrong_once_and_where) {
  expect_fault("  - {speed: hihg, static_pressure: 0.4 inH2O}\n", "unknown-speed", 3);
  expect_fault("  - {speed: high}\n", "missing-key", 3);
  expect_fault("  - {speed: high, by: flow-hood, static_pressure: 40 Pa}\n", "conflicting-keys", 3);
  expect_fault(
      "  - traverse:\n"
      "      section: 8 in round\n"
      "      velocity_pressure: [10 20 30 30 20 10 Pa, 10 20 30 Pa]\n",
      "wrong-count",
      5);
  expect_fault(
      "  - traverse:\n"
      "      section: 8 in round\n"
      "      velocity_pressure: [10 20 30 30 20 10 Pa]\n",
      "wrong-count",
      5);
  expect_fault(
      "  - traverse:\n"
      "      section: 8 in round\n"
      "      velocity_pressure: [10 20 30 30 20 -10 Pa, 10 20 30 30 20 10 Pa]\n",
      "out-of-range",
      5);
  expect_fault(
      "  - traverse:\n"
      "      section: 12 x 6 in oval\n"
      "      velocity_pressure: [10 20 30 30 20 10 Pa, 10 20 30 30 20 10 Pa]\n",
      "wrong-section",
      4);
}

}  // namespace
}  // namespace ductledger::layout
