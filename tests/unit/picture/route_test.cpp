#include "picture/route.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "support/check_text.hpp"
#include "support/route_checks.hpp"
#include "support/well_formed.hpp"

namespace ductledger::picture {
namespace {

std::vector<std::string> example_texts() {
  std::vector<std::string> paths;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::string(DUCTLEDGER_SOURCE_DIR) + "/examples")) {
    if (entry.path().extension() == ".yaml") {
      paths.push_back(entry.path().string());
    }
  }
  std::sort(paths.begin(), paths.end());
  std::vector<std::string> texts;
  for (const std::string& path : paths) {
    std::ifstream file(path);
    texts.emplace_back(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
  }
  return texts;
}

constexpr std::array kViews{
    picture::RouteView::isometric, picture::RouteView::plan, picture::RouteView::elevation};

TEST(RoutePicture, an_example_is_drawn_so_that_it_cannot_mislead) {
  for (const std::string& text : example_texts()) {
    const study::CheckResult result = support::check(text);
    for (const picture::RouteView view : kViews) {
      for (const double width_px : {720.0, 288.0}) {
        const picture::RoutePicture picture =
            picture::route_picture(result, {.view = view, .width_px = width_px, .id = "route"});
        EXPECT_EQ(test::faults(picture), "") << result.layout.title << ' ' << width_px;
        EXPECT_EQ(test::astray(picture), "") << result.layout.title << ' ' << width_px;
        EXPECT_EQ(test::crossed(picture), "") << result.layout.title << ' ' << width_px;
        if (view == picture::RouteView::isometric) {
          EXPECT_EQ(test::alike(picture), "") << result.layout.title << ' ' << width_px;
        }
        EXPECT_EQ(test::xml_fault(picture.svg), "");
      }
    }
  }
}

TEST(RoutePicture, a_level_45_is_not_drawn_as_a_riser) {
  const study::CheckResult result = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  section: 8 in round\n"
      "  heading: back\n  pieces:\n    - straight: 4 ft\n    - elbow: {turn: left, angle: 45 deg}\n"
      "    - straight: 4 ft\n    - cap: grille\n");
  const picture::RoutePicture picture = picture::route_picture(result, {.id = "route"});
  const SvgPoint way = picture.headings[1].way;
  EXPECT_GT(std::abs(std::atan2(way.x, -way.y)), kTellApartRad);
}

TEST(RoutePicture, offsets_to_both_sides_are_drawn_from_a_side_that_shows_them) {
  // In three equal angles, from either side, one of the two would lie on an axis.
  const study::CheckResult result = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  section: 8 in round\n"
      "  heading: up\n  pieces:\n    - straight: 3 ft\n    - elbow: {turn: right, angle: 45 deg}\n"
      "    - straight: 3 ft\n    - elbow: {turn: left, angle: 90 deg}\n    - straight: 3 ft\n"
      "    - cap: grille\n");
  const picture::RoutePicture picture = picture::route_picture(result, {.id = "route"});
  EXPECT_EQ(picture.title, "Oblique drawing of the run");
  EXPECT_EQ(test::alike(picture), "");
}

TEST(RoutePicture, an_offset_that_no_side_shows_is_hatched) {
  std::string pieces = "    - straight: 3 ft\n";
  // So many directions that two of them lie close on any paper.
  for (const char* turn : {"right", "left", "back", "front", "right"}) {
    for (const char* angle : {"20", "25", "35"}) {
      pieces += std::string("    - elbow: {turn: ") + turn + ", angle: " + angle +
                " deg}\n    - straight: 3 ft\n";
    }
  }
  const study::CheckResult result = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nrun:\n  section: 8 in round\n"
      "  heading: up\n  pieces:\n" +
      pieces + "    - cap: grille\n");
  const picture::RoutePicture picture = picture::route_picture(result, {.id = "route"});
  EXPECT_TRUE(std::ranges::any_of(picture.headings, [](const auto& one) { return one.hatched; }));
  EXPECT_EQ(test::alike(picture), "");
}

TEST(RoutePicture, where_ducts_cross_one_has_a_gap) {
  const study::CheckResult result = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\nrun:\n  section: 6 in round\n"
      "  heading: right\n  pieces:\n    - straight: 8 ft\n    - elbow: {turn: up}\n"
      "    - straight: 3 ft\n    - elbow: {turn: left}\n    - straight: 4 ft\n"
      "    - elbow: {turn: front}\n    - straight: 4 ft\n    - elbow: {turn: down}\n"
      "    - straight: 9 ft\n    - cap: grille\n");
  const picture::RoutePicture plan =
      picture::route_picture(result, {.view = picture::RouteView::elevation, .id = "route"});
  ASSERT_EQ(plan.gaps.size(), 1U);
  EXPECT_NE(plan.svg.find("halo gap"), std::string::npos);
}

TEST(RoutePicture, makeup_air_has_a_strip_of_its_own) {
  for (const std::string& text : example_texts()) {
    const study::CheckResult result = support::check(text);
    const picture::RoutePicture beside = picture::makeup_picture(result, {.id = "makeup"});
    const bool has = result.layout.house && !result.layout.house->makeup.duct.empty();
    EXPECT_EQ(beside.svg.empty(), !has) << result.layout.title;
  }
}

}  // namespace
}  // namespace ductledger::picture
