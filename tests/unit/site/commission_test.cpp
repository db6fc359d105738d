#include "site/commission.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

namespace ductledger::site {
namespace {

site::CommissionResult commissioned(const std::string& pieces) {
  const std::string text =
      "layout: 1\n"
      "title: Test bench\n"
      "appliance: {kind: exhaust, collar: 6 in round}\n"
      "fan: {speeds: [{name: high, curve: {airflow: 0 100 200 300 400 cfm, pressure: 0.80 0.72 "
      "0.55 "
      "0.30 0 inH2O}}]}\n"
      "run:\n  section: 6 in round\n  heading: up\n  pieces:\n" +
      pieces;
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  auto layout = layout::read(std::make_shared<base::SourceText>("bench.yaml", text), catalogue);
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  auto result = site::commission(*std::move(layout), catalogue);
  EXPECT_TRUE(result);
  return *std::move(result);
}

constexpr double kInch_m = 0.0254;

TEST(Commission, drills_two_diameters_into_the_first_straight_or_in_its_middle) {
  const auto with_long = commissioned("    - straight: 4 ft\n    - cap: wall-hood-flap\n");
  ASSERT_TRUE(with_long.gauge_hole);
  EXPECT_NEAR(with_long.gauge_hole->from_start_m, 12.0 * kInch_m, 1e-9);
  const auto with_short = commissioned("    - straight: 10 in\n    - cap: wall-hood-flap\n");
  EXPECT_NEAR(with_short.gauge_hole->from_start_m, 5.0 * kInch_m, 1e-9);
}

TEST(Commission, the_hole_reads_the_collar_less_friction_up_to_it) {
  const auto result = commissioned("    - straight: 4 ft\n    - cap: wall-hood-flap\n");
  const auto& row = result.check.speeds.front().ledger->rows.at(1);
  ASSERT_EQ(row.piece, "straight");
  EXPECT_NEAR(result.speeds.front().at_hole->pressure_pa,
              result.speeds.front().collar->pressure_pa - row.loss_pa / 4.0,
              1e-9);
}

TEST(Commission, a_traverse_wants_its_plane_where_the_straight_duct_is) {
  const auto result = commissioned(
      "    - straight: 2 ft\n    - elbow: {type: smooth-radius, turn: back}\n"
      "    - straight: 3 ft\n    - straight: 3 ft\n    - cap: wall-hood-flap\n");
  ASSERT_TRUE(result.traverse_plane);
  // 6 ft of straight duct are 12 diameters: 7.5/9.5 of them before the plane.
  EXPECT_EQ(result.traverse_plane->piece, 3U);
  EXPECT_NEAR(result.traverse_plane->upstream_diameters, 12.0 * 7.5 / 9.5, 1e-9);
  EXPECT_TRUE(result.traverse_plane->good_plane);
}

TEST(Commission, a_filter_at_twice_its_drop_is_solved_as_the_edited_layout_is) {
  const std::string rest = "    - straight: 4 ft\n    - cap: wall-hood-flap\n";
  const auto clean =
      commissioned("    - filter: {pressure: 0.10 inH2O, at: 200 cfm, law: square}\n" + rest);
  const auto loaded =
      commissioned("    - filter: {pressure: 0.20 inH2O, at: 200 cfm, law: square}\n" + rest);
  ASSERT_EQ(clean.loaded.size(), 1U);
  EXPECT_EQ(clean.loaded.front().airflow_m3_s, loaded.check.speeds.front().point.airflow_m3_s);
  EXPECT_GT(clean.loaded.front().lost_m3_s, 0.0);
}

TEST(Commission, says_why_a_loaded_filter_is_not_calculated) {
  const auto result = commissioned("    - straight: 4 ft\n    - cap: wall-hood-flap\n");
  EXPECT_TRUE(result.loaded.empty());
  EXPECT_FALSE(result.loaded_why_not.empty());
}

}  // namespace
}  // namespace ductledger::site
