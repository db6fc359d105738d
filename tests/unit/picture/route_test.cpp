#include "picture/route.hpp"

#include <gtest/gtest.h>

#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

#include "support/check_text.hpp"
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

/// What overlaps in a picture; empty where nothing does.
std::string overlaps(const picture::RoutePicture& picture) {
  std::string found;
  for (std::size_t i = 0; i < picture.labels.size(); ++i) {
    for (const picture::LabelSegment& line : picture.lines) {
      found += picture::meets(line, picture.labels[i])
                   ? "label " + std::to_string(i) + " on a line; "
                   : "";
    }
    for (std::size_t j = 0; j < picture.labels.size(); ++j) {
      if (j != i && picture::meets(picture.labels[i], picture.labels[j])) {
        found += "labels " + std::to_string(i) + " and " + std::to_string(j) + "; ";
      }
      if (j != i && j < picture.leaders.size() &&
          picture::meets(picture.leaders[j], picture.labels[i])) {
        found += "leader " + std::to_string(j) + " on label " + std::to_string(i) + "; ";
      }
    }
  }
  return found;
}

constexpr std::array kViews{
    picture::RouteView::isometric, picture::RouteView::plan, picture::RouteView::elevation};

/// A run of 3 to 16 pieces that turns at random; every part of it is invented.
std::string random_layout(std::mt19937& random) {
  const auto pick = [&random](std::size_t n) { return static_cast<std::size_t>(random() % n); };
  const std::array<std::string, 6> ways{"up", "down", "left", "right", "back", "front"};
  std::size_t heading = pick(ways.size());
  const std::string start = ways[heading];
  std::string pieces;
  const std::size_t count = 3 + pick(14);
  for (std::size_t i = 0; i + 1 < count; ++i) {
    switch (pick(8)) {
      case 0:
      case 1:
      case 2: {
        const std::size_t to = pick(ways.size());
        if (to / 2 == heading / 2) {
          pieces += "    - straight: " + std::to_string(1 + pick(12)) + " ft\n";
        } else {
          pieces += "    - elbow: {type: gored-5, turn: " + ways[to] + "}\n";
          heading = to;
        }
        break;
      }
      case 3:
        pieces += "    - damper: backdraft-flap\n";
        break;
      case 4:
        pieces += "    - flex: {length: 3 ft, stretched: 95 %}\n";
        break;
      case 5:
        pieces += "    - loss: {coefficient: 0.3, note: something in the way of it}\n";
        break;
      default:
        pieces +=
            "    - straight: {length: " + std::to_string(2 + pick(200)) + " in, through: attic}\n";
    }
  }
  return "layout: 1\ntitle: Invented\nappliance: {kind: range-hood, collar: 8 in round}\n"
         "fan: {speeds: [{name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 "
         "0.66 0.32 0 inH2O}}]}\nrun:\n  section: 8 in round\n  heading: " +
         start + "\n  pieces:\n" + pieces + "    - cap: wall-hood-flap\n";
}

TEST(RoutePicture, no_label_of_an_example_covers_anything) {
  for (const std::string& text : example_texts()) {
    const study::CheckResult result = support::check(text);
    for (const picture::RouteView view : kViews) {
      for (const double width_px : {720.0, 340.0}) {
        const picture::RoutePicture picture =
            picture::route_picture(result, {.view = view, .width_px = width_px, .id = "route"});
        EXPECT_EQ(overlaps(picture), "") << result.layout.title << ' ' << width_px;
        EXPECT_EQ(test::xml_fault(picture.svg), "");
      }
    }
  }
}

TEST(RoutePicture, no_label_of_200_random_routes_covers_anything) {
  for (unsigned seed = 1; seed <= 200; ++seed) {
    std::mt19937 random(seed);
    const std::string text = random_layout(random);
    const study::CheckResult result = support::check(text);
    const picture::RouteView view = kViews[seed % kViews.size()];
    for (const double width_px : {720.0, 340.0}) {
      for (const picture::RouteView shown : {picture::RouteView::isometric, view}) {
        const picture::RoutePicture picture =
            picture::route_picture(result, {.view = shown, .width_px = width_px, .id = "route"});
        ASSERT_EQ(overlaps(picture), "") << "seed " << seed << ' ' << width_px << '\n' << text;
      }
    }
  }
}

}  // namespace
}  // namespace ductledger::picture
