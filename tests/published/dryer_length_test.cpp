#include "fitting/dryer_length.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <vector>

#include "layout/layout.hpp"
#include "solve/dryer_run.hpp"

// Source: International Residential Code, table M1502.4.6.1 of the 2021 and 2024 editions
// (M1502.4.5.1 of 2015), adopted copies, seen; rows typed a second time from there.
namespace ductledger {
namespace {

constexpr double kFoot = 0.3048;
constexpr double kRadPerDegree = 3.14159265358979323846 / 180.0;

TEST(DryerTable, holds_the_printed_rows) {
  struct Row {
    fitting::DryerMake make;
    double radius_in;
    double angle_deg;
    double feet;
    double inches;
  };
  const std::vector<Row> printed{{fitting::DryerMake::mitered, 4, 45, 2, 6},
                                 {fitting::DryerMake::mitered, 4, 90, 5, 0},
                                 {fitting::DryerMake::smooth, 6, 45, 1, 0},
                                 {fitting::DryerMake::smooth, 6, 90, 1, 9},
                                 {fitting::DryerMake::smooth, 8, 45, 1, 0},
                                 {fitting::DryerMake::smooth, 8, 90, 1, 7},
                                 {fitting::DryerMake::smooth, 10, 45, 0, 9},
                                 {fitting::DryerMake::smooth, 10, 90, 1, 6}};
  EXPECT_EQ(fitting::dryer_table().rows.size(), printed.size());
  EXPECT_NEAR(fitting::dryer_table().greatest_length_m, 35.0 * kFoot, 1e-12);
  for (const Row& row : printed) {
    const auto found = fitting::dryer_allowance({.make = row.make,
                                                 .radius_m = row.radius_in * 0.0254,
                                                 .angle_rad = row.angle_deg * kRadPerDegree});
    EXPECT_NEAR(found.length_m, (row.feet + row.inches / 12.0) * kFoot, 1e-9) << row.radius_in;
    EXPECT_TRUE(found.listed);
  }
}

TEST(DryerTable, what_it_does_not_list_counts_as_the_mitered_elbow) {
  const auto tight = fitting::dryer_allowance({.make = fitting::DryerMake::smooth,
                                               .radius_m = 4.0 * 0.0254,
                                               .angle_rad = 90.0 * kRadPerDegree});
  EXPECT_NEAR(tight.length_m, 5.0 * kFoot, 1e-9);
  EXPECT_FALSE(tight.listed);
  const auto between = fitting::dryer_allowance({.make = fitting::DryerMake::smooth,
                                                 .radius_m = 7.0 * 0.0254,
                                                 .angle_rad = 60.0 * kRadPerDegree});
  EXPECT_NEAR(between.length_m, 1.75 * kFoot, 1e-9);
  const auto hairpin = fitting::dryer_allowance({.make = fitting::DryerMake::mitered,
                                                 .radius_m = 4.0 * 0.0254,
                                                 .angle_rad = 135.0 * kRadPerDegree});
  EXPECT_NEAR(hairpin.length_m, 7.5 * kFoot, 1e-9);
}

solve::DryerRun counted(const std::string& pieces) {
  const auto& catalogue = fitting::Catalogue::built_in();
  const auto layout =
      layout::read(std::make_shared<const base::SourceText>(
                       "t.yaml",
                       "layout: 1\nappliance: {kind: clothes-dryer, collar: 4 in round}\nrun: "
                       "{pieces: [" +
                           pieces + "]}\n"),
                   catalogue);
  EXPECT_TRUE(layout);
  const auto run = solve::compile(*layout, catalogue);
  EXPECT_TRUE(run);
  return solve::dryer_run(*layout, *run).value();
}

// Worked from the rule "35 ft less the elbows": three mitered 90s leave 20 ft; two and a 45 leave
// 22 ft 6 in; four smooth ones of 10 in radius leave 29 ft.
TEST(DryerTable, runs_that_use_the_length_up) {
  const std::string mitered = "{elbow: {type: mitered, angle: 90 deg}}, ";
  const std::string long_radius =
      "{elbow: {type: smooth-radius, radius_ratio: 2.5, angle: 90 deg}}, ";
  const std::string cap = "{cap: wall-hood-flap}";
  EXPECT_NEAR(counted("{straight: 20 ft}, " + mitered + mitered + mitered + cap).total_m,
              35.0 * kFoot,
              1e-9);
  EXPECT_NEAR(counted("{straight: 23 ft}, " + mitered + mitered +
                      "{elbow: {type: mitered, angle: 45 deg}}, " + cap)
                  .total_m,
              35.5 * kFoot,
              1e-9);
  const auto four =
      counted("{straight: 29 ft}, " + long_radius + long_radius + long_radius + long_radius + cap);
  EXPECT_NEAR(four.total_m, 35.0 * kFoot, 1e-9);
  EXPECT_FALSE(four.other_size);
  EXPECT_EQ(four.elbows.size(), 4U);
}

TEST(DryerTable, the_transition_duct_does_not_count) {
  const auto run =
      counted("{flex: {length: 5 ft, stretched: 95 %}}, {straight: 10 ft}, {cap: wall-hood-flap}");
  EXPECT_NEAR(run.total_m, 10.0 * kFoot, 1e-9);
  EXPECT_NEAR(run.transition_duct_m, 5.0 * kFoot, 1e-9);
}

TEST(DryerTable, flexible_duct_behind_the_first_rigid_piece_counts_as_duct) {
  const auto run = counted(
      "{flex: {length: 3 ft, stretched: 95 %}}, {straight: 10 ft}, {elbow: {type: mitered, angle: "
      "90 deg}}, {flex: {length: 4 ft, stretched: 95 %}}, {cap: wall-hood-flap}");
  EXPECT_NEAR(run.transition_duct_m, 3.0 * kFoot, 1e-9);
  EXPECT_NEAR(run.duct_m, 14.0 * kFoot, 1e-9);
  EXPECT_NEAR(run.total_m, 19.0 * kFoot, 1e-9);
}

}  // namespace
}  // namespace ductledger
