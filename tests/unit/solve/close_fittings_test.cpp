#include "solve/close_fittings.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "fitting/entry.hpp"
#include "support/check_text.hpp"

namespace ductledger::solve {
namespace {

/// Pieces of a 12 by 12 in or 12 in round run heading up, with a long way before and after.
CompiledRun run_of(const std::string& section, const std::string& pieces) {
  const auto layout = support::read("layout: 1\nrun:\n  section: " + section +
                                    "\n  heading: up\n  pieces:\n    - straight: 20 ft\n" + pieces +
                                    "    - straight: 40 ft\n    - cap: grille\n");
  if (!layout) {
    throw std::runtime_error(base::render(layout.error()));
  }
  return *compile(*layout, fitting::Catalogue::built_in());
}

const CompiledPiece& second_elbow(const CompiledRun& run) {
  const auto last = std::find_if(run.pieces.rbegin(), run.pieces.rend(), [](const auto& piece) {
    return piece.word == "elbow";
  });
  return *last;
}

std::string mitres(const std::string& between, const std::string& last) {
  return "    - elbow: {type: mitered, turn: back}\n    - straight: " + between +
         "\n    - elbow: {type: mitered, turn: " + last + "}\n";
}

// The table's nodes, typed again: offset at L/H 2.0 4.2, in two planes at 1.2 3.4; one mitre 1.2.
// From corner to corner: the straight and half a side at each elbow.
TEST(CloseFittings, APairOfMitresIsChargedByTheTableFromCornerToCorner) {
  const CompiledRun offset = run_of("12 x 12 in", mitres("12 in", "up"));
  const CompiledPiece& second = second_elbow(offset);
  ASSERT_TRUE(second.close.has_value());
  EXPECT_EQ(second.close->kind, Closeness::Kind::elbows_offset);
  EXPECT_NEAR(second.close->spacing_ratio, 2.0, 1e-9);
  EXPECT_NEAR(second.close->factor.value_or(0.0), 4.2 / 2.4, 1e-9);
  EXPECT_NEAR(second.interaction, 4.2 / 2.4, 1e-9);
  EXPECT_NEAR(offset.pieces[1].interaction, 4.2 / 2.4, 1e-9);

  const CompiledRun planes = run_of("12 x 12 in", mitres("2.4 in", "left"));
  const CompiledPiece& turned = second_elbow(planes);
  ASSERT_TRUE(turned.close.has_value());
  EXPECT_EQ(turned.close->kind, Closeness::Kind::elbows_two_planes);
  EXPECT_NEAR(turned.close->factor.value_or(0.0), 3.4 / 2.4, 1e-9);

  // The loss itself follows.
  const CompiledRun apart = run_of("12 x 12 in", mitres("15 ft", "up"));
  EXPECT_FALSE(second_elbow(apart).close.has_value());
  EXPECT_NEAR(offset.loss.of(second.loss, 0.4),
              4.2 / 2.4 * apart.loss.of(second_elbow(apart).loss, 0.4),
              1e-9);
}

TEST(CloseFittings, TheRoundOffsetOfThirtyDegreesIsItsPair) {
  const std::string pieces =
      "    - elbow: {type: gored-3, turn: back, angle: 30 deg}\n"
      "    - elbow: {type: gored-3, turn: up, angle: 30 deg}\n";
  const CompiledRun run = run_of("12 in round", pieces);
  const CompiledPiece& second = second_elbow(run);
  ASSERT_TRUE(second.close.has_value());
  ASSERT_TRUE(second.close->factor.has_value());
  // 1.5 tan(15 deg) of each leg: 0.804 diameters, where the table has 0.15 on both sides.
  EXPECT_NEAR(*second.close->factor, 0.15 / 0.16, 1e-9);
}

TEST(CloseFittings, WithoutAPublishedPairNothingIsChargedAndTheBandIsWider) {
  const std::string turn_back = mitres("12 in", "down");
  const CompiledRun run = run_of("12 x 12 in", turn_back);
  const CompiledPiece& second = second_elbow(run);
  ASSERT_TRUE(second.close.has_value());
  EXPECT_EQ(second.close->kind, Closeness::Kind::elbows_turn_back);
  EXPECT_FALSE(second.close->factor.has_value());
  EXPECT_EQ(second.interaction, 1.0);
  EXPECT_FALSE(second_elbow(run_of("12 x 12 in", mitres("3 ft", "down"))).close.has_value());
}

TEST(CloseFittings, TheRoundPairIsForTwoSmoothThirtiesThatOffsetAlone) {
  const auto has_factor =
      [](const char* section, const char* type, const char* first, const char* second) {
        const std::string elbow = std::string("    - elbow: {type: ") + type + ", turn: ";
        const CompiledRun run = run_of(section, elbow + first + "}\n" + elbow + second + "}\n");
        const CompiledPiece& last = second_elbow(run);
        EXPECT_TRUE(last.close.has_value());
        return last.close && last.close->factor.has_value();
      };
  EXPECT_TRUE(has_factor("12 in round", "gored-3", "back, angle: 30 deg", "up, angle: 30 deg"));
  // On into the same bend, by another angle, of mitres, of flat duct.
  EXPECT_FALSE(has_factor("12 in round", "gored-3", "back, angle: 30 deg", "back, angle: 30 deg"));
  EXPECT_FALSE(has_factor("12 in round", "gored-3", "back, angle: 45 deg", "up, angle: 45 deg"));
  EXPECT_FALSE(has_factor("12 in round", "mitered", "back, angle: 30 deg", "up, angle: 30 deg"));
  EXPECT_FALSE(has_factor("12 x 12 in", "mitered", "back, angle: 30 deg", "up, angle: 30 deg"));
}

}  // namespace
}  // namespace ductledger::solve
