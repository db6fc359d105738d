#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/text.hpp"
#include "duct/friction.hpp"
#include "layout/places.hpp"
#include "layout/read_pieces_internal.hpp"

namespace ductledger::layout {

const std::vector<std::string>& place_words() {
  static const std::vector<std::string> words{"ceiling",
                                              "roof",
                                              "wall",
                                              "stud-bay",
                                              "joist-bay",
                                              "attic",
                                              "crawl-space",
                                              "chase",
                                              "garage",
                                              "conditioned"};
  return words;
}

namespace {

using units::Dimension;

/// The place that is meant by a word of the trade that names none of the list.
const char* place_meant(std::string_view word) {
  struct Meant {
    std::string_view word;
    const char* help;
  };
  static constexpr std::array kMeant{
      Meant{"soffit", "boxed in over cupboards it is a `chase`"},
      Meant{"bulkhead", "boxed in over cupboards it is a `chase`"},
      Meant{"cupboard", "inside heated rooms it is `conditioned`"},
      Meant{"cabinet", "inside heated rooms it is `conditioned`"},
      Meant{"basement", "`conditioned` where it is heated, else `crawl-space`"},
      Meant{"floor", "between its joists it is a `joist-bay`"},
      Meant{"outside", "a straight in the open needs no `through`"},
      Meant{"outdoors", "a straight in the open needs no `through`"}};
  const auto found = std::ranges::find(kMeant, word, &Meant::word);
  return found == kMeant.end() ? nullptr : found->help;
}

void read_surroundings(Walk& walk, yaml::MapReader& map, Piece& piece, Surroundings& around) {
  const yaml::Node* through = map.get("through");
  if (through != nullptr && through->kind == yaml::NodeKind::sequence) {
    walk.problems.error(through->span, "wrong-kind", "`through` names one place for each straight")
        .help =
        "write a straight for each place: `- straight: {length: 1 ft, through: ceiling}`, then "
        "the next";
  } else if (through != nullptr) {
    const std::vector<std::string>& places = place_words();
    const std::string word = base::canonical_word(through->text);
    if (const char* meant = place_meant(word)) {
      auto& fault = walk.problems.error(
          through->span, "unknown-word", "no place is named " + base::shown(through->text));
      fault.label = "unknown word";
      fault.help = meant;
    } else if (const auto choice = yaml::read_choice(*through, places, "place", walk.problems)) {
      around.through = places[*choice];
    }
  }
  around.insulation_m2k_w = read_quantity(
      walk, map, piece, "insulated", Dimension::thermal_resistance, {0.0, 50.0, "R-0 to R-280"});
}

/// A leg that geometry gives is kept, so that the rise counts what the straight lost.
double leg_of(Piece& piece, std::size_t side) {
  if (piece.kind != PieceKind::elbow) {
    return 0.0;
  }
  Elbow& elbow = piece.as<Elbow>();
  if (!piece.states("legs")) {
    elbow.legs_m[side] = nominal_leg_m(elbow);
  }
  return elbow.legs_m[side];
}

}  // namespace

void read_straight(Walk& walk, Piece& piece, const yaml::Node& value) {
  if (value.kind == yaml::NodeKind::scalar) {
    piece.length_m = read_within(value, Dimension::length, kPieceLength, walk.problems);
    piece.key_spans.emplace("length", value.span);
    return;
  }
  yaml::MapReader map(value, "straight", walk.problems);
  if (const yaml::Node* length = map.require("length", "4 ft")) {
    piece.length_m = read_within(*length, Dimension::length, kPieceLength, walk.problems);
    piece.key_spans.emplace("length", length->span);
  }
  if (const auto wall = read_wall(map, walk.reading)) {
    walk.material = wall->material;
    walk.roughness_m = wall->roughness_m;
    piece.material = walk.material;
    piece.roughness_m = walk.roughness_m;
  }
  if (const yaml::Node* measured = map.get("measured")) {
    if (const auto choice = yaml::read_choice(
            *measured, {"between-fittings", "to-centres"}, "measure", walk.problems)) {
      if (*choice == 1) {
        walk.to_centres.push_back(walk.run.pieces.size());
        piece.key_spans.emplace("measured", measured->span);
      }
    }
  }
  read_surroundings(walk, map, piece, piece.as<Straight>().around);
  read_note(map, piece);
  map.finish();
}

void read_flex(Walk& walk, Piece& piece, const yaml::Node& value) {
  Flex& flex = piece.as<Flex>();
  const auto defaults = [&] {
    flex.stretched = 0.85;
    walk.reading.take_default("flex.stretched", "85 % (relaxed after stretching, common practice)");
  };
  piece.roughness_m = duct::kFlexibleRoughnessM;
  piece.material = "flexible";
  if (value.kind == yaml::NodeKind::scalar) {
    piece.length_m = read_within(value, Dimension::length, kPieceLength, walk.problems);
    piece.key_spans.emplace("length", value.span);
    defaults();
    return;
  }
  yaml::MapReader map(value, "flex", walk.problems);
  if (const yaml::Node* length = map.require("length", "3 ft")) {
    piece.length_m = read_within(*length, Dimension::length, kPieceLength, walk.problems);
    piece.key_spans.emplace("length", length->span);
  }
  if (const yaml::Node* stretched = map.get("stretched")) {
    flex.stretched =
        read_within(*stretched, Dimension::ratio, {0.3, 1.0, "30 % to 100 %"}, walk.problems)
            .value_or(1.0);
    piece.key_spans.emplace("stretched", stretched->span);
  } else {
    defaults();
  }
  if (const auto roughness = read_quantity(
          walk, map, piece, "roughness", Dimension::length, {0.0, 0.02, "0 mm to 20 mm"})) {
    piece.roughness_m = *roughness;
  }
  flex.sag_m =
      read_quantity(walk, map, piece, "sag", Dimension::length, {0.0, 10.0, "0 in to 30 ft"})
          .value_or(0.0);
  if (const yaml::Node* dips = map.get("dips")) {
    const auto n = yaml::read_whole(*dips, walk.problems);
    if (n && (*n < 0 || *n > 100)) {
      walk.problems.error(dips->span, "out-of-range", "`dips` is out of range").label =
          "expected 0 to 100";
    } else if (n) {
      flex.dips = static_cast<int>(*n);
    }
  } else if (flex.sag_m > 0.0) {
    flex.dips = 1;
  }
  read_surroundings(walk, map, piece, flex.around);
  read_note(map, piece);
  map.finish();
}

void subtract_legs(Walk& walk) {
  for (const std::size_t index : walk.to_centres) {
    Piece& piece = walk.run.pieces[index];
    if (!piece.length_m) {
      continue;
    }
    double off_m = 0.0;
    if (index > 0) {
      off_m += leg_of(walk.run.pieces[index - 1], 1);
    }
    if (index + 1 < walk.run.pieces.size()) {
      off_m += leg_of(walk.run.pieces[index + 1], 0);
    }
    if (off_m >= *piece.length_m) {
      walk.problems
          .error(piece.key_spans.at("measured"),
                 "elbows-longer-than-straight",
                 fmt::format(
                     "the legs of the elbows take {:.4g} in off this straight, and it is {:.4g} in",
                     off_m / units::kMetresPerInch,
                     *piece.length_m / units::kMetresPerInch))
          .help = "state the cut length between the fittings";
      continue;
    }
    *piece.length_m -= off_m;
  }
}

}  // namespace ductledger::layout
