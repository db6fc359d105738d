#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/text.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/read_pieces_internal.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

constexpr Range kAngle{
    0.5 * units::kRadPerDegree, 179.5 * units::kRadPerDegree, "0.5 deg to 179.5 deg"};

void set_sides(Walk& walk, Piece& piece, const bool width_in_plane) {
  piece.as<Elbow>().in_plane_m = width_in_plane ? walk.section.width_m() : walk.section.height_m();
  piece.as<Elbow>().across_m = width_in_plane ? walk.section.height_m() : walk.section.width_m();
}

/// Headings before a turn, of the plane it turns in, and after it.
struct Headings {
  Direction from;
  Direction toward;
  Direction to;
};

/// Which side lies in the plane of the turn, and how the section lies afterwards.
void settle_sides(Walk& walk, Piece& piece, const Headings& turn) {
  if (!walk.width) {
    return;
  }
  const Direction axis = normalised(cross(turn.from, turn.toward));
  const double along_axis = std::abs(dot(*walk.width, axis));
  const bool width_in_plane = along_axis < 0.70710678;
  set_sides(walk, piece, width_in_plane);
  if (along_axis > 0.05 && along_axis < 0.9987 && walk.section.shape() != duct::Shape::round) {
    walk.reading.layout.remarks.push_back({fmt::format(
        "the elbow on line {} turns across a corner of the section; its {} is taken as "
        "the side in the plane of the turn",
        piece.span.line,
        width_in_plane ? "width" : "height")});
  }
  walk.width = carried_round(*walk.width, {turn.from, turn.to});
}

void turn_toward(
    Walk& walk, Piece& piece, const yaml::Node& node, const std::string& text, const Turn& turn) {
  const double left = angle_between(turn.from, turn.to);
  if (left < 1e-6) {
    walk.problems
        .error(node.span,
               "no-turn",
               fmt::format("the duct heads {} already", base::canonical_word(text)))
        .help = "an elbow changes the heading; for a straight length write `straight`";
    return;
  }
  if (left > std::numbers::pi - 1e-6) {
    walk.problems
        .error(node.span,
               "reversing-turn",
               fmt::format("turning {} from here reverses the duct", base::canonical_word(text)))
        .help = "a return takes two elbows; turn to a side first";
    walk.heading = turn.to;
    piece.as<Elbow>().angle_rad = std::numbers::pi / 2.0;
    return;
  }
  if (turn.angle_rad > left + 1e-9) {
    auto& d = walk.problems.error(piece.key_spans.at("angle"),
                                  "turns-too-far",
                                  fmt::format("only {:.4g} deg are left to turn {}",
                                              left / units::kRadPerDegree,
                                              base::canonical_word(text)));
    d.help =
        fmt::format("leave `angle` out, or state {:.4g} deg or less", left / units::kRadPerDegree);
    walk.heading = turn.to;
    piece.as<Elbow>().angle_rad = left;
    return;
  }
  const double angle = turn.angle_rad > 0.0 ? turn.angle_rad : left;
  piece.as<Elbow>().angle_rad = angle;
  const bool all_the_way = angle > left - 1e-9;
  const Direction to = all_the_way ? turn.to : turned({turn.from, turn.to, angle});
  settle_sides(walk, piece, {.from = turn.from, .toward = turn.to, .to = to});
  walk.heading = to;
}

void settle_turn(Walk& walk,
                 Piece& piece,
                 const yaml::Node* turn,
                 std::optional<double> angle_rad) {
  if (turn == nullptr) {
    piece.as<Elbow>().angle_rad = angle_rad.value_or(std::numbers::pi / 2.0);
    if (!angle_rad && !piece.loss_is_stated()) {
      walk.reading.take_default("elbow.angle", "90 deg");
    }
    if (walk.heading) {
      walk.reading.layout.remarks.push_back({fmt::format(
          "the elbow on line {} states no `turn`: headings are not known from there on",
          piece.span.line)});
    }
    walk.heading.reset();
    return;
  }
  piece.key_spans.emplace("turn", turn->span);
  const auto text = yaml::read_text(*turn, walk.problems);
  if (!text) {
    return;
  }
  const auto toward = direction_of(*text);
  if (!toward) {
    auto& d = walk.problems.error(
        turn->span, "unknown-direction", fmt::format("`{}` is no direction", base::escaped(*text)));
    d.label = "expected up, down, left, right, back or front, or two joined such as up-back";
    if (const auto near = base::nearest(*text, direction_words())) {
      d.help = fmt::format("did you mean `{}`?", *near);
    }
    walk.heading_lost = true;
    walk.heading.reset();
    return;
  }
  if (!walk.heading) {
    piece.as<Elbow>().angle_rad = angle_rad.value_or(std::numbers::pi / 2.0);
    if (!angle_rad && !piece.loss_is_stated() && !walk.heading_lost) {
      walk.heading_lost = true;
      walk.problems.error(turn->span, "turn-without-heading", "there is no heading to turn from")
          .help = walk.run.heading
                      ? "an elbow before this one states no `turn`; add it, or state `angle` here"
                      : "give the run a `heading`, such as `heading: up`, or state `angle`";
    }
    return;
  }
  turn_toward(walk, piece, *turn, *text, {*walk.heading, *toward, angle_rad.value_or(-1.0)});
}

void settle_plane(Walk& walk, Piece& piece, const std::string& plane) {
  if (!plane.empty()) {
    set_sides(walk, piece, plane == "width");
    return;
  }
  if (piece.as<Elbow>().in_plane_m > 0.0) {
    return;
  }
  set_sides(walk, piece, true);
  if (walk.section.shape() == duct::Shape::round || piece.loss_is_stated() || walk.heading_lost) {
    return;
  }
  walk.problems
      .error(piece.span,
             "missing-key",
             "without headings this elbow does not say which side lies in the plane of its turn")
      .help =
      "add `plane: width` or `plane: height`, or give the run a `heading` and the elbow a `turn`";
}

void read_legs(Walk& walk, yaml::MapReader& map, Piece& piece) {
  const yaml::Node* node = map.get("legs");
  if (node == nullptr) {
    node = map.get("leg");
  } else {
    map.allow("leg");
  }
  if (node == nullptr) {
    return;
  }
  const Range range{0.0, 30.0, "0 in to 100 ft"};
  if (node->kind == yaml::NodeKind::sequence) {
    if (node->items.size() != 2) {
      walk.problems.error(
          node->span, "wrong-count", "`legs` holds one length, or two: before and after");
      return;
    }
    for (std::size_t i = 0; i < 2; ++i) {
      piece.as<Elbow>().legs_m[i] =
          read_within(node->items[i], Dimension::length, range, walk.problems).value_or(0.0);
    }
  } else {
    const double leg = read_within(*node, Dimension::length, range, walk.problems).value_or(0.0);
    piece.as<Elbow>().legs_m = {leg, leg};
  }
  piece.key_spans.emplace("legs", node->span);
}

void read_elbow_word(Walk& walk, Piece& piece, const yaml::Node& value) {
  const auto types = walk.reading.catalogue.types(fitting::Kind::elbow);
  const std::string text = base::canonical_word(value.text);
  if (std::find(types.begin(), types.end(), text) != types.end()) {
    piece.type = text;
    piece.key_spans.emplace("type", value.span);
    return;
  }
  walk.type_failed = true;
  std::vector<std::string> words = direction_words();
  words.insert(words.end(), types.begin(), types.end());
  auto& d = walk.problems.error(
      value.span,
      "unknown-direction",
      fmt::format("`{}` is neither a direction nor a type of elbow", base::escaped(value.text)));
  d.label = "expected up, down, left, right, back or front, or a type";
  const auto near = base::nearest(text, words);
  if (const auto likely = near ? near : by_shared_words(text, PieceKind::elbow, types)) {
    d.help = fmt::format("did you mean `{}`?", *likely);
  }
}

/// `45 deg`, or `90`: a number alone can only be the angle of its turn in degrees. Nothing where
/// it is no number, or an angle that no elbow has.
std::optional<double> bare_angle(const Walk& walk, const yaml::Node& value) {
  yaml::Problems unsaid(walk.problems.source());
  yaml::Node with_unit = value;
  const bool digits =
      !value.text.empty() && value.text.find_first_not_of("0123456789. ") == std::string::npos;
  if (digits) {
    with_unit.text += " deg";
  } else if (value.text.find_first_of("0123456789") != 0) {
    return std::nullopt;
  }
  return read_within(with_unit, Dimension::angle, kAngle, unsaid);
}

void settle_make(Walk& walk, Piece& piece) {
  piece.as<Elbow>().make = traits_of(piece, walk.reading.catalogue).make;
  piece.as<Elbow>().radius_ratio = radius_ratio(piece, walk.reading.catalogue);
}

}  // namespace

void read_elbow(Walk& walk, Piece& piece, const yaml::Node& value) {
  std::optional<double> angle_rad;
  const yaml::Node* turn = nullptr;
  std::string plane;
  if (value.kind == yaml::NodeKind::scalar) {
    if (direction_of(value.text)) {
      turn = &value;
    } else if (const auto angle = bare_angle(walk, value)) {
      angle_rad = *angle;
      piece.key_spans.emplace("angle", value.span);
    } else {
      read_elbow_word(walk, piece, value);
      if (walk.type_failed) {
        walk.heading_lost = true;
        walk.heading.reset();
        return;
      }
    }
  } else {
    yaml::MapReader map(value, "elbow", walk.problems);
    read_common(walk, map, piece);
    turn = map.get("turn");
    angle_rad = read_quantity(walk, map, piece, "angle", Dimension::angle, kAngle);
    if (map.get("angle") != nullptr && !angle_rad) {
      return;
    }
    if (const yaml::Node* node = map.get("plane")) {
      if (const auto choice =
              yaml::read_choice(*node, {"width", "height"}, "plane", walk.problems)) {
        plane = *choice == 0 ? "width" : "height";
      }
    }
    read_legs(walk, map, piece);
    map.finish();
  }
  settle_turn(walk, piece, turn, angle_rad);
  settle_plane(walk, piece, plane);
  settle_type(walk, piece);
  settle_make(walk, piece);
}

}  // namespace ductledger::layout
