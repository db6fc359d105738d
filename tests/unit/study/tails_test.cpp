#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "house/uncertain_room.hpp"
#include "result/uncertainty.hpp"
#include "solve/work.hpp"
#include "support/check_text.hpp"

// A band solves only the samples that its quantiles stand on, and answers as if it solved all.
namespace ductledger::study {
namespace {

const std::string kRun =
    "run:\n  section: 8 in round\n  heading: up\n  pieces:\n    - straight: 10 ft\n"
    "    - elbow: {type: smooth-radius, turn: back}\n    - straight: 4 ft\n";
const std::string kHood = "    - cap: wall-hood-flap\n";
const std::string kDoubtful = "    - cap: {type: grille, coefficient: 30 +- 60 %}\n";
const std::string kHouse =
    "house:\n  floor_area: 1200 ft2\n  leakage: {airflow: 500 cfm, at: 50 Pa, exponent: 0.65}\n"
    "  makeup: {kind: passive-opening, section: 6 in round, discharge_coefficient: 0.6}\n";

std::string layout_of(const std::string& fan, const std::string& rest) {
  return "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nfan:\n  speeds: [{name: "
         "high, " +
         fan + "}]\n" + rest;
}
std::string curve(const std::string& airflow, const std::string& pressure) {
  return fmt::format("curve: {{airflow: {} cfm, pressure: {} Pa}}", airflow, pressure);
}

solve::ErrorModel model_of(const CheckResult& check, bool other_shape) {
  const auto& fan = check.speeds.front().fan;
  return {check.layout,
          check.run,
          {.fan = other_shape ? &*fan.other_shape : &*fan.fan,
           .origin = fan.origin,
           .speed_ratio = fan.speed_ratio,
           .room = house::uncertain_room(check.house)}};
}

std::uint64_t samples_solved() { return solve::work_done().samples; }

/// @return how many samples were solved for the quantiles
std::uint64_t expect_same_tails(const solve::ErrorModel& model,
                                const result::PointOptions& options,
                                const std::string& of) {
  const auto all = result::count(result::even_samples(model, options), options.seed);
  const std::uint64_t before = samples_solved();
  const auto tails = result::even_count(model, options);
  const std::uint64_t solved = samples_solved() - before;
  EXPECT_EQ(tails.quantiles.low_m3_s, all.quantiles.low_m3_s) << of;
  EXPECT_EQ(tails.quantiles.high_m3_s, all.quantiles.high_m3_s) << of;
  EXPECT_EQ(tails.count, all.count) << of;
  EXPECT_EQ(tails.seed, all.seed) << of;
  EXPECT_EQ(tails.found, all.found) << of;
  EXPECT_EQ(tails.beyond_curve, all.beyond_curve) << of;
  EXPECT_EQ(tails.below_curve, all.below_curve) << of;
  EXPECT_EQ(tails.no_flow, all.no_flow) << of;
  return solved;
}

std::uint64_t expect_same_tails(const std::string& text, const result::PointOptions& options = {}) {
  const CheckResult checked = support::check(text);
  return expect_same_tails(model_of(checked, false), options, text);
}

const std::string kFalling = curve("0 250 450 600 680", "240 220 165 80 0");
const std::string kSkewed = curve("0 100 200 700", "75 72 67 0");
const std::string kHumped = curve("0 100 200 300 400 500 600", "110 95 100 108 95 60 0");

TEST(Tails, answer_what_all_samples_answer_and_solve_few_of_them) {
  for (const std::string& text : {layout_of(kFalling, kRun + kHood),
                                  layout_of(kSkewed, kRun + kDoubtful),
                                  layout_of(kFalling, kRun + kHood + kHouse),
                                  layout_of(kFalling, kRun + kDoubtful)}) {
    EXPECT_LE(expect_same_tails(text), result::kPoints / 6) << text;
    EXPECT_LE(expect_same_tails(text, {.count = 8192, .seed = 7}), 8192U / 8) << text;
  }
}

TEST(Tails, answer_for_a_fan_that_rises_what_all_samples_answer) {
  EXPECT_EQ(expect_same_tails(layout_of(kHumped, kRun + kHood)), result::kPoints);
  expect_same_tails(layout_of(kHumped, kRun + kDoubtful));
  expect_same_tails(layout_of(kHumped, kRun + kHood + kHouse));
}

TEST(Tails, answer_for_both_shapes_of_two_ratings_what_all_samples_answer) {
  const std::string text = layout_of(
      "rated: [{airflow: 400 cfm, pressure: 25 Pa}, {airflow: 250 cfm, pressure: 120 Pa}]",
      kRun + kHood);
  const CheckResult checked = support::check(text);
  ASSERT_TRUE(checked.speeds.front().fan.other_shape);
  EXPECT_LE(expect_same_tails(model_of(checked, false), {}, text), result::kPoints / 6);
  EXPECT_LE(expect_same_tails(model_of(checked, true), {}, text), result::kPoints / 6);
}

TEST(Tails, count_the_samples_that_leave_the_curve) {
  // Some, most and nearly all of the samples beyond its end or before its beginning.
  for (const char* last : {"260", "300", "340", "380", "420"}) {
    expect_same_tails(layout_of(curve(std::string("100 200 ") + last, "75 70 60"), kRun + kHood));
    expect_same_tails(layout_of(curve(std::string("0 200 ") + last, "75 70 60"), kRun + kDoubtful));
    expect_same_tails(layout_of(curve(std::string(last) + " 500 800", "75 70 20"), kRun + kHood));
    expect_same_tails(
        layout_of(curve(std::string(last) + " 500 800", "75 70 20"), kRun + kDoubtful));
  }
  expect_same_tails(
      layout_of(curve("0 200 400", "4 3 0"), "site: {wind: 25 mph}\n" + kRun + kHood));
}

TEST(Tails, beyond_the_curve_are_few) {
  const std::string sure = "    - cap: {type: grille, coefficient: 3 +- 30 %}\n";
  const std::string text = layout_of(curve("100 200 260", "75 70 60"), kRun + sure);
  ASSERT_EQ(support::check(text).speeds.front().point.status, solve::Status::beyond_curve);
  EXPECT_LE(expect_same_tails(text), result::kPoints / 6);
  EXPECT_LE(expect_same_tails(layout_of(curve("0 200 260", "75 70 60"), kRun + sure + kHouse)),
            result::kPoints / 6);
}

TEST(Tails, that_nothing_bounds_are_known_unsolved) {
  // A wide duct takes less than the flap and the fan's own outlet give back, where the flap floats.
  const std::string wide =
      "run:\n  section: 14 in round\n  heading: up\n  pieces:\n    - straight: 10 ft\n" + kHood;
  const std::string text = layout_of(curve("0 200 260", "75 70 60"), wide);
  const CheckResult checked = support::check(text);
  ASSERT_EQ(checked.speeds.front().point.status, solve::Status::beyond_curve);
  const auto all = result::count(result::even_samples(model_of(checked, false)), 1);
  ASSERT_TRUE(std::isinf(all.quantiles.high_m3_s));
  EXPECT_LE(expect_same_tails(text), result::kPoints / 6);
}

TEST(Tails, answer_for_any_run_what_all_samples_answer) {
  constexpr unsigned kSeed = 13;
  std::mt19937 random(kSeed);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  for (int i = 0; i < 60; ++i) {
    std::string airflow = between(0.0, 1.0) < 0.5 ? "0" : fmt::format("{:.0f}", between(20, 200));
    double q = 200.0;
    double pa = between(60.0, 400.0);
    std::string pressure = fmt::format("{:.3f}", pa);
    for (int point = 0; point < 4; ++point) {
      q += between(20.0, 200.0);
      pa *= between(0.3, i % 4 == 0 ? 1.1 : 0.99);
      airflow += fmt::format(" {:.2f}", q);
      pressure += fmt::format(" {:.3f}", pa);
    }
    const std::string cap =
        fmt::format("    - cap: {{type: grille, coefficient: {:.3f} +- {:.0f} %}}\n",
                    between(0.5, 40.0),
                    between(2.0, 80.0));
    const std::string damper = i % 3 == 0 ? "    - damper: backdraft-flap\n" : "";
    expect_same_tails(layout_of(curve(airflow, pressure),
                                fmt::format("site: {{wind: {:.0f} mph}}\n", between(0.0, 20.0)) +
                                    kRun + damper + cap + (i % 5 == 0 ? kHouse : "")),
                      {.count = i % 2 == 0 ? 2048U : 1001U, .seed = static_cast<std::uint64_t>(i)});
  }
}

}  // namespace
}  // namespace ductledger::study
