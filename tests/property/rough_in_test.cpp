#include "sheet/rough_in.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cstdlib>
#include <random>
#include <string>
#include <vector>

#include "build/parts.hpp"
#include "support/check_text.hpp"

// Random runs with branches, seeded: 100, or as many as the environment's DUCTLEDGER_ROUTES says.
namespace ductledger {
namespace {

constexpr std::array<const char*, 6> kWays{"up", "down", "left", "right", "back", "front"};

/// Pieces that turn at random; all of it is invented.
/// @param indent before each
std::vector<std::string> random_pieces(std::mt19937& random,
                                       std::size_t heading,
                                       std::string indent) {
  std::vector<std::string> pieces;
  const std::size_t count = 1 + random() % 9;
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t to = random() % kWays.size();
    const std::size_t kind = random() % 5;
    if (kind == 0 && to / 2 != heading / 2) {
      pieces.push_back(indent + "- elbow: {type: gored-5, turn: " + kWays.at(to) + "}\n");
      heading = to;
    } else if (kind == 1) {
      pieces.push_back(indent + "- damper: backdraft-flap\n");
    } else {
      pieces.push_back(indent + "- straight: {length: " + std::to_string(6 + random() % 150) +
                       " in, through: " + (kind == 2 ? "wall" : "attic") + "}\n");
    }
  }
  pieces.push_back(indent + "- straight: 1 ft\n");
  return pieces;
}

std::string random_tree(std::mt19937& random) {
  const std::size_t heading = random() % kWays.size();
  std::vector<std::string> pieces = random_pieces(random, heading, "    ");
  std::string branches;
  for (std::size_t i = random() % 4; i > 0; --i) {
    const std::string name = "b" + std::to_string(i);
    pieces.insert(pieces.begin() + static_cast<std::ptrdiff_t>(random() % pieces.size()),
                  "    - junction: {type: wye-45, branch: " + name + ", section: 8 in round}\n");
    const std::size_t way = random() % kWays.size();
    branches += "  " + name + ":\n    section: 6 in round\n    heading: " + kWays.at(way) +
                "\n    pieces:\n";
    for (const std::string& piece : random_pieces(random, way, "      ")) {
      branches += piece;
    }
  }
  std::string text =
      std::string("layout: 1\nappliance: {kind: exhaust, collar: 8 in round, ") +
      "collar_at: {above_floor: 80 in, from_wall: 7 in}}\nrun:\n  heading: " + kWays.at(heading) +
      "\n  pieces:\n";
  for (const std::string& piece : pieces) {
    text += piece;
  }
  text += "    - cap: grille\n";
  return branches.empty() ? text : text + "branches:\n" + branches;
}

bool meet(const sheet::Box& a, const sheet::Box& b) {
  return a.low.x < b.high.x && b.low.x < a.high.x && a.low.y < b.high.y && b.low.y < a.high.y;
}

/// No number in its circle lies on another, or on a text.
void expect_legible(const sheet::Drawing& drawing) {
  std::vector<sheet::Box> texts;
  for (const sheet::Text& text : drawing.texts) {
    sheet::Drawing alone;
    alone.scale = drawing.scale;
    alone.texts = {text};
    texts.push_back(extent(alone));
  }
  std::vector<sheet::Box> numbers;
  for (const sheet::Balloon& balloon : drawing.balloons) {
    const double r = drawing.paper_m(balloon.radius_mm);
    numbers.push_back({{balloon.center.x - r, balloon.center.y - r},
                       {balloon.center.x + r, balloon.center.y + r}});
  }
  for (std::size_t i = 0; i < numbers.size(); ++i) {
    for (std::size_t j = i + 1; j < numbers.size(); ++j) {
      EXPECT_FALSE(meet(numbers[i], numbers[j]))
          << drawing.balloons[i].text << " on " << drawing.balloons[j].text;
    }
    for (std::size_t j = 0; j < texts.size(); ++j) {
      EXPECT_FALSE(meet(numbers[i], texts[j]))
          << drawing.balloons[i].text << " on " << drawing.texts[j].text;
    }
  }
}

TEST(RandomSheets, no_number_covers_a_text_or_another_number) {
  const char* const wanted = std::getenv("DUCTLEDGER_ROUTES");
  const int count = wanted == nullptr ? 100 : std::atoi(wanted);
  std::mt19937 random(20261);
  int drawn = 0;
  for (int i = 0; i < count && !testing::Test::HasFailure(); ++i) {
    const std::string text = random_tree(random);
    SCOPED_TRACE(text);
    const auto layout = support::read(text);
    if (!layout) {
      continue;  // a run that meets itself, or a pair of pieces that the catalogue does not know
    }
    const auto parts = build::parts(*layout, fitting::Catalogue::built_in());
    const auto sheets = parts ? sheet::rough_in(*parts, units::System::ip)
                              : base::Checked<std::vector<sheet::RoughIn>>(parts.error());
    if (!sheets) {
      continue;
    }
    ++drawn;
    for (const sheet::RoughIn& one : *sheets) {
      expect_legible(one.paper.drawing);
      expect_legible(one.whole.drawing);
    }
  }
  EXPECT_GT(drawn, count / 2);
}

}  // namespace
}  // namespace ductledger
