#include "sheet/rough_in.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "build/parts.hpp"
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
  const study::CheckResult checked = support::check(text);
  const auto parts = build::parts(checked.layout, fitting::Catalogue::built_in());
  EXPECT_TRUE(parts);
  const auto sheet = rough_in(*parts, system);
  EXPECT_TRUE(sheet);
  return *sheet;
}

bool says(const RoughIn& sheet, const std::string& text) {
  return std::ranges::any_of(sheet.drawing.texts,
                             [&](const Text& one) { return one.text == text; });
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
}

TEST(RoughIn, takes_the_largest_scale_at_which_the_sheet_fits) {
  for (const units::System system : {units::System::ip, units::System::si}) {
    const RoughIn sheet = drawn(system);
    const Box box = extent(sheet.drawing);
    EXPECT_LE(1000.0 * box.width() / sheet.drawing.scale, paper_of(system).width_mm);
    EXPECT_LE(1000.0 * box.height() / sheet.drawing.scale, paper_of(system).height_mm);
    EXPECT_LE(sheet.drawing.scale, 50.0);
  }
}

TEST(RoughIn, what_is_not_known_is_a_blank) {
  const RoughIn sheet =
      drawn(units::System::ip,
            "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n"
            "  heading: up\n  pieces:\n    - straight: 3 ft\n    - cap: grille\n");
  const auto blank = [&](const std::string& text) {
    return std::ranges::find(sheet.blanks, text) != sheet.blanks.end();
  };
  EXPECT_TRUE(blank("collar above finished floor"));
  EXPECT_TRUE(blank("collar from the wall behind"));
  EXPECT_FALSE(says(sheet, "finished floor"));
}

TEST(RoughIn, a_run_without_headings_has_none) {
  const study::CheckResult checked = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  pieces:\n"
      "    - straight: 3 ft\n    - elbow: {angle: 90 deg}\n    - cap: grille\n");
  const auto parts = build::parts(checked.layout, fitting::Catalogue::built_in());
  ASSERT_TRUE(parts);
  EXPECT_FALSE(rough_in(*parts, units::System::ip));
}

TEST(RoughIn, is_well_formed_and_plain_whatever_the_title) {
  RoughIn sheet = drawn(units::System::si);
  sheet.title = "<k\u00fcche> & \"100%%\"\n";
  EXPECT_EQ(test::xml_fault(rough_in_svg(sheet, "sheet")), "");
  const std::string dxf = rough_in_dxf(sheet);
  EXPECT_TRUE(std::ranges::all_of(dxf, [](char c) { return c == '\n' || (c >= ' ' && c <= '~'); }));
  EXPECT_NE(dxf.find("<k?che> & \"100% %\"?\n"), std::string::npos);
  EXPECT_TRUE(dxf.ends_with("  0\nEOF\n"));
}

}  // namespace
}  // namespace ductledger::sheet
