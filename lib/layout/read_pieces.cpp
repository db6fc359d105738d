#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "base/text.hpp"
#include "duct/friction.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/geometry.hpp"
#include "layout/read_internal.hpp"
#include "units/constants.hpp"
#include "yaml/parse.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

constexpr Range kLength{0.001, 1000.0, "more than 0 ft, up to 3000 ft"};
constexpr Range kAngle{
    0.5 * units::kRadPerDegree, 179.5 * units::kRadPerDegree, "0.5 deg to 179.5 deg"};
constexpr Range kCoefficient{0.0, 1000.0, "0 to 1000"};

/// What people call a piece, and the kind that it is here.
struct TradeWord {
  std::string_view word;
  const char* help;
};
constexpr std::array kTradeWords{
    TradeWord{"duct", "write `straight` for rigid duct, `flex` for flexible duct"},
    TradeWord{"pipe", "write `straight` for rigid duct, `flex` for flexible duct"},
    TradeWord{"hose", "write `flex`"},
    TradeWord{"bend", "write `elbow`"},
    TradeWord{"reducer", "write `transition` and the section it leads to"},
    TradeWord{"adapter", "write `transition` and the section it leads to"},
    TradeWord{"flap", "write `damper: backdraft-flap` inside the run, `cap` at its end"},
    TradeWord{"hood", "write `cap` for what ends the run outdoors; the appliance stands in none"},
    TradeWord{"vent", "write `cap` for what ends the run outdoors"},
    TradeWord{"termination", "write `cap`"},
    TradeWord{"grille", "write `cap: grille` where air leaves, `entry: plain` where it enters"},
    TradeWord{"louver", "write `cap: louver` where air leaves, `entry: louver` where it enters"},
    TradeWord{"wye", "a joining branch is a `junction`"},
    TradeWord{"tee", "a joining branch is a `junction`"},
    TradeWord{"blower", "write `fan`"}};

/// The type that shares the greatest part of its words with what was written: `wall-cap` is near
/// `wall-hood-flap`. The kind's own word tells no type from another. Nothing where two share as
/// much.
std::optional<std::string> by_shared_words(const std::string& text,
                                           PieceKind kind,
                                           const std::vector<std::string>& types) {
  const auto words_of = [](std::string_view name) {
    std::vector<std::string_view> words;
    while (!name.empty()) {
      const std::size_t end = std::min(name.find('-'), name.size());
      words.push_back(name.substr(0, end));
      name.remove_prefix(std::min(end + 1, name.size()));
    }
    return words;
  };
  auto written = words_of(text);
  std::erase(written, std::string_view(word(kind)));
  std::optional<std::string> best;
  double most = 0.0;
  for (const std::string& type : types) {
    const auto words = words_of(type);
    const auto shared = std::count_if(words.begin(), words.end(), [&](std::string_view word) {
      return std::find(written.begin(), written.end(), word) != written.end();
    });
    const double share =
        static_cast<double>(shared) / static_cast<double>(words.size() + written.size()) * 2.0;
    if (share > most) {
      most = share;
      best = type;
    } else if (share == most) {
      best.reset();
    }
  }
  return best;
}

/// Walks the run: the section, wall, heading and turning of the duct as each piece leaves them.
class PieceReader {
 public:
  explicit PieceReader(Reading& reading)
      : reading_(reading),
        problems_(reading.problems),
        run_(reading.layout.run),
        section_(run_.first_section),
        material_(run_.material),
        roughness_m_(run_.roughness_m),
        heading_(run_.heading),
        heading_lost_(reading.heading_failed) {
    settle_width();
  }

  void read_one(const yaml::Node& item) {
    Piece piece;
    const yaml::Node* value = nullptr;
    yaml::Node bare;
    if (item.kind == yaml::NodeKind::scalar) {
      if (base::canonical_word(item.text) != "fan") {
        auto& d = problems_.error(item.span,
                                  "piece-without-value",
                                  fmt::format("`{}` is not a piece", base::escaped(item.text)));
        d.label = "a piece is a kind, a colon and a value";
        d.help = "such as `- straight: 4 ft` or `- cap: wall-hood-flap`";
        return;
      }
      piece.kind = PieceKind::fan;
      piece.span = item.span;
      value = &bare;
    } else if (item.kind == yaml::NodeKind::mapping && item.entries.size() == 1) {
      const yaml::Entry& entry = item.entries.front();
      const auto kind = kind_of(entry);
      if (!kind) {
        return;
      }
      piece.kind = *kind;
      piece.span = entry.key_span;
      value = &entry.value;
    } else if (item.kind == yaml::NodeKind::mapping && !item.entries.empty()) {
      report_several_keys(item);
      return;
    } else {
      problems_.error(item.span, "wrong-kind", "a piece is a kind, a colon and a value").help =
          "such as `- straight: 4 ft`";
      return;
    }
    piece.value_span = value->span.line > 0 ? value->span : piece.span;
    piece.upstream = section_;
    piece.downstream = section_;
    piece.material = material_;
    piece.roughness_m = roughness_m_;
    piece.heading_in = heading_;
    read_value(piece, *value);
    piece.heading_out = heading_;
    section_ = piece.downstream;
    run_.pieces.push_back(std::move(piece));
  }

  void finish() {
    check_order();
    subtract_legs();
    say_missing_traits();
  }

 private:
  /// What a type of the user's own does not say of itself; nothing is taken in its place in
  /// silence.
  void say_missing_traits() {
    for (const Piece& piece : run_.pieces) {
      const auto kind = catalogue_kind(piece.kind);
      if (!kind || piece.type.empty()) {
        continue;
      }
      for (const auto& missing :
           fitting::missing_traits(*kind, traits_of(piece, reading_.catalogue))) {
        const std::string text =
            fmt::format("{} `{}` does not state `{}` in its catalogue file: {}; add there `{}`",
                        word(piece.kind),
                        piece.type,
                        missing.key,
                        missing.without,
                        missing.example);
        reading_.layout.remarks.push_back({"{}", {{.texts = {text, text}}}});
      }
    }
  }

  std::optional<PieceKind> kind_of(const yaml::Entry& entry) {
    const auto kind = kPieceKindWords.find(entry.key);
    if (!kind) {
      const std::vector<std::string> words = kPieceKindWords.all();
      auto& d = problems_.error(entry.key_span,
                                "unknown-piece",
                                fmt::format("`{}` is no kind of piece", base::escaped(entry.key)));
      d.notes.push_back("kinds: " + base::joined(words));
      const std::string written = base::canonical_word(entry.key);
      const auto* const trade =
          std::find_if(kTradeWords.begin(), kTradeWords.end(), [&](const TradeWord& known) {
            return written == known.word;
          });
      if (trade != kTradeWords.end()) {
        d.help = trade->help;
      } else if (const auto near = base::nearest(entry.key, words)) {
        d.help = fmt::format("did you mean `{}`?", *near);
      }
      return std::nullopt;
    }
    return kind;
  }

  void report_several_keys(const yaml::Node& item) {
    const yaml::Entry& first = item.entries.front();
    const yaml::Entry& second = item.entries[1];
    const bool second_is_kind = kPieceKindWords.find(second.key).has_value();
    auto& d = problems_.error(second.key_span,
                              "several-keys-in-a-piece",
                              fmt::format("a piece has one kind, but `{}` follows `{}`",
                                          base::escaped(second.key),
                                          base::escaped(first.key)));
    if (second_is_kind) {
      d.help = fmt::format("start `{}` on a line of its own with a dash", second.key);
    } else if (first.value.kind == yaml::NodeKind::null) {
      d.help = fmt::format("indent the lines below `{}:` deeper than `{}`", first.key, first.key);
    } else {
      d.help = fmt::format("put them in braces: `- {}: {{..., {}: ...}}`", first.key, second.key);
    }
  }

  void read_value(Piece& piece, const yaml::Node& value) {
    const bool empty = value.kind == yaml::NodeKind::null;
    if (piece.kind == PieceKind::fan) {
      read_fan_piece(piece, value);
      return;
    }
    if (empty) {
      report_empty(piece);
      return;
    }
    if (value.kind == yaml::NodeKind::sequence) {
      problems_.error(
          value.span, "wrong-kind", fmt::format("`{}` cannot be a list", word(piece.kind)));
      return;
    }
    switch (piece.kind) {
      case PieceKind::straight:
        read_straight(piece, value);
        return;
      case PieceKind::flex:
        read_flex(piece, value);
        return;
      case PieceKind::loss:
        read_loss(piece, value);
        return;
      case PieceKind::junction:
        problems_.error(piece.span, "not-calculated-yet", "`junction` is known, not calculated yet")
            .help =
            "calculate the run with the greatest loss alone, or state the junction as `loss`";
        return;
      case PieceKind::elbow:
        read_elbow(piece, value);
        return;
      case PieceKind::transition:
        read_transition(piece, value);
        return;
      default:
        read_fitting(piece, value);
        return;
    }
  }

  void report_empty(const Piece& piece) {
    auto& d = problems_.error(
        piece.span, "empty-value", fmt::format("`{}` has no value", word(piece.kind)));
    switch (piece.kind) {
      case PieceKind::straight:
      case PieceKind::flex:
        d.help = fmt::format("such as `- {}: 4 ft`", word(piece.kind));
        break;
      case PieceKind::elbow:
        d.help = "such as `- elbow: back` or `- elbow: {type: gored-5, turn: up}`";
        break;
      case PieceKind::transition:
        d.help = "such as `- transition: 6 in round`";
        break;
      case PieceKind::loss:
        d.help = "such as `- loss: {coefficient: 0.35}`";
        break;
      default:
        d.help = "state a type, such as `" +
                 reading_.catalogue.types(*catalogue_kind(piece.kind)).front() + "`";
    }
  }

  std::optional<double> quantity(yaml::MapReader& map,
                                 Piece& piece,
                                 std::string_view key,
                                 Dimension dimension,
                                 const Range& range) {
    const yaml::Node* node = map.get(key);
    if (node == nullptr) {
      return std::nullopt;
    }
    piece.key_spans.emplace(key, node->span);
    return read_within(*node, dimension, range, problems_);
  }

  void read_note(yaml::MapReader& map, Piece& piece) { piece.note = map.text("note").value_or(""); }

  // --- lengths -------------------------------------------------------------------------------

  void read_where(yaml::MapReader& map, Piece& piece) {
    const yaml::Node* through = map.get("through");
    if (through != nullptr && through->kind == yaml::NodeKind::sequence) {
      problems_.error(through->span, "wrong-kind", "`through` names one place for each straight")
          .help =
          "write a straight for each place: `- straight: {length: 1 ft, through: ceiling}`, then "
          "the next";
    } else if (through != nullptr) {
      static const std::vector<std::string> places{"ceiling",
                                                   "roof",
                                                   "wall",
                                                   "stud-bay",
                                                   "joist-bay",
                                                   "attic",
                                                   "crawl-space",
                                                   "chase",
                                                   "garage",
                                                   "conditioned"};
      if (const auto choice = yaml::read_choice(*through, places, "place", problems_)) {
        piece.through = places[*choice];
      }
    }
    piece.insulation_m2k_w = quantity(
        map, piece, "insulated", Dimension::thermal_resistance, {0.0, 50.0, "R-0 to R-280"});
  }

  void read_straight(Piece& piece, const yaml::Node& value) {
    if (value.kind == yaml::NodeKind::scalar) {
      piece.length_m = read_within(value, Dimension::length, kLength, problems_);
      return;
    }
    yaml::MapReader map(value, "straight", problems_);
    if (const yaml::Node* length = map.require("length", "4 ft")) {
      piece.length_m = read_within(*length, Dimension::length, kLength, problems_);
    }
    if (const auto wall = read_wall(map, reading_)) {
      material_ = wall->material;
      roughness_m_ = wall->roughness_m;
      piece.material = material_;
      piece.roughness_m = roughness_m_;
    }
    if (const yaml::Node* measured = map.get("measured")) {
      if (const auto choice = yaml::read_choice(
              *measured, {"between-fittings", "to-centres"}, "measure", problems_)) {
        if (*choice == 1) {
          to_centres_.push_back(run_.pieces.size());
          piece.key_spans.emplace("measured", measured->span);
        }
      }
    }
    read_where(map, piece);
    read_note(map, piece);
    map.finish();
  }

  void read_flex(Piece& piece, const yaml::Node& value) {
    const auto defaults = [&] {
      piece.stretched = 0.85;
      reading_.take_default("flex.stretched", "85 % (relaxed after stretching, common practice)");
    };
    piece.roughness_m = duct::kFlexibleRoughnessM;
    piece.material = "flexible";
    if (value.kind == yaml::NodeKind::scalar) {
      piece.length_m = read_within(value, Dimension::length, kLength, problems_);
      defaults();
      return;
    }
    yaml::MapReader map(value, "flex", problems_);
    if (const yaml::Node* length = map.require("length", "3 ft")) {
      piece.length_m = read_within(*length, Dimension::length, kLength, problems_);
    }
    if (const yaml::Node* stretched = map.get("stretched")) {
      piece.stretched =
          read_within(*stretched, Dimension::ratio, {0.3, 1.0, "30 % to 100 %"}, problems_)
              .value_or(1.0);
      piece.key_spans.emplace("stretched", stretched->span);
    } else {
      defaults();
    }
    if (const auto roughness =
            quantity(map, piece, "roughness", Dimension::length, {0.0, 0.02, "0 mm to 20 mm"})) {
      piece.roughness_m = *roughness;
    }
    piece.sag_m =
        quantity(map, piece, "sag", Dimension::length, {0.0, 10.0, "0 in to 30 ft"}).value_or(0.0);
    if (const yaml::Node* dips = map.get("dips")) {
      const auto n = yaml::read_whole(*dips, problems_);
      if (n && (*n < 0 || *n > 100)) {
        problems_.error(dips->span, "out-of-range", "`dips` is out of range").label =
            "expected 0 to 100";
      } else if (n) {
        piece.dips = static_cast<int>(*n);
      }
    } else if (piece.sag_m > 0.0) {
      piece.dips = 1;
    }
    read_where(map, piece);
    read_note(map, piece);
    map.finish();
  }

  // --- fittings ------------------------------------------------------------------------------

  /// `0.4`, or `0.4 +- 20 %` where the doubt is one standard uncertainty.
  void read_coefficient(const yaml::Node& node, Piece& piece) {
    const auto text = yaml::read_text(node, problems_);
    if (!text) {
      return;
    }
    std::string plain = *text;
    const std::size_t sign = plain.find("\u00B1");
    if (sign != std::string::npos) {
      plain.replace(sign, std::string_view("\u00B1").size(), "+-");
    }
    const std::size_t doubt = plain.find("+-");
    yaml::Node part = node;
    part.text = plain.substr(0, doubt);
    StatedCoefficient stated;
    const auto value = read_within(part, Dimension::number, kCoefficient, problems_);
    if (!value) {
      return;
    }
    stated.value = *value;
    if (doubt != std::string::npos) {
      part.text = plain.substr(doubt + 2);
      const bool relative = part.text.find('%') != std::string::npos;
      const auto u = read_within(part,
                                 relative ? Dimension::ratio : Dimension::number,
                                 {0.0, 1000.0, "0 % or more"},
                                 problems_);
      if (!u) {
        return;
      }
      stated.relative_uncertainty = relative || *value == 0.0 ? *u : *u / *value;
      if (!relative && *u > *value && *value > 0.0) {
        auto& d = problems_.error(
            node.span, "out-of-range", "the uncertainty is larger than the coefficient itself");
        d.label = "one standard uncertainty";
        d.help =
            fmt::format("did you mean {}?", base::shown(std::string(base::trimmed(*text)) + " %"));
        return;
      }
    }
    piece.coefficient = stated;
    piece.key_spans.emplace("coefficient", node.span);
  }

  void read_type(const yaml::Node& node, Piece& piece) {
    const auto text = yaml::read_text(node, problems_);
    if (!text) {
      return;
    }
    piece.type = base::canonical_word(*text);
    piece.key_spans.emplace("type", node.span);
    const auto kind = catalogue_kind(piece.kind);
    const auto types = reading_.catalogue.types(*kind);
    if (std::find(types.begin(), types.end(), piece.type) == types.end()) {
      auto& d = problems_.error(
          node.span,
          "unknown-type",
          fmt::format("no {} is named `{}`", word(piece.kind), base::escaped(*text)));
      d.label = "not in the catalogue";
      d.notes.push_back("known: " + base::joined(types));
      const auto near = base::nearest(piece.type, types);
      if (const auto likely = near ? near : by_shared_words(piece.type, piece.kind, types)) {
        d.help = fmt::format("did you mean `{}`?", *likely);
      } else {
        d.help =
            "take a known type, and state `coefficient` where you have the manufacturer's figure";
      }
      piece.type.clear();
      type_failed_ = true;
    }
  }

  /// Keys that every fitting shares; the catalogue's parameters of the type among them.
  void read_common(yaml::MapReader& map, Piece& piece) {
    type_failed_ = false;
    if (const yaml::Node* type = map.get("type")) {
      read_type(*type, piece);
    }
    piece.source = map.text("source").value_or("");
    if (const yaml::Node* coefficient = map.get("coefficient")) {
      read_coefficient(*coefficient, piece);
    }
    if (const yaml::Node* reference = map.get("reference")) {
      if (const auto choice = yaml::read_choice(
              *reference, {"upstream", "downstream"}, "reference section", problems_)) {
        if (piece.coefficient) {
          piece.coefficient->reference =
              *choice == 0 ? fitting::Reference::upstream : fitting::Reference::downstream;
        }
        piece.key_spans.emplace("reference", reference->span);
      }
    }
    if (const auto error = map.text("error"); error && piece.coefficient) {
      piece.coefficient->error_name = *error;
    }
    piece.equivalent_length_m = quantity(
        map, piece, "equivalent_length", Dimension::length, {0.0, 1000.0, "0 ft to 3000 ft"});
    if (piece.equivalent_length_m && piece.coefficient) {
      problems_
          .error(piece.key_spans.at("equivalent_length"),
                 "two-losses",
                 "this piece states both `coefficient` and `equivalent_length`")
          .help = "keep one of them";
    }
    read_note(map, piece);
    read_parameters(map, piece);
  }

  void read_parameters(yaml::MapReader& map, Piece& piece) {
    const auto kind = catalogue_kind(piece.kind);
    if (!kind) {
      return;
    }
    const std::string type =
        piece.type.empty() ? reading_.catalogue.default_type(*kind, section_) : piece.type;
    std::vector<fitting::Catalogue::Parameter> parameters;
    if (!type.empty() && !type_failed_) {
      parameters = reading_.catalogue.parameters(*kind, type);
    } else {
      // The type is not settled: any parameter of the kind may stand here.
      for (const auto& each : reading_.catalogue.types(*kind)) {
        const auto more = reading_.catalogue.parameters(*kind, each);
        parameters.insert(parameters.end(), more.begin(), more.end());
      }
    }
    for (const auto& parameter : parameters) {
      if (parameter.name == "angle" || parameter.name == "length" ||
          piece.parameters.count(parameter.name) > 0) {
        continue;
      }
      const yaml::Node* node = map.get(parameter.name);
      if (node == nullptr) {
        continue;
      }
      piece.key_spans.emplace(parameter.name, node->span);
      if (parameter.dimension == Dimension::area) {
        // An area is stated as the opening's size, such as `32 x 14 in`.
        if (const auto section = read_section(*node, problems_)) {
          piece.parameters.emplace(parameter.name, section->area_m2());
        }
      } else if (const auto value =
                     read_within(*node, parameter.dimension, {0.0, 1e6, "0 or more"}, problems_)) {
        piece.parameters.emplace(parameter.name, *value);
      }
    }
  }

  void require_reference(const Piece& piece) {
    const bool changes = piece.upstream.area_m2() != piece.downstream.area_m2();
    if (piece.coefficient && changes && piece.key_spans.count("reference") == 0) {
      auto& d = problems_.error(piece.key_spans.at("coefficient"),
                                "missing-reference",
                                "this piece changes area, and its coefficient names no section");
      d.label = "whose velocity pressure does it multiply?";
      d.help = "add `reference: upstream` or `reference: downstream`";
    }
  }

  void read_elbow(Piece& piece, const yaml::Node& value) {
    std::optional<double> angle_rad;
    const yaml::Node* turn = nullptr;
    std::string plane;
    if (value.kind == yaml::NodeKind::scalar) {
      if (direction_of(value.text)) {
        turn = &value;
      } else if (const auto angle = bare_angle(value)) {
        angle_rad = *angle;
        piece.key_spans.emplace("angle", value.span);
      } else {
        read_elbow_word(piece, value);
        if (piece.type.empty()) {
          heading_lost_ = true;
          heading_.reset();
          return;
        }
      }
    } else {
      yaml::MapReader map(value, "elbow", problems_);
      read_common(map, piece);
      turn = map.get("turn");
      angle_rad = quantity(map, piece, "angle", Dimension::angle, kAngle);
      if (map.get("angle") != nullptr && !angle_rad) {
        return;
      }
      if (const yaml::Node* node = map.get("plane")) {
        if (const auto choice = yaml::read_choice(*node, {"width", "height"}, "plane", problems_)) {
          plane = *choice == 0 ? "width" : "height";
        }
      }
      read_legs(map, piece);
      map.finish();
    }
    settle_turn(piece, turn, angle_rad);
    settle_plane(piece, plane);
  }

  /// `45 deg`, or `90`: a number alone can only be the angle of its turn in degrees. Nothing where
  /// it is no number, or an angle that no elbow has.
  [[nodiscard]] std::optional<double> bare_angle(const yaml::Node& value) const {
    yaml::Problems unsaid(problems_.source());
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

  void read_elbow_word(Piece& piece, const yaml::Node& value) {
    const auto types = reading_.catalogue.types(fitting::Kind::elbow);
    const std::string text = base::canonical_word(value.text);
    if (std::find(types.begin(), types.end(), text) != types.end()) {
      piece.type = text;
      return;
    }
    std::vector<std::string> words = direction_words();
    words.insert(words.end(), types.begin(), types.end());
    auto& d = problems_.error(
        value.span,
        "unknown-direction",
        fmt::format("`{}` is neither a direction nor a type of elbow", base::escaped(value.text)));
    d.label = "expected up, down, left, right, back or front, or a type";
    const auto near = base::nearest(text, words);
    if (const auto likely = near ? near : by_shared_words(text, PieceKind::elbow, types)) {
      d.help = fmt::format("did you mean `{}`?", *likely);
    }
  }

  void read_legs(yaml::MapReader& map, Piece& piece) {
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
        problems_.error(
            node->span, "wrong-count", "`legs` holds one length, or two: before and after");
        return;
      }
      for (std::size_t i = 0; i < 2; ++i) {
        piece.legs_m[i] =
            read_within(node->items[i], Dimension::length, range, problems_).value_or(0.0);
      }
    } else {
      const double leg = read_within(*node, Dimension::length, range, problems_).value_or(0.0);
      piece.legs_m = {leg, leg};
    }
    piece.key_spans.emplace("legs", node->span);
  }

  void settle_turn(Piece& piece, const yaml::Node* turn, std::optional<double> angle_rad) {
    if (turn == nullptr) {
      piece.angle_rad = angle_rad.value_or(std::numbers::pi / 2.0);
      if (!angle_rad && !piece.coefficient && !piece.equivalent_length_m) {
        reading_.take_default("elbow.angle", "90 deg");
      }
      if (heading_) {
        reading_.layout.remarks.push_back({fmt::format(
            "the elbow on line {} states no `turn`: headings are not known from there on",
            piece.span.line)});
      }
      heading_.reset();
      return;
    }
    piece.key_spans.emplace("turn", turn->span);
    const auto text = yaml::read_text(*turn, problems_);
    if (!text) {
      return;
    }
    const auto toward = direction_of(*text);
    if (!toward) {
      auto& d = problems_.error(turn->span,
                                "unknown-direction",
                                fmt::format("`{}` is no direction", base::escaped(*text)));
      d.label = "expected up, down, left, right, back or front, or two joined such as up-back";
      if (const auto near = base::nearest(*text, direction_words())) {
        d.help = fmt::format("did you mean `{}`?", *near);
      }
      heading_lost_ = true;
      heading_.reset();
      return;
    }
    if (!heading_) {
      piece.angle_rad = angle_rad.value_or(std::numbers::pi / 2.0);
      if (!angle_rad && !piece.coefficient && !piece.equivalent_length_m && !heading_lost_) {
        heading_lost_ = true;
        problems_.error(turn->span, "turn-without-heading", "there is no heading to turn from")
            .help = run_.heading
                        ? "an elbow before this one states no `turn`; add it, or state `angle` here"
                        : "give the run a `heading`, such as `heading: up`, or state `angle`";
      }
      return;
    }
    turn_toward(piece, *turn, *text, {*heading_, *toward, angle_rad.value_or(-1.0)});
  }

  void turn_toward(Piece& piece,
                   const yaml::Node& node,
                   const std::string& text,
                   const Turn& turn) {
    const double left = angle_between(turn.from, turn.to);
    if (left < 1e-6) {
      problems_
          .error(node.span,
                 "no-turn",
                 fmt::format("the duct heads {} already", base::canonical_word(text)))
          .help = "an elbow changes the heading; for a straight length write `straight`";
      return;
    }
    if (left > std::numbers::pi - 1e-6) {
      problems_
          .error(node.span,
                 "reversing-turn",
                 fmt::format("turning {} from here reverses the duct", base::canonical_word(text)))
          .help = "a return takes two elbows; turn to a side first";
      heading_ = turn.to;
      piece.angle_rad = std::numbers::pi / 2.0;
      return;
    }
    if (turn.angle_rad > left + 1e-9) {
      auto& d = problems_.error(piece.key_spans.at("angle"),
                                "turns-too-far",
                                fmt::format("only {:.4g} deg are left to turn {}",
                                            left / units::kRadPerDegree,
                                            base::canonical_word(text)));
      d.help = fmt::format("leave `angle` out, or state {:.4g} deg or less",
                           left / units::kRadPerDegree);
      heading_ = turn.to;
      piece.angle_rad = left;
      return;
    }
    const double angle = turn.angle_rad > 0.0 ? turn.angle_rad : left;
    piece.angle_rad = angle;
    const bool all_the_way = angle > left - 1e-9;
    const Direction to = all_the_way ? turn.to : turned({turn.from, turn.to, angle});
    settle_sides(piece, {.from = turn.from, .toward = turn.to, .to = to});
    heading_ = to;
  }

  /// Headings before a turn, of the plane it turns in, and after it.
  struct Headings {
    Direction from;
    Direction toward;
    Direction to;
  };
  /// Which side lies in the plane of the turn, and how the section lies afterwards.
  void settle_sides(Piece& piece, const Headings& turn) {
    if (!width_) {
      return;
    }
    const Direction axis = normalised(cross(turn.from, turn.toward));
    const double along_axis = std::abs(dot(*width_, axis));
    const bool width_in_plane = along_axis < 0.70710678;
    set_sides(piece, width_in_plane);
    if (along_axis > 0.05 && along_axis < 0.9987 && section_.shape() != duct::Shape::round) {
      reading_.layout.remarks.push_back({fmt::format(
          "the elbow on line {} turns across a corner of the section; its {} is taken as "
          "the side in the plane of the turn",
          piece.span.line,
          width_in_plane ? "width" : "height")});
    }
    width_ = carried_round(*width_, {turn.from, turn.to});
  }

  void set_sides(Piece& piece, const bool width_in_plane) const {
    piece.in_plane_m = width_in_plane ? section_.width_m() : section_.height_m();
    piece.across_m = width_in_plane ? section_.height_m() : section_.width_m();
  }

  void settle_plane(Piece& piece, const std::string& plane) {
    if (!plane.empty()) {
      set_sides(piece, plane == "width");
      return;
    }
    if (piece.in_plane_m > 0.0) {
      return;
    }
    set_sides(piece, true);
    if (section_.shape() == duct::Shape::round || piece.coefficient || piece.equivalent_length_m ||
        heading_lost_) {
      return;
    }
    problems_
        .error(piece.span,
               "missing-key",
               "without headings this elbow does not say which side lies in the plane of its turn")
        .help =
        "add `plane: width` or `plane: height`, or give the run a `heading` and the elbow a `turn`";
  }

  void read_transition(Piece& piece, const yaml::Node& value) {
    if (value.kind == yaml::NodeKind::scalar) {
      if (const auto to = read_section(value, problems_)) {
        piece.downstream = *to;
        piece.key_spans.emplace("to", value.span);
      }
    } else {
      yaml::MapReader map(value, "transition", problems_);
      if (const yaml::Node* to = map.require("to", "6 in round")) {
        piece.key_spans.emplace("to", to->span);
        if (const auto section = read_section(*to, problems_)) {
          piece.downstream = *section;
        }
      }
      piece.length_m = quantity(map, piece, "length", Dimension::length, kLength);
      if (piece.length_m) {
        piece.parameters.emplace("length", *piece.length_m);
      }
      read_common(map, piece);
      map.finish();
      require_reference(piece);
    }
    if (piece.key_spans.count("to") > 0 && piece.downstream == piece.upstream &&
        !problems_.has_error()) {
      problems_
          .error(piece.key_spans.at("to"),
                 "transition-to-same-section",
                 fmt::format("the duct is {} already", duct::to_text(piece.upstream)))
          .help = "take the transition out, or state the section it leads to";
    }
    settle_width();
  }

  /// Dampers, caps, screens, filters, entries.
  void read_fitting(Piece& piece, const yaml::Node& value) {
    if (value.kind == yaml::NodeKind::scalar) {
      read_type(value, piece);
      settle_cap_type(piece);
      return;
    }
    yaml::MapReader map(value, word(piece.kind), problems_);
    if (piece.kind == PieceKind::cap && map.is_mapping() && value.find("type") == nullptr) {
      settle_cap_type(piece);
    }
    read_common(map, piece);
    if (piece.kind == PieceKind::damper || piece.kind == PieceKind::cap) {
      piece.opening_pressure_pa = quantity(
          map, piece, "opening_pressure", Dimension::pressure, {0.0, 500.0, "0 Pa to 500 Pa"});
    }
    if (piece.kind == PieceKind::cap) {
      piece.wind_coefficient =
          quantity(map, piece, "wind_coefficient", Dimension::number, {-3.0, 3.0, "-3 to 3"});
    }
    if (piece.kind == PieceKind::filter) {
      read_filter_drop(map, piece);
    }
    map.finish();
    settle_cap_type(piece);
  }

  /// A cap without a type: by where the duct heads.
  void settle_cap_type(Piece& piece) {
    if (piece.kind != PieceKind::cap || !piece.type.empty() || type_failed_) {
      return;
    }
    piece.type = default_cap(reading_.catalogue, section_, heading_);
    reading_.take_default("cap.type", piece.type);
  }

  void read_filter_drop(yaml::MapReader& map, Piece& piece) {
    const yaml::Node* pressure = map.get("pressure");
    const yaml::Node* at = map.get("at");
    const yaml::Node* law = map.get("law");
    if (pressure == nullptr && at == nullptr) {
      if (law != nullptr) {
        problems_
            .error(law->span, "missing-key", "`law` belongs to a stated drop, and none is stated")
            .help = "add `pressure: 0.1 inH2O, at: 300 cfm`";
      }
      return;
    }
    if (!read_drops(map, piece, pressure, at)) {
      return;
    }
    if (piece.drops.size() == 1) {
      if (law == nullptr) {
        problems_
            .error(piece.span, "missing-key", "one drop does not say how it follows the airflow")
            .help = "add `law: square` or `law: linear`, or a second point";
        return;
      }
      if (const auto choice = yaml::read_choice(*law, kFilterLawWords, "law", problems_)) {
        piece.law = *choice;
      }
    } else if (piece.drops.size() > 2) {
      problems_.error(
          piece.span, "wrong-count", "a filter's drop is stated at one or two airflows");
    } else if ((piece.drops[1].pressure_pa - piece.drops[0].pressure_pa) *
                   (piece.drops[1].airflow_m3_s - piece.drops[0].airflow_m3_s) <=
               0.0) {
      problems_.error(
          piece.span, "contradicting-drops", "the drop of a filter must grow with airflow");
    }
  }

  bool read_drops(yaml::MapReader& map,
                  Piece& piece,
                  const yaml::Node* pressure,
                  const yaml::Node* at) {
    if (pressure == nullptr || at == nullptr) {
      (void)map.require(pressure == nullptr ? "pressure" : "at",
                        pressure == nullptr ? "0.05 inH2O" : "400 cfm");
      return false;
    }
    const auto p = yaml::read_column(*pressure, Dimension::pressure, problems_);
    const auto q = yaml::read_column(*at, Dimension::airflow, problems_);
    if (!p || !q) {
      return false;
    }
    if (p->size() != q->size()) {
      problems_.error(at->span,
                      "unequal-columns",
                      fmt::format("{} pressures, but {} airflows", p->size(), q->size()));
      return false;
    }
    for (std::size_t i = 0; i < p->size(); ++i) {
      if (!((*p)[i] >= 0.0 && (*p)[i] <= 20000.0)) {
        problems_.error(pressure->span, "out-of-range", "`pressure` is out of range").label =
            "expected 0 inH2O to 80 inH2O";
        return false;
      }
      if (!((*q)[i] > 0.0 && (*q)[i] <= 100.0)) {
        problems_.error(at->span, "out-of-range", "`at` is out of range").label =
            "expected more than 0 cfm";
        return false;
      }
      piece.drops.push_back({(*p)[i], (*q)[i]});
    }
    return true;
  }

  void read_loss(Piece& piece, const yaml::Node& value) {
    if (value.kind == yaml::NodeKind::scalar) {
      read_coefficient(value, piece);
      return;
    }
    yaml::MapReader map(value, "loss", problems_);
    const yaml::Node* coefficient = map.get("coefficient");
    const yaml::Node* pressure = map.get("pressure");
    const yaml::Node* at = map.get("at");
    if (coefficient != nullptr) {
      read_coefficient(*coefficient, piece);
      if (pressure != nullptr) {
        problems_
            .error(pressure->span,
                   "two-losses",
                   "this loss states both a `coefficient` and a `pressure`")
            .help = "keep one, or write two pieces";
      }
    } else if (pressure == nullptr && at == nullptr) {
      problems_
          .error(piece.span, "missing-key", "this loss states neither `coefficient` nor `pressure`")
          .help =
          "such as `- loss: {coefficient: 0.35}` or `- loss: {pressure: 0.05 inH2O, at: 400 cfm}`";
    } else if (read_drops(map, piece, pressure, at) && piece.drops.size() != 1) {
      problems_.error(at->span, "wrong-count", "a loss states one pressure at one airflow");
    }
    if (const auto error = map.text("error"); error && piece.coefficient) {
      piece.coefficient->error_name = *error;
    }
    map.allow("at");
    read_note(map, piece);
    map.finish();
  }

  void read_fan_piece(Piece& piece, const yaml::Node& value) {
    if (value.kind == yaml::NodeKind::mapping) {
      yaml::MapReader map(value, "fan", problems_);
      read_note(map, piece);
      map.finish();
    } else if (value.kind == yaml::NodeKind::scalar) {
      piece.note = value.text;
    }
    if (run_.fan_piece) {
      auto& d = problems_.error(piece.span, "second-fan", "the run holds a second fan");
      d.others.push_back({run_.pieces[*run_.fan_piece].span, "the first"});
      d.help = "identical blowers behind one collar are `count` under `fan`";
      return;
    }
    run_.fan_piece = run_.pieces.size();
    if (!reading_.layout.fan) {
      problems_
          .error(piece.span,
                 "fan-without-description",
                 "the run holds a fan, but the layout has no `fan` that describes it")
          .help = "add `fan:` with its speeds";
    }
  }

  // --- the whole -----------------------------------------------------------------------------

  void check_order() {
    const auto& pieces = run_.pieces;
    for (std::size_t i = 0; i + 1 < pieces.size(); ++i) {
      if (pieces[i].kind == PieceKind::cap && run_.discharge == Discharge::outdoors) {
        auto& d =
            problems_.error(pieces[i + 1].span,
                            "piece-after-the-cap",
                            fmt::format("`{}` stands after the cap", word(pieces[i + 1].kind)));
        d.others.push_back({pieces[i].span, "the cap ends the run"});
        if (i == 0) {
          d.help =
              "pieces go with the airflow: where air is drawn in from outdoors the run begins with "
              "an `entry`, such as `entry: louver`, and its `cap` is the last piece";
        }
        return;
      }
    }
  }

  /// `measured: to-centres`: what the elbows at both ends take off the cut length.
  void subtract_legs() {
    for (const std::size_t index : to_centres_) {
      Piece& piece = run_.pieces[index];
      if (!piece.length_m) {
        continue;
      }
      double off_m = 0.0;
      if (index > 0) {
        off_m += leg_of(run_.pieces[index - 1], 1);
      }
      if (index + 1 < run_.pieces.size()) {
        off_m += leg_of(run_.pieces[index + 1], 0);
      }
      if (off_m >= *piece.length_m) {
        problems_
            .error(
                piece.key_spans.at("measured"),
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

  /// A leg that geometry gives is kept, so that the rise counts what the straight lost.
  double leg_of(Piece& piece, std::size_t side) const {
    if (piece.kind != PieceKind::elbow) {
      return 0.0;
    }
    if (piece.key_spans.count("legs") > 0) {
      return piece.legs_m[side];
    }
    piece.legs_m[side] = nominal_leg_m(piece, reading_.catalogue);
    return piece.legs_m[side];
  }

  /// A stated section lies as the layout format says; afterwards the duct carries it along.
  void settle_width() {
    width_ = heading_ ? std::optional<Direction>(width_axis(*heading_)) : std::nullopt;
  }

  Reading& reading_;
  yaml::Problems& problems_;
  Run& run_;
  duct::Section section_;
  std::string material_;
  double roughness_m_;
  std::optional<Direction> heading_;
  bool heading_lost_;               ///< a fault took the heading: no more is said of it
  std::optional<Direction> width_;  ///< where the section's width lies
  std::vector<std::size_t> to_centres_;
  bool type_failed_ = false;
};

}  // namespace

void read_pieces(const yaml::Node& pieces, Reading& reading) {
  if (pieces.kind != yaml::NodeKind::sequence) {
    reading.problems.error(pieces.span, "wrong-kind", "`pieces` must be a list").help =
        "start each piece with a dash, such as `- straight: 4 ft`";
    return;
  }
  if (pieces.items.empty()) {
    reading.problems.error(pieces.span, "no-pieces", "the run has no pieces").help =
        "such as `- straight: 4 ft`";
    return;
  }
  PieceReader reader(reading);
  for (const yaml::Node& item : pieces.items) {
    reader.read_one(item);
  }
  reader.finish();
}

}  // namespace ductledger::layout
