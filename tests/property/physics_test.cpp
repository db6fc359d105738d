#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <variant>
#include <vector>

#include "duct/friction.hpp"
#include "duct/straight.hpp"
#include "fan/fan_curve.hpp"
#include "numeric/hermite.hpp"
#include "numeric/root.hpp"
#include "numeric/table.hpp"

namespace ductledger {
namespace {

constexpr std::int64_t kSteps = 1'000'000;

/// A number between `low` and `high`, evenly.
double between(double low, double high) {
  const auto step = *rc::gen::inRange<std::int64_t>(0, kSteps + 1);
  return low + (high - low) * static_cast<double>(step) / static_cast<double>(kSteps);
}

/// A number between `low` and `high`, evenly in its logarithm.
double log_between(double low, double high) {
  return std::exp(between(std::log(low), std::log(high)));
}

double any_roughness() { return *rc::gen::element(0, 1) == 0 ? 0.0 : log_between(1e-7, 0.1); }

/// Points ascending in airflow with pressures that may hump; the last falls to zero.
std::vector<fan::FanPoint> any_points() {
  const int count = *rc::gen::inRange(3, 9);
  std::vector<fan::FanPoint> points;
  double airflow_m3_s = between(0.0, 0.05);
  for (int i = 0; i < count; ++i) {
    points.push_back({airflow_m3_s, between(1.0, 300.0)});
    airflow_m3_s += log_between(0.005, 0.2);
  }
  points.push_back({airflow_m3_s, 0.0});
  return points;
}

fan::FanCurve any_curve() {
  return std::get<fan::FanCurve>(
      fan::FanCurve::from_points(any_points(), fan::CurveShape::parabola));
}

TEST(FrictionProperty, LossRisesWithReynoldsEverywhere) {
  EXPECT_TRUE(rc::check("f Re^2 rises", [] {
    const double roughness = any_roughness();
    // Half of the pairs lie in or about the blend.
    const double low =
        *rc::gen::element(0, 1) == 0 ? between(2000.0, 4300.0) : log_between(1.0, 1e8);
    const double high = low * (1.0 + log_between(1e-6, 1.0));
    RC_ASSERT(duct::friction_group({.reynolds = low, .relative_roughness = roughness}) <
              duct::friction_group({.reynolds = high, .relative_roughness = roughness}));
  }));
}

TEST(FrictionProperty, LossRisesThroughoutTheBlendForEveryRoughness) {
  for (int j = 0; j <= 50; ++j) {
    const double roughness = 0.1 * j / 50.0;
    double before = 0.0;
    for (double reynolds = 2290.0; reynolds <= 4010.0; reynolds += 1.0) {
      const double group =
          duct::friction_group({.reynolds = reynolds, .relative_roughness = roughness});
      ASSERT_GT(group, before) << "Re " << reynolds << ", roughness " << roughness;
      before = group;
    }
  }
}

TEST(FrictionProperty, ValueAndSlopeAreContinuousWhereTheLawsMeet) {
  EXPECT_TRUE(rc::check("C1 at 2300 and 4000", [] {
    const double roughness = any_roughness();
    const auto group = [&](double reynolds) {
      return duct::friction_group({.reynolds = reynolds, .relative_roughness = roughness});
    };
    for (const double joint : {2300.0, 4000.0}) {
      // One-sided three-point slopes: their own error is h^2 G'''/3, far below what is allowed.
      const double h = 0.05;
      const double at = group(joint);
      const double left = (3.0 * at - 4.0 * group(joint - h) + group(joint - 2.0 * h)) / (2.0 * h);
      const double right =
          (-3.0 * at + 4.0 * group(joint + h) - group(joint + 2.0 * h)) / (2.0 * h);
      RC_ASSERT(std::fabs(left - right) <= 1e-6 * std::fabs(right));
      RC_ASSERT(std::fabs(group(joint + 1e-7) - group(joint - 1e-7)) <= 1e-9 * at);
    }
  }));
}

TEST(FrictionProperty, RougherNeverCostsLess) {
  EXPECT_TRUE(rc::check("f rises with roughness", [] {
    const double reynolds = log_between(2301.0, 1e8);
    const double smooth = any_roughness();
    const double rough = std::min(0.1, smooth + log_between(1e-7, 0.1));
    RC_ASSERT(duct::friction_factor({.reynolds = reynolds, .relative_roughness = smooth}) <=
              duct::friction_factor({.reynolds = reynolds, .relative_roughness = rough}) *
                  (1.0 + 1e-14));
  }));
}

TEST(StraightProperty, TwoHalvesCostWhatTheWholeDoes) {
  EXPECT_TRUE(rc::check("length adds up", [] {
    const air::Air air = air::standard_air();
    const units::Flow flow = units::cubic_metres_per_second(log_between(1e-4, 2.0));
    duct::Straight straight{.section = duct::Section::round(units::metres(between(0.075, 0.6))),
                            .length = units::metres(between(0.1, 30.0)),
                            .roughness = units::metres(between(0.0, 0.003))};
    const double whole_pa = duct::straight_loss(straight, flow, air).loss.value();
    straight.length *= 0.5;
    const double half_pa = duct::straight_loss(straight, flow, air).loss.value();
    RC_ASSERT(std::fabs(2.0 * half_pa - whole_pa) <= 1e-14 * whole_pa);
  }));
}

TEST(PchipProperty, StaysBetweenNeighbouringPoints) {
  EXPECT_TRUE(rc::check("no overshoot", [] {
    const fan::FanCurve curve = any_curve();
    const auto i = *rc::gen::inRange<std::size_t>(0, curve.segment_count());
    const double width = curve.knots_m3_s()[i + 1] - curve.knots_m3_s()[i];
    const double start_pa = curve.cubic(i).value(0.0);
    const double end_pa = curve.cubic(i).value(width);
    const double inside_pa = curve.cubic(i).value(between(0.0, 1.0) * width);
    RC_ASSERT(inside_pa >= std::min(start_pa, end_pa) - 1e-10);
    RC_ASSERT(inside_pa <= std::max(start_pa, end_pa) + 1e-10);
  }));
}

TEST(PchipProperty, SegmentFallsExactlyWhenItsPointsDo) {
  EXPECT_TRUE(rc::check("falls_in_segment agrees with the points", [] {
    const std::vector<fan::FanPoint> points = any_points();
    const auto curve =
        std::get<fan::FanCurve>(fan::FanCurve::from_points(points, fan::CurveShape::parabola));
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      RC_ASSERT(curve.falls_in_segment(i) == (points[i + 1].pressure_pa <= points[i].pressure_pa));
    }
  }));
}

TEST(NeverRisesProperty, AgreesWithTheSlopeOnAGrid) {
  EXPECT_TRUE(rc::check("the sign of the slope decides", [] {
    const numeric::HermiteSegment segment{
        .start = {.value = between(-1.0, 1.0), .slope = between(-6.0, 1.0)},
        .end = {.value = between(-1.0, 1.0), .slope = between(-6.0, 1.0)},
        .width = between(0.2, 3.0)};
    const numeric::Cubic cubic = numeric::hermite_cubic(segment);
    double steepest = -1e300;
    for (int i = 0; i <= 1000; ++i) {
      steepest = std::max(steepest, cubic.slope(segment.width * i / 1000.0));
    }
    // Between grid points the slope peaks less than 1e-4 higher: half its curvature (below 1e4)
    // times half a step (1e-4) squared.
    if (numeric::never_rises(segment)) {
      RC_ASSERT(steepest <= 1e-12);
    } else {
      RC_ASSERT(steepest > -1e-4);
    }
  }));
}

TEST(FanProperty, RunningAsRatedChangesNothing) {
  EXPECT_TRUE(rc::check("ratios of one", [] {
    const fan::FanCurve curve = any_curve();
    const fan::FanCurve same = curve.running({});
    const double airflow_m3_s =
        std::min(curve.first_airflow_m3_s() +
                     between(0.0, 1.0) * (curve.last_airflow_m3_s() - curve.first_airflow_m3_s()),
                 curve.last_airflow_m3_s());
    RC_ASSERT(curve.pressure_pa(airflow_m3_s) == same.pressure_pa(airflow_m3_s));
    RC_ASSERT(curve.slope(airflow_m3_s) == same.slope(airflow_m3_s));
  }));
}

TEST(FanProperty, RunningIsTheFanLawsAtEveryAirflow) {
  EXPECT_TRUE(rc::check("scaled curve is the curve scaled", [] {
    const fan::FanCurve curve = any_curve();
    const fan::Running running{.density_ratio = between(0.6, 1.3),
                               .speed_ratio = between(0.2, 1.5),
                               .count = *rc::gen::inRange(1, 5)};
    const double q = running.count * running.speed_ratio;
    const double p = running.density_ratio * running.speed_ratio * running.speed_ratio;
    const fan::FanCurve scaled = curve.running(running);
    const double middle = 0.5 * (curve.first_airflow_m3_s() + curve.last_airflow_m3_s());
    const double reach = 0.499999 * (curve.last_airflow_m3_s() - curve.first_airflow_m3_s());
    const double airflow_m3_s = middle + between(-1.0, 1.0) * reach;
    RC_ASSERT(std::fabs(scaled.pressure_pa(q * airflow_m3_s) -
                        p * curve.pressure_pa(airflow_m3_s)) <= 1e-9 * p * 300.0);
  }));
}

TEST(FanProperty, RunningTwiceIsRunningByTheProduct) {
  EXPECT_TRUE(rc::check("fan laws compose", [] {
    const fan::FanCurve curve = any_curve();
    const fan::Running first{.density_ratio = between(0.6, 1.3), .speed_ratio = between(0.3, 1.4)};
    const fan::Running second{.density_ratio = between(0.6, 1.3),
                              .speed_ratio = between(0.3, 1.4),
                              .count = *rc::gen::inRange(1, 4)};
    const fan::FanCurve twice = curve.running(first).running(second);
    const fan::FanCurve once =
        curve.running({.density_ratio = first.density_ratio * second.density_ratio,
                       .speed_ratio = first.speed_ratio * second.speed_ratio,
                       .count = second.count});
    for (std::size_t i = 0; i < curve.segment_count(); ++i) {
      const double width = once.knots_m3_s()[i + 1] - once.knots_m3_s()[i];
      RC_ASSERT(std::fabs(twice.knots_m3_s()[i] - once.knots_m3_s()[i]) <= 1e-14);
      for (const double share : {0.0, 0.3, 1.0}) {
        RC_ASSERT(std::fabs(twice.cubic(i).value(share * width) -
                            once.cubic(i).value(share * width)) <= 1e-9);
      }
    }
  }));
}

TEST(RootProperty, ConvergedMeansTheStatedInequality) {
  EXPECT_TRUE(rc::check("bracket and residual", [] {
    const double zero = between(-3.0, 3.0);
    const double stiffness = between(0.0, 8.0);
    const auto f = [&](double x) {
      const double d = x - zero;
      return d * (1.0 + stiffness * d * d) * 100.0;
    };
    const numeric::RootStop stop{.residual_max = log_between(1e-12, 1.0),
                                 .width_absolute = log_between(1e-14, 1e-3),
                                 .width_relative = 0.0};
    const numeric::Bracket start{zero - log_between(1e-3, 50.0), zero + log_between(1e-3, 50.0)};
    const numeric::RootResult result = numeric::find_root(f, start, stop);
    RC_ASSERT(result.status == numeric::RootStatus::converged);
    RC_ASSERT(result.residual == f(result.root));
    RC_ASSERT(std::fabs(result.residual) <= stop.residual_max ||
              result.bracket.high - result.bracket.low <= stop.width_absolute);
    RC_ASSERT(f(result.bracket.low) <= 0.0);
    RC_ASSERT(f(result.bracket.high) >= 0.0);
  }));
}

TEST(TableProperty, StaysWithinItsValues) {
  EXPECT_TRUE(rc::check("no overshoot, marks tell inside from outside", [] {
    std::vector<std::vector<double>> axes(*rc::gen::inRange<std::size_t>(1, 4));
    std::size_t size = 1;
    for (auto& axis : axes) {
      double node = between(-5.0, 5.0);
      const int count = *rc::gen::inRange(1, 5);
      for (int i = 0; i < count; ++i) {
        axis.push_back(node);
        node += between(0.01, 3.0);
      }
      size *= axis.size();
    }
    std::vector<double> values(size);
    for (double& value : values) {
      value = between(-10.0, 10.0);
    }
    const auto [lowest, highest] = std::minmax_element(values.begin(), values.end());
    const auto table = std::get<numeric::Table>(numeric::Table::from(axes, values));
    std::vector<double> coordinates;
    bool inside = true;
    for (const auto& axis : axes) {
      coordinates.push_back(between(-8.0, 20.0));
      inside = inside && coordinates.back() >= axis.front() && coordinates.back() <= axis.back();
    }
    const numeric::TableValue result = table.at(coordinates);
    RC_ASSERT(result.is_inside() == inside);
    RC_ASSERT(result.value >= *lowest - 1e-12);
    RC_ASSERT(result.value <= *highest + 1e-12);
  }));
}

}  // namespace
}  // namespace ductledger
