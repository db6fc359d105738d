#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>

#include "support/check_text.hpp"

// Laws that hold for every run. rapidcheck prints the seed of a failure; RC_PARAMS="seed=..."
// repeats it.
namespace ductledger {
namespace {

/// A random run as text: the parts that the properties below edit.
struct RandomRun {
  int diameter_in;
  double lengths_ft[3];
  double coefficients[3];
  double shutoff_in_h2o;
  double free_cfm;
};

RandomRun random_run() {
  RandomRun run{};
  run.diameter_in = *rc::gen::inRange(4, 13);
  for (double& length : run.lengths_ft) {
    length = *rc::gen::inRange(5, 400) / 10.0;
  }
  for (double& coefficient : run.coefficients) {
    coefficient = *rc::gen::inRange(0, 400) / 100.0;
  }
  run.shutoff_in_h2o = *rc::gen::inRange(20, 300) / 100.0;
  run.free_cfm = *rc::gen::inRange(80, 1500);
  return run;
}

std::string text_of(const RandomRun& run, const std::string& straights) {
  return fmt::format(
      "layout: 1\n"
      "appliance: {{kind: exhaust, collar: {0} in round}}\n"
      "fan:\n"
      "  speeds: [{{name: high, curve: {{airflow: 0 {1} {2} {3} cfm, pressure: {4} {5} {6} 0 "
      "inH2O}}}}]\n"
      "run:\n"
      "  section: {0} in round\n"
      "  pieces:\n"
      "{7}"
      "    - elbow: {{type: smooth-radius, angle: 90 deg, coefficient: {8}}}\n"
      "    - damper: {{type: butterfly, coefficient: {9}}}\n"
      "    - cap: {{type: wall-hood-flap, coefficient: {10}}}\n",
      run.diameter_in,
      0.3 * run.free_cfm,
      0.6 * run.free_cfm,
      run.free_cfm,
      run.shutoff_in_h2o,
      0.9 * run.shutoff_in_h2o,
      0.6 * run.shutoff_in_h2o,
      straights,
      run.coefficients[0],
      run.coefficients[1],
      1.0 + run.coefficients[2]);
}

std::string straight(double feet) { return fmt::format("    - straight: {:.6f} ft\n", feet); }

double delivered(const study::CheckResult& result) {
  RC_ASSERT(result.speeds.front().point.status == solve::Status::found);
  return result.speeds.front().point.airflow_m3_s;
}

TEST(RunProperty, SplittingAStraightChangesNothing) {
  EXPECT_TRUE(rc::check([] {
    const RandomRun run = random_run();
    const double whole = run.lengths_ft[0];
    const double one = delivered(support::check(text_of(run, straight(whole))));
    const double two =
        delivered(support::check(text_of(run, straight(whole / 2.0) + straight(whole / 2.0))));
    RC_ASSERT(std::abs(one - two) <= 1e-6 * one);  // lengths are printed to 1e-6 ft
  }));
}

TEST(RunProperty, AddingLengthNeverRaisesAirflow) {
  EXPECT_TRUE(rc::check([] {
    const RandomRun run = random_run();
    const double shorter = delivered(support::check(text_of(run, straight(run.lengths_ft[0]))));
    const double longer = delivered(
        support::check(text_of(run, straight(run.lengths_ft[0]) + straight(run.lengths_ft[1]))));
    RC_ASSERT(longer <= shorter * (1.0 + 1e-9));
  }));
}

TEST(RunProperty, LedgerRowsAddUpToTheFansPressureAndEndAtTheWind) {
  EXPECT_TRUE(rc::check([] {
    const RandomRun run = random_run();
    std::string text = text_of(run, straight(run.lengths_ft[0]));
    text +=
        "site: {wind: 8 mph, indoor: {temperature: 70 degF}, outdoor: {temperature: 20 degF}}\n";
    text.replace(text.find("  section:"), 0, "  rise: 12 ft\n");
    const auto result = support::check(text);
    if (result.speeds.front().point.status != solve::Status::found) {
      return;
    }
    const auto& ledger = *result.speeds.front().ledger;
    double total = 0.0;
    double fan = 0.0;
    for (const auto& row : ledger.rows) {
      total -= row.loss_pa;
      RC_ASSERT(std::abs(row.total_pressure_after_pa - total) <= 1e-9 + 1e-9 * std::abs(total));
      fan += row.piece == "fan" ? -row.loss_pa : 0.0;
    }
    const double wind = result.run.air.wind_pa;
    const double stack = result.run.air.stack_pa;
    RC_ASSERT(wind > 0.0);
    RC_ASSERT(stack > 0.0);
    RC_ASSERT(std::abs(total - wind) <= 1e-6 * fan);
    RC_ASSERT(std::abs(fan + stack - ledger.loss_pa - wind) <= 1e-6 * fan);
  }));
}

TEST(RunProperty, TheSameRunInBothUnitSystemsAgrees) {
  EXPECT_TRUE(rc::check([] {
    const RandomRun run = random_run();
    const double length = run.lengths_ft[0];
    const auto ip = support::check(text_of(run, straight(length)));
    std::string text = text_of(run, fmt::format("    - straight: {:.9f} m\n", length * 0.3048));
    const std::string inches = fmt::format("{} in round", run.diameter_in);
    const std::string metric = fmt::format("{:.4f} mm round", run.diameter_in * 25.4);
    for (std::size_t at = text.find(inches); at != std::string::npos; at = text.find(inches)) {
      text.replace(at, inches.size(), metric);
    }
    const double a = delivered(ip);
    const double b = delivered(support::check(text));
    RC_ASSERT(std::abs(a - b) <= 1e-6 * a);  // lengths are printed to 1e-7
  }));
}

TEST(RunProperty, TheResidualIsBelowItsToleranceAtEveryOperatingPoint) {
  EXPECT_TRUE(rc::check([] {
    const RandomRun run = random_run();
    const auto result = support::check(text_of(run, straight(run.lengths_ft[0])));
    const auto& point = result.speeds.front().point;
    RC_ASSERT(point.status == solve::Status::found);
    const double scale_pa = run.shutoff_in_h2o * units::kPascalPerInchWater * 1.05;
    const bool residual_small = std::abs(point.residual_pa) <= 1e-9 * scale_pa;
    const double width = point.bracket_high_m3_s - point.bracket_low_m3_s;
    const bool bracket_narrow = width <= 1e-12 * run.free_cfm * units::kM3SPerCfm;
    RC_ASSERT(residual_small || bracket_narrow);
  }));
}

}  // namespace
}  // namespace ductledger
