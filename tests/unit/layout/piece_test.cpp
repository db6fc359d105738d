#include "layout/piece.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "layout/catalogue_query.hpp"
#include "support/check_text.hpp"

namespace {

using ductledger::fitting::Catalogue;
using ductledger::fitting::Make;
using ductledger::layout::Elbow;
using ductledger::layout::Flex;
using ductledger::layout::Layout;
using ductledger::layout::Piece;
using ductledger::layout::PieceKind;

Layout read(const std::string& section, const std::string& pieces) {
  auto layout = ductledger::support::read(
      "layout: 1\ntitle: A test\nappliance: {kind: exhaust, collar: " + section +
      "}\nrun:\n  heading: up\n  pieces:\n" + pieces);
  if (!layout) {
    throw std::runtime_error(ductledger::base::render(layout.error()));
  }
  return *std::move(layout);
}

Piece first(const std::string& section, const std::string& piece) {
  return read(section, "    - " + piece + "\n    - straight: 4 ft\n").run.pieces.front();
}

TEST(Piece, the_detail_is_of_its_kind) {
  for (const std::string& word : ductledger::layout::kPieceKindWords.all()) {
    const PieceKind kind = *ductledger::layout::kPieceKindWords.find(word);
    EXPECT_EQ(Piece(kind).detail.index(), static_cast<std::size_t>(kind)) << word;
  }
  EXPECT_THROW((void)Piece(PieceKind::flex).as<Elbow>(), std::bad_variant_access);
}

// The catalogue's smooth elbows state a default of their own for each shape; flat oval duct takes
// the rectangular file.
TEST(Piece, the_radius_of_a_smooth_elbow_is_the_usual_one_of_its_shape) {
  const auto ratio = [](const std::string& section) {
    return first(section, "elbow: {type: smooth-radius, turn: back}").as<Elbow>().radius_ratio;
  };
  EXPECT_EQ(ratio("8 in round"), 1.5);
  EXPECT_EQ(ratio("10 x 4 in"), 1.0);
  EXPECT_EQ(ratio("12 x 6 in oval"), 1.0);
}

// One radius is drawn, billed and charged: the loss of an elbow that states none is that of one
// that states the radius it was taken with.
TEST(Piece, what_is_taken_for_a_radius_costs_what_it_costs_stated) {
  const auto cost = [](const Piece& elbow) {
    const auto found =
        Catalogue::built_in().coefficient(ductledger::layout::catalogue_query(elbow));
    return std::get<ductledger::fitting::Coefficient>(found).value;
  };
  for (const char* section : {"8 in round", "10 x 4 in", "4 x 10 in", "12 x 6 in oval"}) {
    for (const std::string& type : Catalogue::built_in().types(ductledger::fitting::Kind::elbow)) {
      const std::string stated = "elbow: {turn: back, type: " + type;
      const auto layout = ductledger::support::read(
          "layout: 1\ntitle: A test\nappliance: {kind: exhaust, collar: " + std::string(section) +
          "}\nrun:\n  heading: up\n  pieces:\n    - " + stated + "}\n");
      ASSERT_TRUE(layout);
      const Piece& taken = layout->run.pieces.front();
      if (!taken.as<Elbow>().radius_ratio ||
          std::holds_alternative<Catalogue::Missing>(
              Catalogue::built_in().coefficient(ductledger::layout::catalogue_query(taken)))) {
        continue;
      }
      const std::string ratio = std::to_string(*taken.as<Elbow>().radius_ratio);
      EXPECT_EQ(cost(taken), cost(first(section, stated + ", radius_ratio: " + ratio + "}")))
          << type << " in " << section;
    }
  }
}

TEST(Piece, legs_that_are_not_stated_follow_the_radius_and_the_turn) {
  const Elbow round = first("8 in round", "elbow: {type: smooth-radius, turn: back}").as<Elbow>();
  EXPECT_NEAR(ductledger::layout::nominal_leg_m(round), 1.5 * 8 * 0.0254, 1e-12);
  const Elbow slight =
      first("8 in round", "elbow: {type: smooth-radius, turn: back, angle: 45 deg}").as<Elbow>();
  EXPECT_NEAR(ductledger::layout::nominal_leg_m(slight),
              1.5 * 8 * 0.0254 * std::tan(std::numbers::pi / 8),
              1e-12);
  const Elbow mitre = first("8 in round", "elbow: {type: mitered, turn: back}").as<Elbow>();
  EXPECT_EQ(mitre.radius_ratio, std::nullopt);
  EXPECT_NEAR(ductledger::layout::nominal_leg_m(mitre), 4 * 0.0254, 1e-12);
}

TEST(Piece, tells_what_the_file_states_from_what_was_taken) {
  const Piece taken = first("8 in round", "elbow: back");
  EXPECT_TRUE(taken.states("turn"));
  EXPECT_FALSE(taken.states("type"));
  EXPECT_FALSE(taken.states("radius_ratio"));
  EXPECT_FALSE(taken.type.empty());
  EXPECT_EQ(taken.known_type(), taken.type);
  EXPECT_NE(taken.as<Elbow>().make, std::nullopt);

  const Piece stated = first("8 in round", "elbow: {type: gored-5, turn: back, radius_ratio: 1.2}");
  EXPECT_TRUE(stated.states("type"));
  EXPECT_TRUE(stated.states("radius_ratio"));
  EXPECT_EQ(stated.as<Elbow>().radius_ratio, 1.2);
  EXPECT_EQ(stated.as<Elbow>().make, Make::gored);

  const Piece flex = first("8 in round", "flex: 3 ft");
  EXPECT_TRUE(flex.states("length"));
  EXPECT_FALSE(flex.states("stretched"));
  EXPECT_EQ(flex.as<Flex>().stretched, 0.85);
}

// What stands behind a figure of the user's own is not known, but an elbow still has a shape.
TEST(Piece, a_stated_loss_leaves_the_type_unknown) {
  const Piece own = first("8 in round", "elbow: {turn: back, coefficient: 0.4}");
  EXPECT_EQ(own.known_type(), "");
  EXPECT_NE(own.as<Elbow>().make, std::nullopt);
  const Piece named = first("8 in round", "elbow: {turn: back, coefficient: 0.4, type: mitered}");
  EXPECT_EQ(named.known_type(), "mitered");
}

}  // namespace
