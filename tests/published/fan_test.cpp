#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <variant>

#include "duct/straight.hpp"
#include "fan/fan_curve.hpp"
#include "numeric/root.hpp"
#include "published/printed.hpp"

namespace ductledger::published {
namespace {

using fan::CurveShape;
using fan::FanCurve;
using fan::FanPoint;

FanCurve two_points(const FanPoint& first, const FanPoint& second, CurveShape shape) {
  return std::get<FanCurve>(FanCurve::from_points(std::array{first, second}, shape));
}

double airflow_cfm(double airflow_m3_s) { return airflow_m3_s / units::kM3SPerCfm; }
double airflow_of_cfm(double cfm) { return units::cfm(cfm).value(); }

/// Where the curve meets resistance Q^2.
double crossing_m3_s(const FanCurve& curve, double resistance_pa_s2_m6) {
  const auto surplus_pa = [&](double airflow_m3_s) {
    return curve.pressure_pa(airflow_m3_s) - resistance_pa_s2_m6 * airflow_m3_s * airflow_m3_s;
  };
  const numeric::RootResult result = numeric::find_root(
      surplus_pa, {.low = curve.first_airflow_m3_s(), .high = curve.last_airflow_m3_s()}, {});
  EXPECT_EQ(result.status, numeric::RootStatus::converged);
  return result.root;
}

TEST(PublishedFan, SpeedLaws) {
  // Power (Q x P) is left out: nothing here computes it.
  constexpr Source kSheet{"course homework sheet on fan laws", "answers", "seen"};
  constexpr Source kExercise{"fan exercise sheet", "answer", "seen"};
  struct Row {
    double airflow;
    double pressure;
    double speed_ratio;
    Printed airflow_after;
    Printed pressure_after;
    Source source;
  };
  const std::array rows = std::to_array<Row>({
      {6000, 4, 1500.0 / 2000.0, {4500, 0.5, "whole cfm"}, {2.25, 0.005, "two decimals"}, kSheet},
      {2000, 3, 1500.0 / 1300.0, {2308, 0.5, "whole cfm"}, {3.99, 0.005, "two decimals"}, kSheet},
      {4.7,
       5.08,
       600.0 / 400.0,
       {7.05, 0.005, "two decimals"},
       {11.43, 0.005, "two decimals"},
       kExercise},
  });
  for (const Row& row : rows) {
    // The rated point and one of no pressure beyond; units as printed, the laws know none.
    const FanCurve curve =
        two_points({row.airflow, row.pressure}, {2.0 * row.airflow, 0.0}, CurveShape::parabola)
            .running({.speed_ratio = row.speed_ratio});
    EXPECT_TRUE(agrees(curve.first_airflow_m3_s(), row.airflow_after, row.source));
    EXPECT_TRUE(
        agrees(curve.pressure_pa(curve.first_airflow_m3_s()), row.pressure_after, row.source));
  }
}

TEST(PublishedFan, DensityScalesPressureAndLeavesAirflow) {
  // Common practice (AMCA Publication 201, fan laws): at one speed the airflow at which a duct and
  // a fan meet does not move with density, as both scale with it.
  const FanCurve rated = two_points({0.0, 128.7}, {0.15, 20.0}, CurveShape::parabola);
  const FanCurve thin = rated.running({.density_ratio = 0.8014});
  EXPECT_NEAR(crossing_m3_s(thin, 0.8014 * 4000.0), crossing_m3_s(rated, 4000.0), 1e-12);
}

TEST(PublishedFan, TwoRatingsCarryTwoShapes) {
  // 300 cfm at 0.1 in and 240 cfm at 0.25 in against 9.6e-4 Pa/cfm2, worked by the closed forms
  // Q = sqrt(P0/(a+R)) and Q = (-b + sqrt(b^2 + 4 R L0))/(2R).
  constexpr Source kWorked{"two ratings, closed forms of parabola and line", "worked", "derived"};
  // Worked with 249.089 Pa to the inch; the pressures in Pa are printed rounded, 62.272 and 24.909.
  const FanPoint high{airflow_of_cfm(240.0), 0.25 * 249.089};
  const FanPoint low{airflow_of_cfm(300.0), 0.1 * 249.089};
  const double resistance = 9.6e-4 / (units::kM3SPerCfm * units::kM3SPerCfm);
  const FanCurve parabola = two_points(high, low, CurveShape::parabola);
  const FanCurve line = two_points(high, low, CurveShape::line);
  const double on_parabola = crossing_m3_s(parabola, resistance);
  const double on_line = crossing_m3_s(line, resistance);
  constexpr const char* kThree = "three decimals";
  EXPECT_TRUE(agrees(airflow_cfm(on_parabola), {246.782, 0.0005, kThree}, kWorked));
  EXPECT_TRUE(agrees(parabola.pressure_pa(on_parabola), {58.465, 0.0005, kThree}, kWorked));
  EXPECT_TRUE(agrees(airflow_cfm(on_line), {246.402, 0.0005, kThree}, kWorked));
  EXPECT_TRUE(agrees(line.pressure_pa(on_line), {58.285, 0.0005, kThree}, kWorked));
  // The shutoff pressures the shapes imply, below the first point: their cubics carried on.
  const double shutoff_pa = parabola.cubic(0).value(-high.airflow_m3_s);
  EXPECT_TRUE(agrees(shutoff_pa, {128.696, 0.0005, kThree}, kWorked));
  EXPECT_TRUE(agrees(line.cubic(0).value(-high.airflow_m3_s), {211.726, 0.0005, kThree}, kWorked));
}

TEST(PublishedFan, BathFanDropImpliesShutoff) {
  // Mean of more than 80 fans, Texas A&M fan laboratory (abstract seen): airflow falls by 19 % from
  // 0.1 to 0.25 in. The shutoff pressures of both shapes through those points are derived.
  constexpr Source kDerived{"drop of 19 % from 0.1 to 0.25 in, closed forms", "worked", "derived"};
  EXPECT_TRUE(agrees(fan::kBathFanDropRatio,
                     {0.81, 0.005, "19 % is a whole percent"},
                     {"Texas A&M study of more than 80 bath fans", "abstract", "seen"}));
  const FanPoint high{fan::kBathFanDropRatio, 62.272};
  const FanPoint low{1.0, 24.909};
  EXPECT_TRUE(agrees(two_points(high, low, CurveShape::parabola).cubic(0).value(-high.airflow_m3_s),
                     {133.6, 0.05, "one decimal"},
                     kDerived));
  EXPECT_TRUE(agrees(two_points(high, low, CurveShape::line).cubic(0).value(-high.airflow_m3_s),
                     {221.6, 0.05, "one decimal"},
                     kDerived));
}

TEST(PublishedFan, TwoBlowersInParallelAndInSeries) {
  // P = P0 (1 - (Q/Qm)^2) against R = k P0/Qm^2. In parallel airflows add at equal pressure, in
  // series pressures add at equal airflow (common practice).
  constexpr Source kWorked{"identical parabolas, closed forms", "worked", "derived"};
  constexpr const char* kFour = "four decimals";
  struct Row {
    double k;
    double one;
    double parallel;
    double series;
  };
  constexpr std::array kRows = std::to_array<Row>({{0.25, 0.8944, 1.4142, 0.9428},
                                                   {1.0, 0.7071, 0.8944, 0.8165},
                                                   {4.0, 0.4472, 0.4851, 0.5774}});
  const FanCurve one = two_points({0.0, 1.0}, {1.0, 0.0}, CurveShape::parabola);
  const FanCurve parallel = one.running({.count = 2});
  const FanCurve series = one.running({.density_ratio = 2.0});  // twice the pressure
  for (const Row& row : kRows) {
    EXPECT_TRUE(agrees(crossing_m3_s(one, row.k), {row.one, 0.00005, kFour}, kWorked));
    EXPECT_TRUE(agrees(crossing_m3_s(parallel, row.k), {row.parallel, 0.00005, kFour}, kWorked));
    EXPECT_TRUE(agrees(crossing_m3_s(series, row.k), {row.series, 0.00005, kFour}, kWorked));
  }
}

TEST(PublishedFan, RatingBasisCountsTheOutletHeadOnce) {
  // A fan-static parabola on 6 in round duct that loses 4 velocity heads and the exit's one, dry
  // air of 20 degC. fan total = fan static + velocity pressure at the fan's outlet.
  constexpr Source kWorked{
      "fan static pressure against losses of total pressure, closed form", "worked", "derived"};
  constexpr Printed kTwo{0.0, 0.005, "two decimals"};
  constexpr double kShutoffPa = 128.6959;
  constexpr double kFallPaPerCfm2 = 1.1531894e-3;
  const FanCurve curve =
      two_points({0.0, kShutoffPa},
                 {airflow_of_cfm(300.0), kShutoffPa - kFallPaPerCfm2 * 300.0 * 300.0},
                 CurveShape::parabola);
  const auto heads = [](const duct::Section& section) {
    return 0.5 * 1.204 / (section.area_m2() * section.area_m2());
  };
  const double head = heads(duct::Section::round(units::inches(6.0)));
  const double flat_head =
      heads(duct::Section::rectangular(units::inches(3.25), units::inches(10.0)));
  const auto solved_cfm = [&](double resistance) {
    return airflow_cfm(crossing_m3_s(curve, resistance));
  };
  const auto check = [&](double resistance, double printed_cfm) {
    EXPECT_TRUE(
        agrees(solved_cfm(resistance), {printed_cfm, kTwo.tolerance, kTwo.reason}, kWorked));
  };
  check(5.0 * head - head, 215.74);
  check(5.0 * head, 201.55);  // the outlet head counted twice
  check(5.0 * head - flat_head, 212.02);
}

}  // namespace
}  // namespace ductledger::published
