#include <gtest/gtest.h>

#include <string>

#include "house/zone.hpp"
#include "support/example_layout.hpp"

namespace ductledger::house {
namespace {

/// @param makeup the keys of `makeup`, from `run` on
Zone zone_of(const std::string& makeup) {
  const layout::Layout layout = test::layout_of_text(
      "layout: 1\nsite: {air: {density: 1.2 kg/m3}}\nappliance: {kind: range-hood}\n"
      "run: {section: 8 in round, pieces: [{straight: 6 ft}, {cap: wall-hood-flap}]}\n"
      "house:\n  leakage: {airflow: 700 cfm, at: 50 Pa}\n  makeup:\n    kind: duct\n" +
      makeup);
  const auto& catalogue = fitting::Catalogue::built_in();
  const auto run = solve::compile(layout, catalogue);
  EXPECT_TRUE(run);
  auto house = compile(layout, catalogue, *run);
  EXPECT_TRUE(house) << (house ? "" : base::render(house.error()));
  return *house->zone;
}

// Two equal inlets into a junction without loss and no duct behind it: each carries half, and the
// open end takes the velocity pressure of all.
TEST(BranchedMakeup, two_equal_inlets_ask_of_each_what_one_asks_at_half_the_airflow) {
  const std::string pieces = "{entry: louver}, {straight: 12 ft}";
  const Zone one = zone_of("    run: {section: 6 in round, pieces: [" + pieces + "]}\n");
  const Zone two =
      zone_of("    run: {section: 6 in round, pieces: [" + pieces +
              ", {junction: {branch: twin, straight_coefficient: 0, branch_coefficient: 0}}]}\n"
              "    branches: {twin: {section: 6 in round, pieces: [" +
              pieces + "]}}\n");
  const double area_m2 = duct::Section::round(units::inches(6.0)).area_m2();
  const auto velocity_pressure_pa = [&](double q) { return 0.6 * (q / area_m2) * (q / area_m2); };
  for (const double q : {0.003, 0.02, 0.1, 0.4}) {
    const double single_pa = one.inward.at(q / 2.0);
    const double expected = single_pa - velocity_pressure_pa(q / 2.0) + velocity_pressure_pa(q);
    ASSERT_NE(two.branched_inward, nullptr);
    EXPECT_NEAR(two.branched_inward->at(q), expected, 1e-5 * expected) << q;
    // And the other way round: the airflow at that pressure.
    EXPECT_NEAR(two.path_m3_s(expected), q, 1e-5 * q);
  }
  EXPECT_FALSE(two.one_way);
}

TEST(BranchedMakeup, a_flap_at_every_inlet_lets_no_air_out_one_alone_does) {
  const auto with = [](const char* first, const char* second) {
    return zone_of("    run: {section: 6 in round, pieces: [{entry: louver}, " +
                   std::string(first) +
                   "{straight: 6 ft}, {junction: {branch: b}}]}\n"
                   "    branches: {b: {section: 6 in round, pieces: [{entry: louver}, " +
                   second + "{straight: 6 ft}]}}\n");
  };
  const char* const flap = "{damper: backdraft-flap}, ";
  EXPECT_TRUE(with(flap, flap).one_way);
  EXPECT_FALSE(with(flap, "").one_way);
  EXPECT_FALSE(with("", flap).one_way);
}

}  // namespace
}  // namespace ductledger::house
