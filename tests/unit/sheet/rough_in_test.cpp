#include "sheet/rough_in.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "build/parts.hpp"
#include "picture/route.hpp"
#include "support/check_text.hpp"
#include "support/well_formed.hpp"

namespace ductledger::sheet {
namespace {

// Invented: up through a ceiling, sideways, and back through the wall.
constexpr const char* kLayout =
    "layout: 1\ntitle: Up and back\nappliance:\n  kind: range-hood\n  collar: 8 in round\n"
    "  collar_at: {above_floor: 80 in, from_wall: 7 in}\nrun:\n  heading: up\n  pieces:\n"
    "    - straight: {length: 3 ft, through: ceiling}\n"
    "    - elbow: {type: gored-5, turn: left, legs: 12 in}\n    - straight: 4 ft\n"
    "    - elbow: {type: gored-5, turn: back, legs: 12 in}\n"
    "    - straight: {length: 30 in, through: wall}\n    - cap: wall-hood-flap\n";

RoughIn drawn(units::System system, const std::string& text = kLayout) {
  const auto parts = build::parts(support::check(text).layout, fitting::Catalogue::built_in());
  EXPECT_TRUE(parts);
  const auto sheets = rough_in(*parts, system);
  EXPECT_EQ(sheets->size(), 1U);
  return sheets->at(0);
}

bool says(const RoughIn& sheet, const std::string& text) {
  return std::ranges::any_of(sheet.paper.drawing.texts,
                             [&](const Text& one) { return one.text == text; });
}

bool blank(const RoughIn& sheet, const std::string& text) {
  return std::ranges::find(sheet.blanks, text) != sheet.blanks.end();
}

TEST(RoughIn, lengths_go_from_center_to_center) {
  const RoughIn sheet = drawn(units::System::ip);
  ASSERT_EQ(sheet.lengths.size(), 3U);
  EXPECT_EQ(sheet.lengths[0].from, "collar");
  EXPECT_EQ(sheet.lengths[0].to, "elbow 2");
  EXPECT_NEAR(sheet.lengths[0].length_m / 0.0254, 36.0 + 12.0, 1e-9);
  EXPECT_NEAR(sheet.lengths[1].length_m / 0.0254, 12.0 + 48.0 + 12.0, 1e-9);
  EXPECT_NEAR(sheet.lengths[2].length_m / 0.0254, 12.0 + 30.0, 1e-9);
  EXPECT_EQ(sheet.lengths[2].to, "cap 6");
}

TEST(RoughIn, heights_are_from_the_finished_floor) {
  const RoughIn sheet = drawn(units::System::ip);
  EXPECT_TRUE(says(sheet, "6 ft 8 in collar"));
  EXPECT_TRUE(says(sheet, "10 ft 8 in H2 and cap 6"));
  EXPECT_TRUE(says(sheet, "7 in H1 and collar"));
  EXPECT_TRUE(says(sheet, "finished floor"));
  EXPECT_TRUE(blank(sheet, "wall: how far along its piece"));
}

TEST(RoughIn, takes_the_largest_scale_at_which_the_sheet_fits) {
  for (const units::System system : {units::System::ip, units::System::si}) {
    const RoughIn sheet = drawn(system);
    for (const Scaled& one : {sheet.paper, sheet.whole}) {
      const Box box = extent(one.drawing);
      EXPECT_LE(1000.0 * box.width() / one.drawing.scale, paper_of(system).width_mm);
      EXPECT_LE(1000.0 * box.height() / one.drawing.scale, paper_of(system).height_mm);
      EXPECT_LE(one.drawing.scale, 50.0);
    }
    EXPECT_LE(sheet.paper.drawing.scale, sheet.whole.drawing.scale);
  }
}

TEST(RoughIn, what_is_not_known_is_a_blank) {
  const RoughIn sheet =
      drawn(units::System::ip,
            "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n"
            "  heading: up\n  pieces:\n    - straight: 3 ft\n    - cap: grille\n");
  EXPECT_TRUE(blank(sheet, "collar above finished floor"));
  EXPECT_TRUE(blank(sheet, "collar from the wall behind"));
  EXPECT_FALSE(says(sheet, "finished floor"));
}

TEST(RoughIn, a_run_without_headings_has_none) {
  const study::CheckResult checked = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  pieces:\n"
      "    - straight: 3 ft\n    - elbow: {angle: 90 deg}\n    - cap: grille\n");
  const auto parts = build::parts(checked.layout, fitting::Catalogue::built_in());
  ASSERT_TRUE(parts);
  const auto sheets = rough_in(*parts, units::System::ip);
  ASSERT_FALSE(sheets);
  EXPECT_EQ(sheets.error().front().rule, "nothing-to-draw");
}

TEST(RoughIn, a_run_longer_than_is_drawn_has_none) {
  std::string text =
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  heading: up\n  pieces:\n";
  for (std::size_t i = 0; i < picture::kMostPiecesDrawn; ++i) {
    text += "    - straight: 1 ft\n";
  }
  const auto parts = build::parts(support::check(text + "    - cap: grille\n").layout,
                                  fitting::Catalogue::built_in());
  ASSERT_TRUE(parts);
  const auto sheets = rough_in(*parts, units::System::ip);
  ASSERT_FALSE(sheets);
  EXPECT_EQ(sheets.error().front().message, "301 pieces; a rough-in sheet shows 300 at most");
}

TEST(RoughIn, a_long_straight_is_broken_where_that_gives_a_larger_scale) {
  const RoughIn sheet = drawn(
      units::System::ip,
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  heading: up\n"
      "  pieces:\n    - straight: 2 ft\n    - elbow: {type: gored-5, turn: right, legs: 12 in}\n"
      "    - straight: 40 ft\n    - elbow: {type: gored-5, turn: up, legs: 12 in}\n"
      "    - straight: 2 ft\n    - cap: grille\n");
  EXPECT_TRUE(sheet.broken);
  EXPECT_EQ(sheet.paper.scale_text, "1/2 in = 1 ft");
  EXPECT_GT(sheet.whole.drawing.scale, 24.0);
  EXPECT_LT(extent(sheet.paper.drawing).width(), 6.0);
  EXPECT_GT(extent(sheet.whole.drawing).width(), 42.0 * 0.3048);
  // The figures are the whole ones.
  EXPECT_TRUE(says(sheet, "42 ft cap 6"));
  EXPECT_TRUE(says(sheet, "40 ft"));
  EXPECT_NEAR(sheet.lengths[1].length_m / 0.3048, 42.0, 1e-9);
}

TEST(RoughIn, nothing_is_broken_where_it_fits_at_a_large_scale) {
  for (const units::System system : {units::System::ip, units::System::si}) {
    const RoughIn sheet =
        drawn(system,
              "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  heading: up\n"
              "  pieces:\n    - straight: 6 ft\n    - cap: grille\n");
    EXPECT_FALSE(sheet.broken);
    EXPECT_EQ(sheet.paper.scale_text, sheet.whole.scale_text);
    EXPECT_LE(sheet.paper.drawing.scale, 25.0);
  }
}

// Invented: the branch joins the run above the ceiling, another joins the branch.
constexpr const char* kTree =
    "layout: 1\ntitle: Tree\nappliance:\n  kind: exhaust\n  collar: 8 in round\n"
    "  collar_at: {above_floor: 80 in, from_wall: 7 in}\nrun:\n  heading: up\n  pieces:\n"
    "    - straight: {length: 3 ft, through: ceiling}\n    - junction: {branch: pantry}\n"
    "    - straight: {length: 5 ft, through: roof}\n    - cap: roof-hood-flap\n"
    "branches:\n  pantry:\n    section: 6 in round\n    heading: up\n    pieces:\n"
    "      - straight: {length: 1 ft, through: ceiling}\n"
    "      - elbow: {type: gored-5, turn: left, legs: 9 in}\n"
    "      - straight: 4 ft\n      - junction: {branch: stair}\n      - straight: 2 ft\n"
    "  stair:\n    section: 4 in round\n    pieces: [{straight: 6 ft}]\n";

std::vector<RoughIn> tree(std::string text = kTree) {
  const auto layout = support::read(std::move(text));
  EXPECT_TRUE(layout);
  const auto parts = build::parts(*layout, fitting::Catalogue::built_in());
  EXPECT_TRUE(parts);
  return *rough_in(*parts, units::System::ip);
}

TEST(RoughIn, a_branch_has_a_sheet_of_its_own) {
  const std::vector<RoughIn> sheets = tree();
  ASSERT_EQ(sheets.size(), 2U);  // the third branch states no heading
  EXPECT_EQ(sheets[0].part, "the run, from the collar outdoors");
  EXPECT_TRUE(blank(sheets[0], "way of branch stair"));
  EXPECT_TRUE(says(sheets[0], "branch pantry"));
  EXPECT_TRUE(says(sheets[0], "9 ft 8 in junction 2"));
  EXPECT_EQ(sheets[1].part, "branch pantry");
  EXPECT_EQ(sheets[1].number, 2U);
  EXPECT_EQ(sheets[1].count, 2U);
  ASSERT_EQ(sheets[1].lengths.size(), 3U);
  EXPECT_EQ(sheets[1].lengths[0].from, "inlet");
  EXPECT_NEAR(sheets[1].lengths[0].length_m / 0.0254, 12.0 + 9.0, 1e-9);
  EXPECT_NEAR(sheets[1].lengths[1].length_m / 0.0254, 9.0 + 48.0, 1e-9);
  EXPECT_EQ(sheets[1].lengths[1].to, "junction 4");
  EXPECT_EQ(sheets[1].lengths[2].to, "junction 2 of the run");
  EXPECT_FALSE(blank(sheets[1], "appliance: width, depth, height"));
}

TEST(RoughIn, a_branch_is_measured_from_the_floor_and_the_centerline) {
  const RoughIn sheet = tree().at(1);
  // From the junction, 116 in above the floor and on the center line, back to the inlet.
  EXPECT_TRUE(says(sheet, "9 ft 8 in the end"));
  EXPECT_TRUE(says(sheet, "7 ft 11 in inlet"));
  EXPECT_TRUE(says(sheet, "6 ft 9 in H3 and inlet"));
  EXPECT_TRUE(says(sheet, "H3 ceiling, 7 in round"));  // the run has two
}

TEST(RoughIn, a_branch_that_joins_a_branch_says_where) {
  std::string text = kTree;
  text.replace(text.find("section: 4 in round\n"), 20, "section: 4 in round\n    heading: front\n");
  const std::vector<RoughIn> sheets = tree(text);
  ASSERT_EQ(sheets.size(), 3U);
  EXPECT_EQ(sheets[2].lengths.back().to, "junction 4 of pantry");
  EXPECT_TRUE(says(sheets[1], "branch stair"));
  for (const RoughIn& sheet : sheets) {
    EXPECT_EQ(test::xml_fault(rough_in_svg(sheet, "sheet")), "");
  }
  EXPECT_NE(numbered("sheet", sheets[0]), numbered("sheet", sheets[1]));
}

// Invented: in through the wall behind, to the left, down through the ceiling; as it goes the run
// stands apart, up through the roof.
constexpr const char* kRun =
    "layout: 1\ntitle: Makeup\nappliance:\n  kind: exhaust\n  collar: 8 in round\n"
    "  collar_at: {above_floor: 80 in, from_wall: 7 in}\nrun:\n  heading: up\n  pieces:\n"
    "    - straight: {length: 8 ft, through: roof}\n    - cap: roof-hood-flap\n";
constexpr const char* kMakeup =
    "house:\n  leakage: {airflow: 700 cfm, at: 50 Pa}\n  makeup:\n    kind: duct\n"
    "    intake_at: {above_floor: 9 ft, from_wall: -6 in, from_center: 6 ft}\n    run:\n"
    "      section: 10 in round\n      heading: front\n      pieces:\n        - entry: louver\n"
    "        - straight: {length: 1 ft, through: wall}\n        - damper: motorised\n"
    "        - straight: 3 ft\n"
    "        - elbow: {type: gored-5, turn: left, legs: 15 in}\n        - straight: 4 ft\n"
    "        - elbow: {type: gored-5, turn: down, legs: 15 in}\n"
    "        - straight: {length: 8 in, through: ceiling}\n        - cap: {type: grille}\n";

std::vector<RoughIn> sheets_of(std::string text) { return tree(std::move(text)); }

std::string without(std::string text, const std::string& part) {
  const std::size_t at = text.find(part);
  EXPECT_NE(at, std::string::npos);
  return text.erase(at, part.size());
}

TEST(RoughIn, a_makeup_duct_has_a_sheet_of_its_own) {
  const std::vector<RoughIn> sheets = sheets_of(std::string(kRun) + kMakeup);
  ASSERT_EQ(sheets.size(), 2U);
  EXPECT_EQ(sheets[0].part, "the run, from the collar outdoors");
  const RoughIn& sheet = sheets[1];
  EXPECT_EQ(sheet.part, "the makeup duct, from outdoors to the room");
  ASSERT_EQ(sheet.lengths.size(), 3U);
  EXPECT_EQ(sheet.lengths[0].from, "intake");
  EXPECT_NEAR(sheet.lengths[0].length_m / 0.0254, 12.0 + 36.0 + 15.0, 1e-9);
  EXPECT_NEAR(sheet.lengths[1].length_m / 0.0254, 15.0 + 48.0 + 15.0, 1e-9);
  EXPECT_NEAR(sheet.lengths[2].length_m / 0.0254, 15.0 + 8.0, 1e-9);
  EXPECT_EQ(sheet.lengths[2].to, "cap 9");
  EXPECT_TRUE(blank(sheet, "this intake from exhaust outlets and flues"));
  EXPECT_FALSE(blank(sheet, "appliance: width, depth, height"));
  EXPECT_TRUE(std::ranges::none_of(sheet.paper.drawing.lines,
                                   [](const Line& one) { return one.layer == Layer::appliance; }));
}

// The intake 9 ft up, 6 in beyond the wall and 6 ft right of the appliance; from it 63 in to the
// front, 78 in to the left and 23 in down.
TEST(RoughIn, a_makeup_duct_is_measured_from_the_floor_the_wall_and_the_appliance) {
  const RoughIn sheet = sheets_of(std::string(kRun) + kMakeup).at(1);
  for (const char* said : {"9 ft H2 and intake",
                           "7 ft 1 in cap 9",
                           "4 ft 9 in H3 and cap 9",
                           "6 in intake",
                           "6 ft H2 and intake",
                           "6 in H3 and cap 9",
                           "0 finished floor",
                           "0 wall behind",
                           "0 appliance's center line",
                           "H2 wall, 11 in round"}) {
    EXPECT_TRUE(says(sheet, said)) << said;
  }
  EXPECT_FALSE(says(sheet, "collar"));
}

TEST(RoughIn, where_the_intake_lies_is_a_blank_unless_it_is_stated) {
  const RoughIn sheet =
      sheets_of(kRun + without(kMakeup,
                               "    intake_at: {above_floor: 9 ft, from_wall: -6 in, "
                               "from_center: 6 ft}\n"))
          .at(1);
  for (const char* unknown : {"intake above finished floor",
                              "intake from the wall behind appliance",
                              "intake from appliance's center line"}) {
    EXPECT_TRUE(blank(sheet, unknown)) << unknown;
  }
  EXPECT_TRUE(says(sheet, "5 ft 3 in H3 and cap 9"));  // before the intake
  EXPECT_FALSE(says(sheet, "finished floor"));
}

/// Arrows beside the ends of the duct, each from its tail to its tip.
std::vector<Line> air_arrows(const Drawing& drawing) {
  std::vector<Line> found;
  for (const Line& one : drawing.lines) {
    if (one.layer == Layer::note && one.points.size() == 2 &&
        std::abs(std::hypot(one.points[1].x - one.points[0].x, one.points[1].y - one.points[0].y) -
                 drawing.paper_m(8.0)) < 1e-9) {
      found.push_back(one);
    }
  }
  return found;
}

TEST(RoughIn, the_air_of_a_makeup_duct_is_shown_to_come_in) {
  const std::vector<RoughIn> sheets = sheets_of(std::string(kRun) + kMakeup);
  EXPECT_TRUE(says(sheets[1], "outside air in"));
  EXPECT_TRUE(says(sheets[1], "into the room"));
  EXPECT_FALSE(says(sheets[0], "outside air in"));
  EXPECT_TRUE(air_arrows(sheets[0].paper.drawing).empty());
  // In the plan to the front, down on the paper; in the elevation down out of the ceiling.
  const std::vector<Line> arrows = air_arrows(sheets[1].whole.drawing);
  ASSERT_EQ(arrows.size(), 2U);
  for (const Line& arrow : arrows) {
    EXPECT_NEAR(arrow.points[0].x, arrow.points[1].x, 1e-9);
    EXPECT_LT(arrow.points[1].y, arrow.points[0].y);
  }
  // Before the intake, whose tip points at it; beyond the grille, whose tail does.
  EXPECT_GT(arrows[0].points[1].y, arrows[1].points[0].y);
}

TEST(RoughIn, a_makeup_duct_is_drawn_though_the_run_cannot_be) {
  const std::vector<RoughIn> sheets = sheets_of(without(kRun, "  heading: up\n") + kMakeup);
  ASSERT_EQ(sheets.size(), 1U);
  EXPECT_EQ(sheets[0].part, "the makeup duct, from outdoors to the room");
  EXPECT_TRUE(blank(sheets[0], "way of the exhaust run"));
  EXPECT_TRUE(says(sheets[0], "H2 wall, 11 in round"));  // the run's hole has its number
}

TEST(RoughIn, a_makeup_duct_that_cannot_be_drawn_is_a_blank_of_the_run) {
  std::string makeup = without(kMakeup, "      heading: front\n");
  for (const char* turn : {"turn: left, ", "turn: down, "}) {
    makeup = without(makeup, turn);
  }
  const std::vector<RoughIn> sheets = sheets_of(kRun + makeup);
  ASSERT_EQ(sheets.size(), 1U);
  EXPECT_TRUE(blank(sheets[0], "way of the makeup duct"));
}

TEST(RoughIn, a_branch_of_a_makeup_duct_begins_outdoors_too) {
  std::string makeup = kMakeup;
  makeup.replace(makeup.find("        - straight: 4 ft\n"),
                 25,
                 "        - straight: 4 ft\n        - junction: {type: wye-45, branch: north}\n");
  const std::vector<RoughIn> sheets = sheets_of(
      kRun + makeup +
      "    branches:\n      north:\n        section: 6 in round\n        heading: front-left\n"
      "        pieces: [{entry: louver}, {straight: {length: 2 ft, through: wall}}]\n");
  ASSERT_EQ(sheets.size(), 3U);
  EXPECT_EQ(sheets[2].part, "makeup branch north");
  EXPECT_EQ(sheets[2].lengths.at(0).from, "intake");
  EXPECT_EQ(sheets[2].lengths.at(0).to, "junction 7 of the makeup duct");
  EXPECT_TRUE(says(sheets[2], "outside air in"));
  EXPECT_FALSE(says(sheets[2], "into the room"));
  EXPECT_TRUE(says(sheets[2], "0 appliance's center line"));
  for (const RoughIn& sheet : sheets) {
    EXPECT_EQ(test::xml_fault(rough_in_svg(sheet, "sheet")), "");
  }
}

/// Floors with a branch each, from the left and the right in turn, through a wall.
std::string riser(std::size_t floors) {
  std::string text =
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  section: 8 in round\n"
      "  heading: up\n  pieces:\n";
  std::string branches = "branches:\n";
  for (std::size_t i = 1; i <= floors; ++i) {
    const std::string name = "floor-" + std::to_string(i);
    text +=
        "    - straight: {length: 9 ft, through: ceiling}\n    - junction: {type: wye-45, "
        "branch: " +
        name + ", section: 8 in round}\n";
    branches += "  " + name +
                ":\n    section: 4 in round\n    heading: " + (i % 2 == 0 ? "left" : "right") +
                "\n    pieces: [{straight: 4 ft}]\n";
  }
  return text + "    - straight: 3 ft\n    - cap: roof-hood-flap\n" + branches;
}

// From above all floors are one: they are named together there, each by itself from the front.
TEST(RoughIn, what_lies_at_one_place_is_named_by_one_label) {
  const RoughIn sheet = sheets_of(riser(8)).at(0);
  EXPECT_TRUE(says(sheet, "branches floor-1, floor-3 and 2 more"));
  EXPECT_TRUE(says(sheet, "branches floor-2, floor-4 and 2 more"));
  EXPECT_TRUE(says(sheet, "H1 to H8 ceiling, 9 in round"));
  EXPECT_TRUE(says(sheet, "branch floor-5"));
  EXPECT_TRUE(says(sheet, "H5 ceiling, 9 in round"));
}

/// What a text covers of its drawing.
Box taken(const Drawing& drawing, const Text& text) {
  Drawing alone;
  alone.scale = drawing.scale;
  alone.texts = {text};
  return extent(alone);
}

// Labels come last among the texts: none of them lies on another text or on a number.
TEST(RoughIn, a_label_that_finds_no_room_is_left_out_and_told) {
  const RoughIn sheet = sheets_of(riser(40)).at(0);
  const Drawing& drawing = sheet.whole.drawing;
  std::size_t left_out = 0;
  for (const Text& text : drawing.texts) {
    left_out += text.text.starts_with("no room here for the label of ") ? 1U : 0U;
  }
  EXPECT_GT(left_out, 0U);
  std::vector<Box> labels;
  for (const Text& text : drawing.texts) {
    if (text.text.starts_with("branch ") || text.text.find(" ceiling, ") != std::string::npos) {
      labels.push_back(taken(drawing, text));
    }
  }
  ASSERT_GT(labels.size(), 10U);
  const auto meet = [](const Box& a, const Box& b) {
    return a.low.x < b.high.x && b.low.x < a.high.x && a.low.y < b.high.y && b.low.y < a.high.y;
  };
  for (std::size_t i = 0; i < labels.size(); ++i) {
    for (std::size_t j = i + 1; j < labels.size(); ++j) {
      EXPECT_FALSE(meet(labels[i], labels[j])) << i << ' ' << j;
    }
    for (const Balloon& balloon : drawing.balloons) {
      const double r = drawing.paper_m(balloon.radius_mm);
      EXPECT_FALSE(meet(labels[i],
                        {{balloon.center.x - r, balloon.center.y - r},
                         {balloon.center.x + r, balloon.center.y + r}}))
          << i << ' ' << balloon.text;
    }
  }
}

TEST(RoughIn, what_fits_the_paper_at_no_scale_is_shrunk_and_says_so) {
  const RoughIn sheet = sheets_of(riser(98)).at(0);
  EXPECT_TRUE(sheet.shrunk);
  EXPECT_EQ(sheet.paper.scale_text, "none: shrunk to fit");
  const std::string svg = rough_in_svg(sheet, "sheet");
  EXPECT_EQ(test::xml_fault(svg), "");
  EXPECT_NE(svg.find("measure nothing on it"), std::string::npos);
  EXPECT_NE(svg.find("and 76 more that find no room here"), std::string::npos);
  EXPECT_NE(svg.find("Plan and elevation to no scale"), std::string::npos);
  EXPECT_FALSE(sheets_of(riser(8)).at(0).shrunk);
}

// The cut of a 11 by 4-1/4 in hole's duct at 45 degrees: the smaller side lies along the slope.
TEST(RoughIn, the_hole_of_a_slanting_duct_is_drawn_as_it_is_cut) {
  const RoughIn sheet =
      drawn(units::System::ip,
            "layout: 1\nappliance: {kind: exhaust}\nrun:\n  section: 10 x 3-1/4 in\n  heading: up\n"
            "  pieces:\n    - straight: 3 ft\n    - elbow: {type: mitered, turn: up-back, angle: "
            "45 deg}\n"
            "    - straight: {length: 3 ft, through: roof}\n    - cap: roof-hood-flap\n");
  EXPECT_TRUE(says(sheet, "H1 roof, 11 x 4-1/4 in, 6 in along the slant"));
  const auto cut = std::ranges::find_if(sheet.whole.drawing.lines, [](const Line& one) {
    return one.layer == Layer::hole && one.closed;
  });
  ASSERT_NE(cut, sheet.whole.drawing.lines.end());
  const auto [left, right] = std::ranges::minmax(cut->points, {}, &Point::x);
  const auto [front, back] = std::ranges::minmax(cut->points, {}, &Point::y);
  EXPECT_NEAR((right.x - left.x) / 0.0254, 11.0, 1e-9);
  EXPECT_NEAR((back.y - front.y) / 0.0254, 4.25 * std::sqrt(2.0), 1e-9);
}

// Seen from above all of it lies in one place; the elevation numbers each piece.
TEST(RoughIn, what_stands_behind_another_piece_is_numbered_in_the_other_view_alone) {
  const RoughIn sheet =
      drawn(units::System::ip,
            "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  heading: up\n"
            "  pieces:\n    - straight: 2 ft\n    - damper: backdraft-flap\n    - straight: 2 ft\n"
            "    - cap: grille\n");
  const auto count = [&](const std::string& number) {
    return std::ranges::count(sheet.paper.drawing.balloons, number, &Balloon::text);
  };
  EXPECT_EQ(count("1"), 2);
  for (const char* number : {"2", "3", "4"}) {
    EXPECT_EQ(count(number), 1) << number;
  }
}

TEST(RoughIn, is_well_formed_and_plain_whatever_the_title) {
  RoughIn sheet = drawn(units::System::si);
  sheet.title = "<k\u00fcche> & \"100%%\"\n";
  EXPECT_EQ(test::xml_fault(rough_in_svg(sheet, "sheet")), "");
  const std::string dxf = rough_in_dxf({&sheet, 1});
  EXPECT_TRUE(std::ranges::all_of(dxf, [](char c) { return c == '\n' || (c >= ' ' && c <= '~'); }));
  EXPECT_NE(dxf.find("<k?che> & \"100% %\"?\n"), std::string::npos);
  EXPECT_TRUE(dxf.ends_with("  0\nEOF\n"));
}

}  // namespace
}  // namespace ductledger::sheet
