#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <variant>

#include "duct/friction.hpp"
#include "duct/straight.hpp"
#include "fan/fan_curve.hpp"
#include "numeric/root.hpp"
#include "published/printed.hpp"

namespace ductledger::published {
namespace {

using std::numbers::pi;

constexpr double kPascalPerPoundFoot2 = 47.880259;  // 1 lbf/ft2
constexpr double kKgM3PerSlugFt3 = 515.37882;       // 1 slug/ft3

/// V = 4005 sqrt(pv): the inch of water of the ventilation sheets, 248.65 Pa (see friction_test).
double pascal_per_inch_of_4005() {
  return duct::velocity_pressure(units::feet_per_minute(4005.0), air::standard_air().density)
      .value();
}

TEST(PublishedKernels, SquareDuct) {
  constexpr Source kWhite{"F. M. White, Fluid Mechanics", "example 6.15 (5th ed.)", "seen"};
  const double density = 0.00237 * kKgM3PerSlugFt3;
  const double kinematic = 0.000157 * units::kMetresPerFoot * units::kMetresPerFoot;
  const units::Flow flow = units::Flow::from_value(25.0 * units::kCubicMetresPerCubicFoot);
  const auto section = duct::Section::rectangular(units::inches(9.0), units::inches(9.0));

  const double velocity_ft_s = duct::mean_velocity(section, flow).value() / units::kMetresPerFoot;
  EXPECT_TRUE(agrees(velocity_ft_s, {44.4, 0.05, "one decimal"}, kWhite));

  // The book's way: friction factor at the laminar-equivalent diameter 0.75 x 64/56.91 ft, length
  // over hydraulic diameter.
  const double effective_ft = 0.75 * 64.0 / 56.91;
  const double factor = duct::friction_factor({.reynolds = velocity_ft_s * effective_ft / 0.000157,
                                               .relative_roughness = 0.0003 / effective_ft});
  EXPECT_TRUE(agrees(factor, {0.0177, 0.00005, "three digits"}, kWhite));
  const double head_lbf_ft2 = 0.5 * 0.00237 * velocity_ft_s * velocity_ft_s;
  const double hydraulic_ft = section.hydraulic_diameter_m() / units::kMetresPerFoot;
  EXPECT_TRUE(
      agrees(factor * 100.0 / hydraulic_ft * head_lbf_ft2, {5.5, 0.05, "one decimal"}, kWhite));

  // Our way takes the diameter of equal friction instead.
  const double ours_lbf_ft2 =
      duct::straight_loss(
          {.section = section, .length = units::feet(100.0), .roughness = units::feet(0.0003)},
          flow,
          {.density = units::Density::from_value(density),
           .viscosity = units::pascal_seconds(density * kinematic)})
          .loss.value() /
      kPascalPerPoundFoot2;
  EXPECT_TRUE(agrees(ours_lbf_ft2,
                     {5.5, 0.25, "one decimal, and 3 to 4 % between conventions of diameter"},
                     kWhite));
}

TEST(PublishedKernels, RoundDuctOf28Inches) {
  constexpr Source kCourse{
      "Applied Fluids course notes, HVAC systems, K. Dusling", "28 in round duct", "seen"};
  const duct::Straight straight{.section = duct::Section::round(units::inches(28.0)),
                                .length = units::feet(80.0),
                                .roughness = units::inches(0.0036)};
  const units::Flow flow = units::cfm(6000.0);
  const double velocity_fpm =
      duct::mean_velocity(straight.section, flow).value() / units::feet_per_minute(1.0).value();
  EXPECT_TRUE(agrees(velocity_fpm, {1400.0, 5.0, "rounded to tens"}, kCourse));
  EXPECT_TRUE(
      agrees(duct::friction_factor({.reynolds = 337000.0, .relative_roughness = 0.0036 / 28.0}),
             {0.01545, 0.0001, "read from a chart, to four digits"},
             kCourse));
  // The notes print the square of the velocity ratio without its exponent; the result has it.
  EXPECT_TRUE(agrees(duct::straight_loss(straight, flow, air::standard_air()).loss.value() /
                         units::kPascalPerInchWater,
                     {0.064, 0.0015, "cut to two digits, velocity rounded to 1400 fpm"},
                     kCourse));
}

TEST(PublishedKernels, VelocityFromVelocityPressure) {
  constexpr Source kSheet{"ventilation exercise sheet with solutions", "hood arithmetic", "seen"};
  const auto velocity_fpm = [](double pressure_in) {
    return units::metres_per_second(std::sqrt(2.0 * pressure_in * pascal_per_inch_of_4005() /
                                              air::standard_air().density.value()))
               .value() /
           units::feet_per_minute(1.0).value();
  };
  // 4005 sqrt(3.15) is 7108.17: the sheet carried a rounded root, within its input's own digits.
  EXPECT_TRUE(agrees(
      velocity_fpm(3.15), {7108.13, 5.7, "from a pressure of two decimals: 0.08 %"}, kSheet));
}

TEST(PublishedKernels, HoodWithoutLossOnlyAccelerates) {
  // The slides give the 3 in duct of this case the area of a 3-1/2 in one: only the velocity is
  // used.
  constexpr Source kSlides{
      "Ventilation Systems Operation and Testing", "hood without entry loss", "seen"};
  const units::Pressure head =
      duct::velocity_pressure(units::feet_per_minute(4490.0), air::standard_air().density);
  const units::Pressure after = units::pascals(0.0) - head;
  const double inch = pascal_per_inch_of_4005();
  EXPECT_TRUE(agrees(head.value() / inch, {1.26, 0.005, "two decimals"}, kSlides));
  EXPECT_TRUE(agrees(after.value() / inch, {-1.26, 0.005, "two decimals"}, kSlides));
}

TEST(PublishedKernels, HoodAndStraightByVelocityPressures) {
  constexpr Source kProblem{
      "industrial ventilation course, velocity-pressure method", "solution to problem 2", "seen"};
  const auto section = duct::Section::round(units::inches(4.0));
  const units::Flow flow = units::cfm(390.0);
  const air::Air air = air::standard_air();
  const units::Velocity velocity = duct::mean_velocity(section, flow);
  EXPECT_TRUE(agrees(velocity.value() / units::feet_per_minute(1.0).value(),
                     {4471.3, 2.6, "area printed as 0.0872 ft2: 0.06 %"},
                     kProblem));
  const double inch = pascal_per_inch_of_4005();
  const double head_in = duct::velocity_pressure(velocity, air.density).value() / inch;
  EXPECT_TRUE(agrees((1.0 + 0.65) * head_in, {2.057, 0.003, "area to 0.06 %"}, kProblem));
  EXPECT_TRUE(agrees(0.0709 * 15.0 * head_in, {1.3256, 0.003, "area to 0.06 %"}, kProblem));

  // With friction of our own: the sheet's 0.0709 pv/ft is an empirical table of no stated
  // roughness; between 0.0003 and 0.0005 ft Colebrook gives 0.0631 to 0.0693, up to 11 % less.
  const double friction_in =
      duct::straight_loss(
          {.section = section, .length = units::feet(15.0), .roughness = units::feet(0.0003)},
          flow,
          air)
          .loss.value() /
      inch;
  EXPECT_TRUE(agrees((1.0 + 0.65) * head_in + friction_in,
                     {3.382, 0.003 + 0.11 * 1.33, "roughness of the sheet's table not stated"},
                     kProblem));
}

TEST(PublishedKernels, DiameterForAHead) {
  constexpr Source kCengel{
      "Cengel and Cimbala, Fluid Mechanics Fundamentals and Applications", "example 8-4", "memory"};
  const air::Air air{.density = units::Density::from_value(1.145),
                     .viscosity = units::pascal_seconds(1.895e-5)};
  const double allowed_pa = 1.145 * 9.81 * 20.0;
  const auto excess_pa = [&](double diameter_m) {
    return duct::straight_loss({.section = duct::Section::round(units::metres(diameter_m)),
                                .length = units::metres(150.0),
                                .roughness = units::metres(0.0)},
                               units::cubic_metres_per_second(0.35),
                               air)
               .loss.value() -
           allowed_pa;
  };
  const numeric::RootResult result = numeric::find_root(excess_pa, {.low = 0.1, .high = 1.0}, {});
  ASSERT_EQ(result.status, numeric::RootStatus::converged);
  EXPECT_TRUE(agrees(result.root, {0.267, 0.0005, "three digits"}, kCengel));
}

TEST(PublishedKernels, ExhaustFanOperatingPoint) {
  // A local exhaust: hood entry, five elbows, a damper, 13.4 m of 0.23 m duct, free discharge.
  constexpr Source kCengel{
      "Cengel and Cimbala, Fluid Mechanics Fundamentals and Applications", "example 14-1", "seen"};
  const double inch_pa = 998.0 * 9.81 * units::kMetresPerInch;
  constexpr std::array kCurve = std::to_array<std::array<double, 2>>(
      {{0, 0.90}, {250, 0.95}, {500, 0.90}, {750, 0.75}, {1000, 0.40}, {1200, 0.0}});
  std::array<fan::FanPoint, kCurve.size()> points{};
  for (std::size_t i = 0; i < kCurve.size(); ++i) {
    points[i] = {units::cfm(kCurve[i][0]).value(), kCurve[i][1] * inch_pa};
  }
  const auto curve =
      std::get<fan::FanCurve>(fan::FanCurve::from_points(points, fan::CurveShape::parabola));
  const air::Air air{.density = units::Density::from_value(1.184),
                     .viscosity = units::pascal_seconds(1.184 * 1.562e-5)};
  const duct::Straight straight{.section = duct::Section::round(units::metres(0.230)),
                                .length = units::metres(13.4),
                                .roughness = units::metres(0.15e-3)};
  const auto loss_pa = [&](double airflow_m3_s) {
    const auto flow = units::cubic_metres_per_second(airflow_m3_s);
    const double head_pa =
        duct::velocity_pressure(duct::mean_velocity(straight.section, flow), air.density).value();
    // Kinetic-energy factor 1.05 at the exit; entry 1.3, elbows 5 x 0.21, damper 1.8.
    return (1.05 + 4.15) * head_pa + duct::straight_loss(straight, flow, air).loss.value();
  };
  const numeric::RootResult result = numeric::find_root(
      [&](double airflow_m3_s) { return curve.pressure_pa(airflow_m3_s) - loss_pa(airflow_m3_s); },
      {.low = curve.first_airflow_m3_s(), .high = curve.last_airflow_m3_s()},
      {});
  ASSERT_EQ(result.status, numeric::RootStatus::converged);
  EXPECT_TRUE(agrees(result.root / units::kM3SPerCfm,
                     {650.0, 10.0, "read from a plotted curve, rounded to tens"},
                     kCengel));
  EXPECT_TRUE(
      agrees(loss_pa(result.root) / inch_pa, {0.83, 0.02, "read from a plotted curve"}, kCengel));
}

}  // namespace
}  // namespace ductledger::published
