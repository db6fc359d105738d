#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/read_pieces_internal.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

void read_type(Walk& walk, const yaml::Node& node, Piece& piece) {
  const auto text = yaml::read_text(node, walk.problems);
  if (!text) {
    return;
  }
  piece.type = base::canonical_word(*text);
  piece.key_spans.emplace("type", node.span);
  const auto kind = catalogue_kind(piece.kind);
  const auto types = walk.reading.catalogue.types(*kind);
  if (std::find(types.begin(), types.end(), piece.type) == types.end()) {
    auto& d = walk.problems.error(
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
    walk.type_failed = true;
  }
}

void read_parameters(Walk& walk, yaml::MapReader& map, Piece& piece) {
  const auto kind = catalogue_kind(piece.kind);
  if (!kind) {
    return;
  }
  std::vector<fitting::Catalogue::Parameter> parameters;
  if (!piece.type.empty()) {
    parameters = walk.reading.catalogue.parameters(*kind, piece.type);
  } else {
    // The type is not settled: any parameter of the kind may stand here.
    for (const auto& each : walk.reading.catalogue.types(*kind)) {
      const auto more = walk.reading.catalogue.parameters(*kind, each);
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
      if (const auto section = read_section(*node, walk.problems)) {
        piece.parameters.emplace(parameter.name, section->area_m2());
      }
    } else if (const auto value = read_within(
                   *node, parameter.dimension, {0.0, 1e6, "0 or more"}, walk.problems)) {
      piece.parameters.emplace(parameter.name, *value);
    }
  }
}

void require_reference(Walk& walk, const Piece& piece) {
  const bool changes = piece.upstream.area_m2() != piece.downstream.area_m2();
  if (piece.coefficient && changes && piece.key_spans.count("reference") == 0) {
    auto& d = walk.problems.error(piece.key_spans.at("coefficient"),
                                  "missing-reference",
                                  "this piece changes area, and its coefficient names no section");
    d.label = "whose velocity pressure does it multiply?";
    d.help = "add `reference: upstream` or `reference: downstream`";
  }
}

std::optional<double> opening_pressure(Walk& walk, yaml::MapReader& map, Piece& piece) {
  return read_quantity(
      walk, map, piece, "opening_pressure", Dimension::pressure, {0.0, 500.0, "0 Pa to 500 Pa"});
}

}  // namespace

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

void settle_type(Walk& walk, Piece& piece) {
  if (!piece.type.empty() || walk.type_failed || !catalogue_kind(piece.kind)) {
    return;
  }
  piece.type = default_type(piece, walk.reading.catalogue);
  if (piece.kind == PieceKind::cap) {
    walk.reading.take_default("cap.type", piece.type);
  }
}

void read_common(Walk& walk, yaml::MapReader& map, Piece& piece) {
  if (const yaml::Node* type = map.get("type")) {
    read_type(walk, *type, piece);
  }
  settle_type(walk, piece);
  piece.source = map.text("source").value_or("");
  if (const yaml::Node* coefficient = map.get("coefficient")) {
    read_coefficient(walk, *coefficient, piece);
  }
  if (const yaml::Node* reference = map.get("reference")) {
    if (const auto choice = yaml::read_choice(
            *reference, {"upstream", "downstream"}, "reference section", walk.problems)) {
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
  piece.equivalent_length_m = read_quantity(
      walk, map, piece, "equivalent_length", Dimension::length, {0.0, 1000.0, "0 ft to 3000 ft"});
  if (piece.equivalent_length_m && piece.coefficient) {
    walk.problems
        .error(piece.key_spans.at("equivalent_length"),
               "two-losses",
               "this piece states both `coefficient` and `equivalent_length`")
        .help = "keep one of them";
  }
  read_note(map, piece);
  read_parameters(walk, map, piece);
}

void read_transition(Walk& walk, Piece& piece, const yaml::Node& value) {
  if (value.kind == yaml::NodeKind::scalar) {
    if (const auto to = read_section(value, walk.problems)) {
      piece.downstream = *to;
      piece.key_spans.emplace("to", value.span);
    }
  } else {
    yaml::MapReader map(value, "transition", walk.problems);
    if (const yaml::Node* to = map.require("to", "6 in round")) {
      piece.key_spans.emplace("to", to->span);
      if (const auto section = read_section(*to, walk.problems)) {
        piece.downstream = *section;
      }
    }
    piece.length_m = read_quantity(walk, map, piece, "length", Dimension::length, kPieceLength);
    if (piece.length_m) {
      piece.parameters.emplace("length", *piece.length_m);
    }
    read_common(walk, map, piece);
    map.finish();
    require_reference(walk, piece);
  }
  if (piece.key_spans.count("to") > 0 && piece.downstream == piece.upstream &&
      !walk.problems.has_error()) {
    walk.problems
        .error(piece.key_spans.at("to"),
               "transition-to-same-section",
               fmt::format("the duct is {} already", duct::to_text(piece.upstream)))
        .help = "take the transition out, or state the section it leads to";
  }
  settle_type(walk, piece);
  walk.settle_width();
}

void read_fitting(Walk& walk, Piece& piece, const yaml::Node& value) {
  if (value.kind == yaml::NodeKind::scalar) {
    read_type(walk, value, piece);
    settle_type(walk, piece);
    return;
  }
  yaml::MapReader map(value, word(piece.kind), walk.problems);
  read_common(walk, map, piece);
  if (auto* damper = std::get_if<Damper>(&piece.detail)) {
    damper->opening_pressure_pa = opening_pressure(walk, map, piece);
  }
  if (auto* cap = std::get_if<Cap>(&piece.detail)) {
    cap->opening_pressure_pa = opening_pressure(walk, map, piece);
    cap->wind_coefficient = read_quantity(
        walk, map, piece, "wind_coefficient", Dimension::number, {-3.0, 3.0, "-3 to 3"});
  }
  if (piece.kind == PieceKind::filter) {
    read_filter_drop(walk, map, piece);
  }
  map.finish();
  settle_type(walk, piece);
}

}  // namespace ductledger::layout
