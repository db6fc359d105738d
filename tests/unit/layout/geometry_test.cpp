#include "layout/geometry.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "support/check_text.hpp"
#include "units/quantity.hpp"

namespace {

using ductledger::fitting::Catalogue;
using ductledger::layout::Layout;
using ductledger::layout::PieceKind;
using ductledger::layout::RunGeometry;

constexpr double kFoot = ductledger::units::kMetresPerFoot;

struct Drawn {
  Layout layout;
  std::optional<RunGeometry> geometry;
};

Drawn drawn(const std::string& run, const std::string& pieces) {
  auto layout = ductledger::support::read(
      "layout: 1\ntitle: A test\nappliance: {kind: exhaust, collar: 1 ft round}\nrun:\n" + run +
      "  pieces:\n" + pieces);
  if (!layout) {
    throw std::runtime_error(ductledger::base::render(layout.error()));
  }
  auto geometry = ductledger::layout::run_geometry(*layout);
  return {*std::move(layout), std::move(geometry)};
}

constexpr const char* kUp = "  heading: up\n";
/// An elbow with legs of a foot each.
std::string elbow(const std::string& turn) {
  return "    - elbow: {type: gored-5, radius_ratio: 1.0, legs: 1 ft, turn: " + turn + "}\n";
}
std::string straight(const std::string& length) { return "    - straight: " + length + "\n"; }

void expect_at(const ductledger::layout::Point& point, double x_ft, double y_ft, double z_ft) {
  EXPECT_NEAR(point[0], x_ft * kFoot, 1e-9);
  EXPECT_NEAR(point[1], y_ft * kFoot, 1e-9);
  EXPECT_NEAR(point[2], z_ft * kFoot, 1e-9);
}

TEST(RunGeometry, lays_pieces_end_to_end_from_the_collar) {
  const Drawn run = drawn(kUp,
                          straight("2 ft") + elbow("back") + straight("3 ft") + elbow("right") +
                              straight("4 ft") + "    - cap: wall-hood-flap\n");
  ASSERT_TRUE(run.geometry);
  const auto& pieces = run.geometry->pieces;
  ASSERT_EQ(pieces.size(), 6U);
  expect_at(pieces[0].start, 0, 0, 0);
  expect_at(pieces[0].end, 0, 0, 2);
  expect_at(pieces[1].corner, 0, 0, 3);
  expect_at(pieces[1].end, 0, 1, 3);
  expect_at(pieces[3].corner, 0, 5, 3);
  expect_at(run.geometry->outlet, 5, 5, 3);
  EXPECT_EQ(run.geometry->outlet_heading, (ductledger::layout::Direction{1, 0, 0}));
  EXPECT_NEAR(run.geometry->length_m, 13 * kFoot, 1e-9);
  EXPECT_FALSE(run.geometry->nominal_legs);
}

TEST(RunGeometry, the_rise_with_stated_legs_is_that_of_the_layout) {
  const Drawn run = drawn(
      kUp, straight("2 ft") + elbow("back") + straight("3 ft") + elbow("up") + straight("4 ft"));
  ASSERT_TRUE(run.geometry && run.layout.run.rise_m);
  EXPECT_NEAR(run.geometry->outlet[2], *run.layout.run.rise_m, 1e-12);
}

TEST(RunGeometry, legs_not_stated_follow_the_radius) {
  const Drawn run = drawn(
      kUp, straight("2 ft") + "    - elbow: {type: gored-5, radius_ratio: 1.5, turn: back}\n");
  ASSERT_TRUE(run.geometry);
  EXPECT_TRUE(run.geometry->nominal_legs);
  expect_at(run.geometry->outlet, 0, 1.5, 3.5);
}

TEST(RunGeometry, a_turn_by_part_of_the_way_goes_by_its_angle) {
  const Drawn run = drawn(
      kUp,
      "    - elbow: {type: gored-5, turn: left, angle: 30 deg, legs: 0 in}\n" + straight("2 ft"));
  ASSERT_TRUE(run.geometry);
  expect_at(run.geometry->outlet, -1.0, 0, std::sqrt(3.0));
}

TEST(RunGeometry, a_fan_takes_a_place_and_no_way) {
  auto layout = ductledger::support::read(
      "layout: 1\ntitle: A test\nappliance: {kind: exhaust, collar: 1 ft round}\n"
      "fan: {speeds: [{name: on, curve: {airflow: 0 100 200 cfm, pressure: 1 0.8 0 "
      "inH2O}}]}\nrun:\n  heading: up\n  pieces:\n    - straight: 1 ft\n    - fan\n    - straight: "
      "1 ft\n");
  ASSERT_TRUE(layout) << ductledger::base::render(layout.error());
  const auto geometry = ductledger::layout::run_geometry(*layout);
  ASSERT_TRUE(geometry);
  EXPECT_EQ(layout->run.pieces[geometry->pieces[1].piece].kind, ductledger::layout::PieceKind::fan);
  EXPECT_NEAR(geometry->length_m, 2 * kFoot, 1e-9);
}

TEST(RunGeometry, a_rectangular_width_turns_with_the_duct) {
  const Drawn run = drawn("  section: 24 x 12 in\n  heading: up\n",
                          "    - elbow: {type: mitered, turn: right}\n" + straight("2 ft") +
                              "    - elbow: {type: mitered, turn: back}\n");
  ASSERT_TRUE(run.geometry);
  // Rising, the width lies left-right; heading right it stands upright, and stays so heading back.
  EXPECT_NEAR(std::abs(run.geometry->pieces[1].width_in[2]), 1.0, 1e-12);
  EXPECT_NEAR(std::abs(run.geometry->pieces[2].width_out[2]), 1.0, 1e-12);
}

TEST(RunGeometry, without_headings_there_is_none) {
  EXPECT_FALSE(drawn("", straight("2 ft")).geometry);
  EXPECT_FALSE(
      drawn(kUp, straight("2 ft") + "    - elbow: {angle: 45 deg}\n" + straight("2 ft")).geometry);
}

std::optional<ductledger::layout::Clash> clash(const std::string& pieces) {
  const Drawn run = drawn(kUp, pieces);
  return ductledger::layout::first_clash(run.layout, run.geometry.value());
}

TEST(FirstClash, a_loop_that_meets_itself_is_found) {
  // Right, down, left: back at the first straight.
  const auto found = clash(straight("6 ft") + elbow("right") + straight("4 ft") + elbow("down") +
                           straight("3 ft") + elbow("left") + straight("6 ft"));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->first, 0U);
  EXPECT_EQ(found->second, 6U);
  EXPECT_NEAR(found->distance_m, 0.0, 1e-9);
  EXPECT_NEAR(found->needed_m, kFoot, 1e-12);
}

TEST(FirstClash, the_same_loop_beside_itself_is_none) {
  // One foot and a half further back the last leg passes behind the first.
  EXPECT_FALSE(clash(straight("6 ft") + elbow("right") + straight("2 ft") + elbow("back") +
                     straight("6 in") + elbow("down") + straight("3 ft") + elbow("left") +
                     straight("6 ft")));
}

TEST(FirstClash, returns_and_short_offsets_are_none) {
  const std::string tight = "    - elbow: {type: gored-3, radius_ratio: 0.5, turn: ";
  EXPECT_FALSE(clash(straight("6 ft") + tight + "right}\n" + tight + "down}\n" + straight("6 ft")));
  EXPECT_FALSE(clash(straight("6 ft") +
                     "    - elbow: {type: gored-5, turn: right, angle: 45 deg, legs: 1 in}\n    - "
                     "elbow: {type: gored-5, turn: up, legs: 1 in}\n" +
                     straight("6 ft")));
}

TEST(FirstClash, a_return_tighter_than_its_duct_is_found) {
  EXPECT_TRUE(clash(straight("6 ft") +
                    "    - elbow: {turn: right, type: gored-5, legs: 4 in}\n    - elbow: {turn: "
                    "down, type: gored-5, legs: 4 in}\n" +
                    straight("6 ft")));
}

// A branch that joins a branch that joins the run, laid back from where it ends.
TEST(BranchGeometry, counts_back_from_the_junction_to_its_inlet) {
  const std::string text =
      "layout: 1\nappliance: {kind: exhaust, collar: 1 ft round}\n"
      "run:\n  heading: up\n  pieces:\n" +
      straight("6 ft") + "    - junction: {type: tee-90, branch: b}\n" + straight("2 ft") +
      "branches:\n  b:\n    section: 1 ft round\n    heading: right\n    pieces:\n" +
      straight("3 ft") + "    - junction: {type: tee-90, branch: c}\n" + straight("5 ft") +
      "  c:\n    section: 1 ft round\n    heading: back\n    pieces:\n" + straight("4 ft");
  const auto layout = ductledger::support::read(text);
  ASSERT_TRUE(layout) << ductledger::base::render(layout.error());
  const auto b = ductledger::layout::branch_geometry(*layout, 0);
  ASSERT_TRUE(b);
  expect_at(b->pieces.front().start, -8, 0, 6);
  expect_at(b->outlet, 0, 0, 6);
  const auto c = ductledger::layout::branch_geometry(*layout, 1);
  ASSERT_TRUE(c);
  expect_at(c->pieces.front().start, -5, -4, 6);
}

}  // namespace
