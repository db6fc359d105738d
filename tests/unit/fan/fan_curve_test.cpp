#include "fan/fan_curve.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <variant>
#include <vector>

#include "base/expects.hpp"

namespace ductledger::fan {
namespace {

using Points = std::vector<FanPoint>;

FanCurve curve_of(const Points& points, CurveShape two_point_shape = CurveShape::parabola) {
  return std::get<FanCurve>(FanCurve::from_points(points, two_point_shape));
}

FanCurve::Fault fault_of(const Points& points) {
  return std::get<FanCurve::Fault>(FanCurve::from_points(points, CurveShape::parabola));
}

const Points kSteady{{0.0, 240.0}, {0.12, 220.0}, {0.21, 160.0}, {0.28, 80.0}, {0.32, 0.0}};
const Points kHumped{{0.0, 110.0}, {0.03, 95.0}, {0.06, 100.0}, {0.1, 108.0}, {0.19, 0.0}};

TEST(FanCurve, GoesThroughItsPoints) {
  for (const Points& points : {kSteady, kHumped}) {
    const FanCurve curve = curve_of(points);
    EXPECT_EQ(curve.shape(), CurveShape::points);
    ASSERT_EQ(curve.knots_m3_s().size(), points.size());
    for (const FanPoint& point : points) {
      EXPECT_NEAR(curve.pressure_pa(point.airflow_m3_s), point.pressure_pa, 1e-12);
    }
  }
}

TEST(FanCurve, SlopeIsContinuousAtTheKnots) {
  const FanCurve curve = curve_of(kHumped);
  for (std::size_t i = 1; i + 1 < kHumped.size(); ++i) {
    const double width = kHumped[i].airflow_m3_s - kHumped[i - 1].airflow_m3_s;
    EXPECT_NEAR(curve.cubic(i - 1).slope(width), curve.cubic(i).slope(0.0), 1e-9);
  }
}

TEST(FanCurve, SegmentsSayWhetherThePressureFallsInThem) {
  const FanCurve steady = curve_of(kSteady);
  for (std::size_t i = 0; i < steady.segment_count(); ++i) {
    EXPECT_TRUE(steady.falls_in_segment(i)) << i;
  }
  const FanCurve humped = curve_of(kHumped);
  EXPECT_TRUE(humped.falls_in_segment(0));
  EXPECT_FALSE(humped.falls_in_segment(1));
  EXPECT_FALSE(humped.falls_in_segment(2));
  EXPECT_TRUE(humped.falls_in_segment(3));
}

TEST(FanCurve, NowhereInASegmentIsItSteeperUpwardThanItsGreatestSlope) {
  for (const Points& points : {kSteady, kHumped}) {
    for (const double square : {0.0, 400.0, 2500.0}) {
      const FanCurve curve = curve_of(points);
      for (std::size_t i = 0; i < curve.segment_count(); ++i) {
        const double start = points[i].airflow_m3_s;
        const double width = points[i + 1].airflow_m3_s - start;
        double greatest = -std::numeric_limits<double>::infinity();
        for (int k = 0; k <= 1000; ++k) {
          const double x = width * k / 1000.0;
          greatest = std::max(greatest, curve.cubic(i).slope(x) + 2.0 * square * (start + x));
        }
        EXPECT_GE(curve.greatest_slope(i, square), greatest - 1e-9) << i;
        EXPECT_NEAR(curve.greatest_slope(i, square), greatest, 1e-3 * std::abs(greatest) + 1e-3)
            << i;
      }
    }
  }
}

TEST(FanCurve, FlatSegmentDoesNotRise) {
  const FanCurve curve = curve_of({{0.0, 100.0}, {0.1, 100.0}, {0.2, 40.0}});
  EXPECT_TRUE(curve.falls_in_segment(0));
  EXPECT_EQ(curve.pressure_pa(0.05), 100.0);
}

TEST(FanCurve, TwoPointsCarryAParabola) {
  const FanCurve curve = curve_of({{0.1, 60.0}, {0.15, 25.0}}, CurveShape::parabola);
  EXPECT_EQ(curve.shape(), CurveShape::parabola);
  const double a = (60.0 - 25.0) / (0.15 * 0.15 - 0.1 * 0.1);
  const double shutoff_pa = 60.0 + a * 0.01;
  for (const double airflow_m3_s : {0.1, 0.117, 0.15}) {
    EXPECT_NEAR(
        curve.pressure_pa(airflow_m3_s), shutoff_pa - a * airflow_m3_s * airflow_m3_s, 1e-12);
    EXPECT_NEAR(curve.slope(airflow_m3_s), -2.0 * a * airflow_m3_s, 1e-9);
  }
  EXPECT_TRUE(curve.falls_in_segment(0));
}

TEST(FanCurve, TwoPointsCarryALine) {
  const FanCurve curve = curve_of({{0.1, 60.0}, {0.15, 25.0}}, CurveShape::line);
  EXPECT_EQ(curve.shape(), CurveShape::line);
  EXPECT_NEAR(curve.pressure_pa(0.125), 42.5, 1e-12);
  EXPECT_NEAR(curve.slope(0.11), -700.0, 1e-9);
}

TEST(FanCurve, RunsByTheFanLaws) {
  const FanCurve one = curve_of(kSteady);
  const FanCurve two = one.running({.density_ratio = 0.9, .speed_ratio = 0.5, .count = 2});
  EXPECT_EQ(two.last_airflow_m3_s(), one.last_airflow_m3_s());
  for (const double airflow_m3_s : {0.0, 0.05, 0.15, 0.3, 0.32}) {
    const double expected_pa = 0.9 * 0.25 * one.pressure_pa(airflow_m3_s);
    EXPECT_NEAR(two.pressure_pa(airflow_m3_s), expected_pa, 1e-12 * 240.0);
  }
  EXPECT_EQ(two.falls_in_segment(0), one.falls_in_segment(0));
}

TEST(FanCurve, FaultsAreNamed) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(fault_of({}), FanCurve::Fault::too_few);
  EXPECT_EQ(fault_of({{0.0, 100.0}}), FanCurve::Fault::too_few);
  EXPECT_EQ(fault_of({{0.0, 100.0}, {0.1, nan}}), FanCurve::Fault::not_finite);
  EXPECT_EQ(fault_of({{-0.1, 100.0}, {0.1, 0.0}}), FanCurve::Fault::negative_airflow);
  EXPECT_EQ(fault_of({{0.1, 100.0}, {0.1, 0.0}}), FanCurve::Fault::not_ascending);
  EXPECT_EQ(fault_of({{0.2, 100.0}, {0.1, 0.0}}), FanCurve::Fault::not_ascending);
  EXPECT_EQ(fault_of({{0.0, 50.0}, {0.1, 50.0}, {0.2, 60.0}}), FanCurve::Fault::never_falls);
}

TEST(FanCurve, NothingIsInventedBeyondItsPoints) {
  const FanCurve curve = curve_of({{0.1, 60.0}, {0.15, 25.0}});
  EXPECT_THROW((void)curve.pressure_pa(0.0999), base::LogicError);
  EXPECT_THROW((void)curve.slope(0.1501), base::LogicError);
  EXPECT_THROW((void)curve.pressure_pa(std::nan("")), base::LogicError);
  EXPECT_THROW((void)curve.cubic(1), base::LogicError);
  EXPECT_THROW((void)curve.falls_in_segment(1), base::LogicError);
}

TEST(FanCurve, BrokenContractIsSaid) {
  EXPECT_THROW((void)FanCurve::from_points(Points{{0.0, 60.0}, {0.1, 0.0}}, CurveShape::points),
               base::LogicError);
  EXPECT_THROW((void)curve_of(kSteady).running({.speed_ratio = 0.0}), base::LogicError);
  EXPECT_THROW((void)curve_of(kSteady).running({.count = 0}), base::LogicError);
}

}  // namespace
}  // namespace ductledger::fan
