#include "result/uncertainty.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "support/check_text.hpp"

namespace ductledger::result {
namespace {

using solve::Status;

std::string run_text(const std::string& curve, const std::string& pieces) {
  return "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nfan:\n  speeds:\n"
         "    - {name: high, curve: " +
         curve + "}\nrun:\n  section: 8 in round\n  pieces:\n" + pieces;
}

const char* const kFalling =
    "{airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}";
const char* const kHumped =
    "{airflow: 0 100 200 350 500 680 cfm, pressure: 0.6 0.45 0.5 0.55 0.3 0 inH2O}";
const char* const kPieces = R"(    - damper: {type: backdraft-flap, opening_pressure: 4 Pa}
    - straight: 14 ft
    - elbow: {type: smooth-radius, angle: 90 deg, source: idelchik}
    - filter: {type: mesh, pressure: 0.02 0.06 inH2O, at: 200 400 cfm}
    - flex: {length: 3 ft, stretched: 95 %, sag: 2 in}
    - transition: {to: 10 x 4 in, length: 8 in}
    - straight: 3 ft
    - cap: louver
)";

solve::ErrorModel model_of(const study::CheckResult& result) {
  const result::SpeedResult& speed = result.speeds.front();
  return {result.layout, result.run, {&*speed.fan.fan, speed.fan.origin}};
}

/// Every sample of the arrays against the scalar search on the same errors.
void expect_samples_solve_the_run(const std::string& text) {
  const study::CheckResult result = support::check(text);
  const solve::ErrorModel model = model_of(result);
  const result::SampleOptions options{.count = 700, .seed = 3};
  const result::Samples arrays = result::sample(model, options);
  const result::Samples one_by_one = result::sample(
      model.sources(),
      [&](std::span<const double> z) {
        const solve::PerturbedRun run = model.at(z);
        const auto point = solve::operating_point(run.demand(), *run.fan);
        if (point.bounds) {
          return result::Answer{point.bounds->low_m3_s, point.bounds->high_m3_s, point.status};
        }
        constexpr double kOpen = std::numeric_limits<double>::infinity();
        const double q = point.airflow_m3_s;
        return result::Answer{point.status == Status::below_curve ? -kOpen : q,
                              point.status == Status::beyond_curve ? kOpen : q,
                              point.status};
      },
      options);
  ASSERT_EQ(arrays.low_m3_s.size(), options.count);
  for (std::size_t i = 0; i < options.count; ++i) {
    ASSERT_EQ(arrays.status[i], one_by_one.status[i]) << i;
    for (const auto end : {&result::Samples::low_m3_s, &result::Samples::high_m3_s}) {
      const double array = (arrays.*end)[i];
      const double scalar = (one_by_one.*end)[i];
      ASSERT_TRUE(array == scalar || std::abs(array - scalar) <= 1e-9) << i;
    }
  }
}

TEST(Uncertainty, SamplesOnArraysAreTheScalarSearchSampleBySample) {
  expect_samples_solve_the_run(run_text(kFalling, kPieces));
  expect_samples_solve_the_run(run_text(kFalling, "    - straight: 2 ft\n"));
}

// A curve that begins and ends too early: samples beyond it are bounded as the scalar search does.
TEST(Uncertainty, BoundsOfSamplesOnArraysAreThoseOfTheScalarSearch) {
  for (const char* coefficient : {"2", "5", "40", "90"}) {
    expect_samples_solve_the_run(
        run_text("{airflow: 200 260 320 cfm, pressure: 0.4 0.3 0.12 inH2O}",
                 std::string("    - straight: 9 ft\n    - cap: {type: grille, coefficient: ") +
                     coefficient + " +- 30 %}\n"));
  }
}

// 1 in 5 samples crosses below the first point: never counted as that point's airflow.
TEST(Uncertainty, TheLowEndIsABoundWhereSamplesFallBelowTheCurve) {
  const auto result = support::check(
      "layout: 1\nappliance: {kind: bath-fan, collar: 4 in round, required_airflow: 80 cfm}\n"
      "fan: {speeds: [{name: on, curve: {airflow: 80 90 100 cfm, pressure: 0.4 0.3 0.1 inH2O}}]}\n"
      "run: {section: 4 in round, pieces: [{straight: 9 ft}, {cap: {type: grille, coefficient: 5 "
      "+- 40 %}}]}\n");
  const result::SpeedResult& speed = result.speeds.front();
  ASSERT_EQ(speed.point.status, Status::found);
  ASSERT_TRUE(speed.band->samples.has_value());
  ASSERT_GT(speed.band->samples->below_curve, speed.band->samples->count / 40);
  EXPECT_TRUE(speed.band->low_is_bound);
  EXPECT_LT(speed.airflow_band_m3_s->low, 80.0 * 4.719474e-4);
  EXPECT_GT(speed.airflow_band_m3_s->low, 0.0);
}

// Where the curve is seen to rise somewhere, nothing says that it falls outside.
TEST(Uncertainty, AnEndIsOpenWhereNothingBoundsIt) {
  const auto result =
      support::check(run_text("{airflow: 150 200 260 320 cfm, pressure: 0.36 0.4 0.3 0.1 inH2O}",
                              "    - cap: {type: grille, coefficient: 24 +- 30 %}\n"));
  const result::SpeedResult& speed = result.speeds.front();
  ASSERT_EQ(speed.point.status, Status::found);
  ASSERT_TRUE(speed.band->samples.has_value());
  ASSERT_GT(speed.band->samples->below_curve, speed.band->samples->count / 40);
  EXPECT_TRUE(std::isinf(speed.airflow_band_m3_s->low));
  EXPECT_TRUE(std::isfinite(speed.airflow_band_m3_s->high));
}

TEST(Uncertainty, OnAHumpedCurveSamplesStopAtTheFirstStableCrossingFromRest) {
  expect_samples_solve_the_run(run_text(kHumped, kPieces));
}

TEST(Uncertainty, EqualSeedsGiveEqualSamplesAndOtherSeedsOthers) {
  const study::CheckResult result = support::check(run_text(kFalling, kPieces));
  const solve::ErrorModel model = model_of(result);
  const result::Samples a = result::sample(model, {.count = 300, .seed = 7});
  const result::Samples b = result::sample(model, {.count = 300, .seed = 7});
  const result::Samples c = result::sample(model, {.count = 300, .seed = 8});
  EXPECT_EQ(a.low_m3_s, b.low_m3_s);
  EXPECT_NE(a.low_m3_s, c.low_m3_s);
}

TEST(Uncertainty, DrawsAreStandardNormalAndBelongToTheirErrorAlone) {
  const result::SampleOptions options{.count = 40000, .seed = 1};
  const std::vector<double> a = result::draw("entry:cap/louver", options);
  const std::vector<double> b = result::draw("fan-pressure", options);
  double sum = 0.0;
  double squares = 0.0;
  double product = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    sum += a[i];
    squares += a[i] * a[i];
    product += a[i] * b[i];
  }
  const auto n = static_cast<double>(a.size());
  EXPECT_NEAR(sum / n, 0.0, 4.0 / std::sqrt(n));
  EXPECT_NEAR(squares / n, 1.0, 4.0 * std::sqrt(2.0 / n));
  EXPECT_NEAR(product / n, 0.0, 4.0 / std::sqrt(n));
  EXPECT_EQ(a, result::draw("entry:cap/louver", options));
}

TEST(Uncertainty, SharedErrorsCancelInADifferenceOfSamples) {
  const std::string pieces = "    - elbow: {angle: 90 deg}\n    - cap: louver\n";
  const study::CheckResult one =
      support::check(run_text(kFalling, "    - straight: 4 ft\n" + pieces));
  const result::SampleOptions options{.count = 2000, .seed = 1};
  const result::Samples a = result::sample(model_of(one), options);
  const solve::AirflowLimits none = result::difference_band({a, a});
  EXPECT_EQ(none.low_m3_s, 0.0);
  EXPECT_EQ(none.high_m3_s, 0.0);
  const study::CheckResult two =
      support::check(run_text(kFalling, "    - straight: 34 ft\n" + pieces));
  const result::Samples b = result::sample(model_of(two), options);
  const solve::AirflowLimits difference = result::difference_band({a, b});
  const solve::AirflowLimits alone = result::band(a);
  EXPECT_GT(difference.low_m3_s, 0.0);  // longer is worse, however the errors fall
  EXPECT_LT(difference.high_m3_s - difference.low_m3_s, 0.3 * (alone.high_m3_s - alone.low_m3_s));
}

TEST(Uncertainty, ACallersSolverGivesTheSensitivitiesOfFirstOrder) {
  const study::CheckResult result = support::check(run_text(kFalling, "    - straight: 9 ft\n"));
  const solve::ErrorModel model = model_of(result);
  const auto first = solve::first_order(model, result.speeds.front().point.airflow_m3_s);
  const auto changes = result::sensitivities(model.sources(), [&](std::span<const double> z) {
    const solve::PerturbedRun run = model.at(z);
    const auto point = solve::operating_point(run.demand(), *run.fan);
    return result::Answer{point.airflow_m3_s, point.airflow_m3_s, point.status};
  });
  ASSERT_TRUE(changes.has_value());
  for (const solve::SourceEffect& effect : first.effects) {
    EXPECT_NEAR((*changes)[effect.source], effect.airflow_m3_s, 0.01 * first.standard_m3_s);
  }
}

TEST(Uncertainty, SmallErrorsAreFirstOrderAndTheBandIsTwoStandardUncertainties) {
  const auto result = support::check(
      run_text(kFalling,
               "    - loss: {coefficient: 4 +- 5 %}\n    - cap: {type: grille, coefficient: 1.5 +- "
               "5 %}\n"));
  const result::SpeedResult& speed = result.speeds.front();
  ASSERT_TRUE(speed.band.has_value());
  EXPECT_EQ(speed.band->method, solve::BandMethod::first_order);
  EXPECT_FALSE(speed.band->samples.has_value());
  EXPECT_NEAR(speed.airflow_band_m3_s->high - speed.airflow_band_m3_s->low,
              4.0 * speed.band->first_order.standard_m3_s,
              1e-12);
}

// Near shut-off a doubled cap takes much more airflow than a halved one gives back.
TEST(Uncertainty, ASkewedBandIsSampled) {
  const auto result =
      support::check(run_text("{airflow: 0 100 200 700 cfm, pressure: 0.30 0.29 0.27 0 inH2O}",
                              "    - cap: {type: grille, coefficient: 30 +- 60 %}\n"));
  const result::SpeedResult& speed = result.speeds.front();
  ASSERT_EQ(speed.point.status, Status::found);
  ASSERT_TRUE(speed.band.has_value());
  EXPECT_EQ(speed.band->method, solve::BandMethod::sampled);
  EXPECT_FALSE(speed.band->why_sampled.empty());
  ASSERT_TRUE(speed.band->samples.has_value());
  const double low = speed.point.airflow_m3_s - speed.airflow_band_m3_s->low;
  const double high = speed.airflow_band_m3_s->high - speed.point.airflow_m3_s;
  EXPECT_GT(high, 1.15 * low);
}

TEST(Uncertainty, SamplesWithoutAnOperatingPointAreCounted) {
  const auto result =
      support::check(run_text("{airflow: 0 100 200 300 cfm, pressure: 0.9 0.88 0.8 0.6 inH2O}",
                              "    - cap: {type: grille, coefficient: 16 +- 30 %}\n"));
  const result::SpeedResult& speed = result.speeds.front();
  ASSERT_EQ(speed.point.status, Status::found);
  ASSERT_TRUE(speed.band->samples.has_value());
  EXPECT_GT(speed.band->samples->beyond_curve, 0U);
  EXPECT_EQ(speed.band->samples->found + speed.band->samples->beyond_curve,
            speed.band->samples->count);
}

TEST(Uncertainty, UsAndSiCopiesOfALayoutHaveEqualBands) {
  const auto us = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\n"
      "fan: {speeds: [{name: a, curve: {airflow: 0 300 500 cfm, pressure: 0.8 0.5 0 inH2O}}]}\n"
      "run: {section: 8 in round, pieces: [{straight: 10 ft}, {cap: louver}]}\n");
  const auto si = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 203.2 mm round}\n"
      "fan: {speeds: [{name: a, curve: {airflow: 0 141.58423296 235.9737216 L/s, pressure: "
      "199.271128 124.544455 0 Pa}}]}\n"
      "run: {section: 203.2 mm round, pieces: [{straight: 3.048 m}, {cap: louver}]}\n");
  const auto& a = *us.speeds.front().airflow_band_m3_s;
  const auto& b = *si.speeds.front().airflow_band_m3_s;
  EXPECT_NEAR(a.low, b.low, 1e-7 * a.low);
  EXPECT_NEAR(a.high, b.high, 1e-7 * a.high);
}

TEST(Uncertainty, TwoPointsSpanTheBandsOfBothShapes) {
  const auto result =
      support::check(run_text("{airflow: 240 300 cfm, pressure: 0.4 0.2 inH2O}",
                              "    - cap: {type: grille, coefficient: 9 +- 2 %}\n"));
  const result::SpeedResult& speed = result.speeds.front();
  ASSERT_EQ(speed.point.status, Status::found);
  ASSERT_TRUE(speed.band->over_two_shapes);
  EXPECT_LT(speed.airflow_band_m3_s->low,
            std::min(speed.point.airflow_m3_s, speed.other_shape->airflow_m3_s));
  EXPECT_GT(speed.airflow_band_m3_s->high,
            std::max(speed.point.airflow_m3_s, speed.other_shape->airflow_m3_s));
}

}  // namespace
}  // namespace ductledger::result
