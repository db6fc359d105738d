#include "picture/route.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cstdlib>
#include <random>
#include <string>

#include "base/text.hpp"
#include "support/check_text.hpp"
#include "support/route_checks.hpp"

// Random routes, seeded, in ten parts: 200, or as many as the environment's DUCTLEDGER_ROUTES says
// (2000 take some minutes).
namespace ductledger {
namespace {

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
    switch (pick(10)) {
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
      case 8: {
        const std::size_t to = pick(ways.size());
        if (to / 2 != heading / 2) {
          // An offset: out of the way at 45 degrees and back into it.
          pieces += "    - elbow: {type: gored-5, turn: " + ways[to] + ", angle: 45 deg}\n" +
                    "    - straight: " + std::to_string(2 + pick(6)) + " ft\n" +
                    "    - elbow: {type: gored-5, turn: " + ways[heading] + "}\n";
        }
        break;
      }
      case 9:
        pieces +=
            "    - transition: 10 x 3-1/4 in\n    - straight: 3 ft\n"
            "    - transition: 8 in round\n";
        break;
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

class RandomRoutes : public testing::TestWithParam<unsigned> {};

unsigned routes_in_a_part() {
  const char* const asked = std::getenv("DUCTLEDGER_ROUTES");
  return asked == nullptr ? 20U : static_cast<unsigned>(std::stoul(asked)) / 10U;
}

TEST_P(RandomRoutes, are_drawn_so_that_they_cannot_mislead) {
  const unsigned first = 200 * GetParam() + 1;
  for (unsigned seed = first; seed < first + routes_in_a_part(); ++seed) {
    std::mt19937 random(seed);
    const std::string text = random_layout(random);
    const study::CheckResult result = support::check(text);
    // Both widths and the other views, each of them in a part of the routes.
    const double width_px = seed % 4 == 0 ? 288.0 : 720.0;
    const picture::RouteView view = kViews[seed % 5 < 3 ? 0 : seed % 5 - 2];
    const picture::RoutePicture picture =
        picture::route_picture(result, {.view = view, .width_px = width_px, .id = "route"});
    EXPECT_EQ(test::faults(picture) + test::crossed(picture), "")
        << "seed " << seed << ' ' << width_px << '\n'
        << text;
    EXPECT_EQ(base::joined(picture.unlabelled, "and"), "") << "seed " << seed << '\n' << text;
    EXPECT_EQ(test::astray(picture), "") << "seed " << seed << ' ' << width_px << '\n' << text;
    if (view == picture::RouteView::isometric) {
      EXPECT_EQ(test::alike(picture), "") << "seed " << seed << ' ' << width_px << '\n' << text;
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Parts, RandomRoutes, testing::Range(0U, 10U));

}  // namespace
}  // namespace ductledger
