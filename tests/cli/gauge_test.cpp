#include <fmt/format.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

using Json = nlohmann::json;

constexpr const char* kTight = "examples/tight-bungalow-makeup-duct.yaml";

// What the hand-over sheet expects at its hole is taken back as calculated, house suction and all.
TEST(Gauge, what_commission_expects_measured_takes_back) {
  const Json sheet = Json::parse(run({"commission", kTight, "--json"}).out);
  const Json& hole = sheet["gauge_hole"];
  for (const Json& speed : sheet["speeds"]) {
    const double pressure_pa = speed["hole_static_pressure_pa"].get<double>();
    const std::string place = fmt::format(
        "piece {}, {} mm", hole["piece"].get<int>(), 1000.0 * hole["from_start_m"].get<double>());
    for (const std::string& at : {std::string("hole"), place}) {
      const Outcome outcome = run({"measured",
                                   kTight,
                                   "--static",
                                   fmt::format("{} Pa", pressure_pa),
                                   "--at",
                                   at,
                                   "--speed",
                                   speed["name"].get<std::string>(),
                                   "--json"});
      ASSERT_EQ(0, outcome.exit) << outcome.err;
      const Json reading = Json::parse(outcome.out)["readings"][0];
      EXPECT_EQ("as-calculated", reading["verdict"]) << at;
      EXPECT_NEAR(speed["airflow_m3_s"].get<double>(),
                  reading["airflows"][0]["airflow_m3_s"].get<double>(),
                  1e-6);
      EXPECT_EQ(hole["piece"], reading["at"]["piece"]);
    }
  }
}

TEST(Gauge, a_place_or_an_accuracy_without_its_reading_is_refused) {
  const Outcome outcome = run({"measured", kTight, "--airflow", "300cfm", "--at", "hole"});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_NE(outcome.err.find("`--static`"), std::string::npos) << outcome.err;
  const Outcome wrong =
      run({"measured", kTight, "--static", "0.2inH2O", "--static-accuracy", "2 cfm"});
  EXPECT_EQ(2, wrong.exit);
  EXPECT_NE(wrong.err.find("--static-accuracy"), std::string::npos) << wrong.err;
}

TEST(SizeMakeup, conflicts_with_what_sizes_the_run) {
  const Outcome outcome = run({"size", kTight, "--makeup", "--deliver", "300cfm"});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_NE(outcome.err.find("one at a time"), std::string::npos) << outcome.err;
}

}  // namespace
}  // namespace ductledger::test
