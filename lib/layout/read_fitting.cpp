#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

#include "base/text.hpp"
#include "fitting/entry.hpp"
#include "fitting/floating_flap.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/read_pieces_internal.hpp"
#include "units/constants.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

/// A cap's free area where the maker gives one: the figures that go by it.
void settle_free_area(const Walk& walk, Piece& piece) {
  constexpr const char* kByFreeArea = "free-area";
  const auto kind = catalogue_kind(piece.kind);
  if (!kind || !piece.source.empty() || !piece.parameters.contains("free_area")) {
    return;
  }
  const fitting::Entry* entry =
      walk.reading.catalogue.entry(std::string(word(piece.kind)) + '/' + piece.type);
  if (entry != nullptr && std::ranges::any_of(entry->data, [&](const fitting::DataSet& set) {
        return set.key == kByFreeArea;
      })) {
    piece.source = kByFreeArea;
  }
}

/// `30 ft`, or `30 ft of 6 in round` where the maker names the size.
void read_equivalent_length(Walk& walk, yaml::MapReader& map, Piece& piece) {
  const yaml::Node* node = map.get("equivalent_length");
  if (node == nullptr) {
    return;
  }
  piece.key_spans.emplace("equivalent_length", node->span);
  const auto text = yaml::read_text(*node, walk.problems);
  if (!text) {
    return;
  }
  constexpr std::string_view kOf = " of ";
  const std::size_t of = text->find(kOf);
  yaml::Node part = *node;
  part.text = text->substr(0, of);
  piece.equivalent_length_m =
      read_within(part, Dimension::length, {0.0, 1000.0, "0 ft to 3000 ft"}, walk.problems);
  if (of != std::string::npos) {
    part.text = text->substr(of + kOf.size());
    piece.equivalent_of = read_section(part, walk.problems);
  }
}

/// A parameter; a free area also as an area, which is then a share of the duct's.
std::optional<double> read_share(Walk& walk,
                                 const yaml::Node& node,
                                 const fitting::Catalogue::Parameter& parameter) {
  if (parameter.name == "free_area" && parameter.dimension == Dimension::ratio) {
    yaml::Problems unsaid(walk.problems.source());
    const auto area_m2 = read_within(node, Dimension::area, {0.0, 100.0, "0 in2 or more"}, unsaid);
    if (area_m2 && !unsaid.has_error()) {
      const double share = *area_m2 / walk.section.area_m2();
      if (share > 1.0 + 1e-9) {
        auto& d = walk.problems.error(
            node.span, "out-of-range", "this free area is larger than the duct before it");
        d.label = units::Message{"{} has {}",
                                 {duct::message_value(walk.section),
                                  {walk.section.area_m2(), Dimension::area}}}
                      .text(duct::likely_system(walk.section));
        d.help = "then it is no free area that throttles: leave it out, or state `coefficient`";
        return std::nullopt;
      }
      return std::min(share, 1.0);
    }
  }
  return read_within(node, parameter.dimension, {0.0, 1e6, "0 or more"}, walk.problems);
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
    } else if (const auto value = read_share(walk, *node, parameter)) {
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

/// Held at the outlet, as by other fans on a shared shaft; the run may state it too.
void read_back_pressure(Walk& walk, yaml::MapReader& map, Piece& piece) {
  const auto back_pa = read_quantity(walk,
                                     map,
                                     piece,
                                     "back_pressure",
                                     Dimension::pressure,
                                     {-500.0, 500.0, "-2 inH2O to 2 inH2O"});
  if (!back_pa) {
    return;
  }
  if (walk.run.back_pressure_pa != 0.0) {
    walk.problems
        .error(piece.key_spans.at("back_pressure"),
               "conflicting-keys",
               "the back pressure at the outlet is stated by the run already")
        .help = "keep one of them";
  }
  walk.run.back_pressure_pa = *back_pa;
}

/// `flap: steel`, or `mass_per_area: 4 kg/m2`.
std::optional<double> read_flap_weight(Walk& walk, yaml::MapReader& map, Piece& piece) {
  const yaml::Node* material = map.get("flap");
  const auto mass_kg_m2 = read_quantity(walk,
                                        map,
                                        piece,
                                        "mass_per_area",
                                        Dimension::mass_per_area,
                                        {0.1, 50.0, "0.1 kg/m2 to 50 kg/m2"});
  if (!mass_kg_m2 && material == nullptr) {
    return std::nullopt;
  }
  std::optional<double> of_material;
  if (material != nullptr) {
    piece.key_spans.emplace("flap", material->span);
    if (const auto choice = yaml::read_choice(
            *material, fitting::flap_material_names(), "material of a flap", walk.problems)) {
      of_material = fitting::flap_materials()[*choice].mass_kg_m2;
    }
  }
  const char* other = piece.coefficient                   ? "coefficient"
                      : piece.equivalent_length_m         ? "equivalent_length"
                      : !piece.drops().empty()            ? "pressure"
                      : material != nullptr && mass_kg_m2 ? "flap"
                                                          : nullptr;
  if (other == nullptr) {
    return mass_kg_m2 ? mass_kg_m2 : of_material;
  }
  const bool twice = std::string_view(other) == "flap";
  walk.problems
      .error(piece.key_spans.at(mass_kg_m2 ? "mass_per_area" : "flap"),
             twice ? "conflicting-keys" : "two-losses",
             twice ? std::string("this piece states its flap's weight by `flap` and by "
                                 "`mass_per_area`")
                   : fmt::format("`{}` is the whole loss at any airflow: the flap's weight "
                                 "changes nothing",
                                 other))
      .help = "keep one of them";
  return of_material;
}

/// The type that the same word names in the other English spelling: `motorized`, `mitred`.
std::string in_the_catalogues_spelling(std::string word, const std::vector<std::string>& types) {
  constexpr std::array<std::array<std::string_view, 2>, 3> kSpellings{
      {{"iz", "is"}, {"is", "iz"}, {"tred", "tered"}}};
  if (std::ranges::find(types, word) != types.end()) {
    return word;
  }
  for (const auto& [written, kept] : kSpellings) {
    const auto at = word.rfind(written);
    if (at != std::string::npos) {
      std::string other = word;
      other.replace(at, written.size(), kept);
      if (std::ranges::find(types, other) != types.end()) {
        return other;
      }
    }
  }
  return word;
}

}  // namespace

void read_type(Walk& walk, const yaml::Node& node, Piece& piece) {
  const auto text = yaml::read_text(node, walk.problems);
  if (!text) {
    return;
  }
  const auto kind = catalogue_kind(piece.kind);
  const auto types = walk.reading.catalogue.types(*kind);
  piece.type = in_the_catalogues_spelling(base::canonical_word(*text), types);
  piece.key_spans.emplace("type", node.span);
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
  read_equivalent_length(walk, map, piece);
  if (piece.equivalent_length_m && piece.coefficient) {
    walk.problems
        .error(piece.key_spans.at("equivalent_length"),
               "two-losses",
               "this piece states both `coefficient` and `equivalent_length`")
        .help = "keep one of them";
  }
  read_note(map, piece);
  read_parameters(walk, map, piece);
  settle_free_area(walk, piece);
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
               fmt::format("the duct is {} already",
                           duct::to_text(piece.upstream, duct::likely_system(piece.upstream))))
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
    read_maker_drops(walk, map, piece, damper->drops);
    damper->flap_mass_kg_m2 = read_flap_weight(walk, map, piece);
  }
  if (auto* cap = std::get_if<Cap>(&piece.detail)) {
    cap->opening_pressure_pa = opening_pressure(walk, map, piece);
    read_maker_drops(walk, map, piece, cap->drops);
    cap->flap_mass_kg_m2 = read_flap_weight(walk, map, piece);
    cap->wind_coefficient = read_quantity(
        walk, map, piece, "wind_coefficient", Dimension::number, {-3.0, 3.0, "-3 to 3"});
  }
  if (piece.kind == PieceKind::cap) {
    read_back_pressure(walk, map, piece);
  }
  if (piece.kind == PieceKind::filter) {
    read_filter_drop(walk, map, piece);
  }
  map.finish();
  settle_type(walk, piece);
}

}  // namespace ductledger::layout
