#include "duct/friction.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "duct/straight.hpp"
#include "published/printed.hpp"

namespace ductledger::published {
namespace {

/// Half a unit of the last printed digit. @param digits decimals printed
double half_unit(int digits) { return 0.5 * std::pow(10.0, -digits); }

/// The inch of water behind the sheets' V = 4005 sqrt(pv) in standard air, 248.65 Pa: water at
/// about 68 degF. This project's inch (249.089 Pa, 4 degC) gives 4008.6 in its place, 0.17 % less
/// pressure.
double pascal_per_inch_of_4005() {
  return duct::velocity_pressure(units::feet_per_minute(4005.0), air::standard_air().density)
      .value();
}

TEST(PublishedVelocityPressure, PrintedPoints) {
  struct Row {
    double velocity_fpm;
    double printed_in;
    int decimals;
    Source source;
  };
  const std::array rows = std::to_array<Row>({
      {4490, 1.26, 2, {"Ventilation Systems Operation and Testing", "hood without loss", "seen"}},
      {4471.3, 1.2464, 4, {"industrial ventilation course", "solution to problem 2", "seen"}},
      {7108.13, 3.15, 2, {"ventilation exercise sheet", "hood arithmetic, velocity", "seen"}},
  });
  for (const Row& row : rows) {
    const double ours_pa = duct::velocity_pressure(units::feet_per_minute(row.velocity_fpm),
                                                   air::standard_air().density)
                               .value();
    EXPECT_TRUE(agrees(ours_pa / pascal_per_inch_of_4005(),
                       {row.printed_in, half_unit(row.decimals), "last printed digit"},
                       row.source));
  }
}

TEST(PublishedVelocityPressure, TradeConstantAgainstOurInch) {
  // Known difference, from the inch of water alone: 4005 printed, 4008.6 with 249.089 Pa.
  EXPECT_NEAR(pascal_per_inch_of_4005(), 248.65, 0.005);
  EXPECT_NEAR(
      4005.0 * std::sqrt(units::kPascalPerInchWater / pascal_per_inch_of_4005()), 4008.6, 0.05);
}

TEST(PublishedVelocityPressure, PointsComputedFromTheTradeConstant) {
  struct Row {
    double velocity_fpm;
    double computed_in;
  };
  constexpr Source kSource{"pv = (V/4005)^2, standard air", "common practice", "computed"};
  constexpr std::array kRows = std::to_array<Row>({
      {400, 0.0100},
      {500, 0.0156},
      {600, 0.0224},
      {700, 0.0305},
      {800, 0.0399},
      {900, 0.0505},
      {1000, 0.0623},
      {1200, 0.0898},
      {1400, 0.1222},
      {1500, 0.1403},
      {1800, 0.2020},
      {2000, 0.2494},
      {2500, 0.3897},
      {3000, 0.5611},
      {3500, 0.7637},
      {4000, 0.9975},
      {4500, 1.2625},
  });
  for (const Row& row : kRows) {
    const double ours_pa = duct::velocity_pressure(units::feet_per_minute(row.velocity_fpm),
                                                   air::standard_air().density)
                               .value();
    EXPECT_TRUE(agrees(ours_pa / pascal_per_inch_of_4005(),
                       {row.computed_in, half_unit(4), "four decimals"},
                       kSource))
        << row.velocity_fpm;
  }
}

TEST(PublishedVelocityPressure, OfRoundDuctsInDryAir) {
  // Air of 1.204 kg/m3, dry at 20 degC.
  struct Row {
    double diameter_in;
    double airflow_cfm;
    double computed_pa;
  };
  constexpr Source kSource{"rho V^2/2, dry air of 20 degC", "continuity", "derived"};
  constexpr std::array kRows = std::to_array<Row>({{6, 200, 16.12},
                                                   {6, 300, 36.27},
                                                   {6, 400, 64.47},
                                                   {7, 400, 34.80},
                                                   {8, 400, 20.40},
                                                   {8, 600, 45.90},
                                                   {10, 900, 42.30},
                                                   {4, 80, 13.06}});
  for (const Row& row : kRows) {
    const auto section = duct::Section::round(units::inches(row.diameter_in));
    const double ours_pa =
        duct::velocity_pressure(duct::mean_velocity(section, units::cfm(row.airflow_cfm)),
                                units::Density::from_value(1.204))
            .value();
    EXPECT_TRUE(agrees(ours_pa, {row.computed_pa, half_unit(2), "two decimals"}, kSource));
  }
}

/// Loss over 100 ft of round duct, inches of water.
struct ChartPoint {
  double diameter_in;
  double airflow_cfm;
};
double per_hundred_feet_in(const ChartPoint& point, double roughness_ft, const air::Air& air) {
  return duct::straight_loss({.section = duct::Section::round(units::inches(point.diameter_in)),
                              .length = units::feet(100.0),
                              .roughness = units::feet(roughness_ft)},
                             units::cfm(point.airflow_cfm),
                             air)
             .loss.value() /
         units::kPascalPerInchWater;
}

TEST(PublishedFriction, ChartReadings) {
  // Readings of friction charts, printed to 0.01. None of the sources states the roughness of its
  // chart: it lies between 0.0003 ft (newer) and 0.0005 ft (older chart), both from the ASHRAE
  // roughness table, so the reading must meet that range.
  //
  // Two readings of another chart, of no named origin, are not counted: 60 in at 100000 cfm, 0.4,
  // which lies between ours (0.381 and 0.408), and 20 in at 4000 cfm, 0.23, which fits neither
  // (0.201 and 0.212): read too high, or an older chart still.
  struct Row {
    ChartPoint point;
    double printed_in;
    Source source;
  };
  constexpr const char* kThermoFluids =
      "McDonald and Magande, Introduction to Thermo-Fluids Systems Design, 1st ed. 2013";
  constexpr const char* kSheet = "duct pressure loss examples after a heating textbook";
  const std::array rows = std::to_array<Row>({
      {{10, 400}, 0.09, {kThermoFluids, "problem 2.1", "seen"}},
      {{9, 280}, 0.08, {kSheet, "example S.1", "seen"}},
      {{6, 120}, 0.12, {kSheet, "example S.1", "seen"}},
      {{28, 6000}, 0.08, {"Applied Fluids course notes, K. Dusling", "round duct", "seen"}},
  });
  for (const Row& row : rows) {
    const double smoother_in = per_hundred_feet_in(row.point, 0.0003, air::standard_air());
    const double rougher_in = per_hundred_feet_in(row.point, 0.0005, air::standard_air());
    const double nearest_in = std::fmin(std::fmax(row.printed_in, smoother_in), rougher_in);
    EXPECT_TRUE(agrees(nearest_in, {row.printed_in, half_unit(2), "printed to 0.01"}, row.source))
        << row.point.diameter_in << " in, " << row.point.airflow_cfm << " cfm";
  }
}

TEST(PublishedFriction, ColebrookPointsComputedElsewhere) {
  // Colebrook-White with 1.2014 kg/m3, 1.819e-5 Pa s and 249.089 Pa, computed apart from this code.
  struct Row {
    ChartPoint point;
    double velocity_fpm;
    double reynolds;
    double at_0003_ft_in;
    double at_0005_ft_in;
  };
  constexpr Source kSource{"Colebrook-White by hand of another program", "table", "computed"};
  constexpr std::array kRows = std::to_array<Row>({
      {{4, 50}, 573, 19531, 0.1709, 0.1778},      {{4, 80}, 917, 31250, 0.4010, 0.4222},
      {{4, 100}, 1146, 39063, 0.6041, 0.6398},    {{4, 150}, 1719, 58594, 1.2815, 1.3728},
      {{5, 100}, 733, 31250, 0.2019, 0.2109},     {{5, 150}, 1100, 46876, 0.4241, 0.4476},
      {{6, 100}, 509, 26042, 0.0831, 0.0859},     {{6, 120}, 611, 31250, 0.1155, 0.1199},
      {{6, 150}, 764, 39063, 0.1732, 0.1808},     {{6, 200}, 1019, 52084, 0.2934, 0.3085},
      {{6, 300}, 1528, 78126, 0.6217, 0.6607},    {{7, 300}, 1123, 66965, 0.2900, 0.3052},
      {{8, 300}, 859, 58594, 0.1504, 0.1571},     {{8, 400}, 1146, 78126, 0.2555, 0.2687},
      {{8, 600}, 1719, 117189, 0.5435, 0.5776},   {{9, 280}, 634, 48612, 0.0745, 0.0772},
      {{10, 400}, 733, 62501, 0.0854, 0.0887},    {{10, 600}, 1100, 93751, 0.1801, 0.1888},
      {{10, 900}, 1650, 140627, 0.3830, 0.4057},  {{12, 1000}, 1273, 130210, 0.1889, 0.1985},
      {{12, 1200}, 1528, 156252, 0.2654, 0.2802}, {{20, 4000}, 1833, 312504, 0.2011, 0.2122},
  });
  const air::Air air{.density = units::Density::from_value(1.2014),
                     .viscosity = units::pascal_seconds(1.819e-5)};
  for (const Row& row : kRows) {
    const auto section = duct::Section::round(units::inches(row.point.diameter_in));
    const units::Flow flow = units::cfm(row.point.airflow_cfm);
    const double velocity_fpm =
        duct::mean_velocity(section, flow).value() / units::feet_per_minute(1.0).value();
    EXPECT_TRUE(agrees(velocity_fpm, {row.velocity_fpm, 0.5, "whole fpm"}, kSource));
    const auto straight = duct::straight_loss(
        {.section = section, .length = units::feet(100.0), .roughness = units::feet(0.0003)},
        flow,
        air);
    EXPECT_TRUE(agrees(straight.reynolds, {row.reynolds, 0.5, "whole number"}, kSource));
    EXPECT_TRUE(agrees(per_hundred_feet_in(row.point, 0.0003, air),
                       {row.at_0003_ft_in, half_unit(4), "four decimals"},
                       kSource));
    EXPECT_TRUE(agrees(per_hundred_feet_in(row.point, 0.0005, air),
                       {row.at_0005_ft_in, half_unit(4), "four decimals"},
                       kSource));
  }
}

TEST(PublishedFriction, ReynoldsRuleOfThumb) {
  // Known difference: SMACNA, HVAC Systems Duct Design, 4th ed., Table A-7 note, prints
  // Re = 8.56 D V (in, fpm) for standard air. Ours is 8.52, 0.5 % lower, which moves the friction
  // factor by 0.1 %; the print implies 1.506e-5 m2/s, ours (Sutherland at 70 degF) 1.514e-5.
  const air::Air air = air::standard_air();
  const double ours = units::kMetresPerInch * units::feet_per_minute(1.0).value() *
                      air.density.value() / air.viscosity.value();
  EXPECT_NEAR(ours, 8.52, 0.005);
  EXPECT_NEAR(ours / 8.56, 0.995, 0.001);
}

TEST(PublishedFlexible, CompressionMultiplier) {
  constexpr Source kClaim{
      "Abushakra, Walker and Sherman, HVAC&R Research 10(3), 2004", "abstract", "seen"};
  const auto multiplier = [](double diameter_in, double stretched) {
    return duct::flexible_multiplier(
        {.diameter = units::inches(diameter_in), .stretched = stretched});
  };
  // "About four times" at the moderate compression of field installations, "close to ten" when
  // pushed further: the mean of the three tested sizes at 15 %, and the smallest at 30 %.
  const double moderate = (multiplier(6, 0.85) + multiplier(8, 0.85) + multiplier(10, 0.85)) / 3.0;
  EXPECT_TRUE(agrees(moderate, {4.0, 0.5, "said as a whole number"}, kClaim));
  EXPECT_TRUE(agrees(multiplier(6, 0.70), {10.0, 1.0, "said as close to ten"}, kClaim));
  constexpr Source kNine{"Abushakra and others, LBNL-49293, 2001", "abstract", "seen"};
  EXPECT_TRUE(agrees(multiplier(6, 0.70), {9.0, 0.5, "up to a factor of nine"}, kNine));
  // Not a check, a known miss: for 12 in and larger a thesis (Cantrill, Texas A&M, 2013, abstract,
  // seen) says over four times above 4 % of compression. The equation gives 1.5 at 4 % and reaches
  // four only near 24 %: outside 6 to 10 in it falls short, the value is marked `outside_range`.
  EXPECT_LT(multiplier(12, 0.90), 4.0);
  EXPECT_TRUE(duct::is_outside_flexible_range({.diameter = units::inches(12), .stretched = 0.9}));
  constexpr Source kTwoUnits{"ASHRAE Handbook, Fundamentals, duct design, flexible duct",
                             "multiplier equation in mm",
                             "memory"};
  for (const double diameter_in : {6.0, 8.0, 10.0}) {
    const double metric = 1.0 + 0.58 * 20.0 * std::exp(-0.00496 * 25.4 * diameter_in);
    EXPECT_TRUE(agrees(multiplier(diameter_in, 0.8),
                       {metric,
                        0.002 * metric,
                        "0.00496 has three digits: 0.1 % of an exponent"
                        " up to 1.26"},
                       kTwoUnits));
  }
}

}  // namespace
}  // namespace ductledger::published
