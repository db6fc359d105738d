#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "duct/section.hpp"
#include "edit/edit.hpp"
#include "engine_internal.hpp"
#include "fitting/materials.hpp"
#include "fitting/stock.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/direction.hpp"
#include "layout/places.hpp"
#include "words/fittings.hpp"
#include "words/words.hpp"

// What a person may change of a piece.
namespace ductledger::engine {
namespace {

using layout::Piece;
using layout::PieceKind;
using units::Dimension;

/// A choice with what the catalogue says of it: `C 0.22 +- 25 %`.
Json type_choice(const Piece& piece, fitting::Kind kind, const std::string& type) {
  fitting::Piece asked = layout::catalogue_query(piece);
  if (asked.type != type) {
    asked.type = type;
    asked.parameters.clear();
    asked.source.clear();
  }
  std::string note;
  const auto found = catalogue().coefficient(asked);
  if (const auto* c = std::get_if<fitting::Coefficient>(&found)) {
    note = fmt::format("C {:.2f} +- {:.0f} %", c->value, 100.0 * c->standard_uncertainty);
  } else {
    note = std::get<fitting::Catalogue::Missing>(found).message;
  }
  const std::string words = words::piece_name(fitting::word(kind), type);
  return {{"value", type},
          {"words", words},
          {"note", note},
          {"fits", std::holds_alternative<fitting::Coefficient>(found)}};
}

Json plain_choices(const std::vector<std::string>& words) {
  Json list = Json::array();
  for (const std::string& word : words) {
    std::string said = word;
    std::ranges::replace(said, '-', ' ');
    list.push_back({{"value", word}, {"words", said}, {"note", ""}, {"fits", true}});
  }
  return list;
}

class Fields {
 public:
  Fields(const Piece& piece, units::System system, bool offer)
      : piece_(piece), system_(system), offer_(offer) {}

  Json take() { return std::move(list_); }

  /// @param value as a file writes it
  void field(const char* key,
             const char* label,
             const std::string& value,
             const char* dimension,
             Json choices = nullptr) {
    Json one = {{"key", key},
                {"label", label},
                {"value", value},
                {"dimension", dimension},
                {"stated", piece_.states(key)}};
    if (!choices.is_null()) {
      one["choices"] = std::move(choices);
    }
    list_.push_back(std::move(one));
  }

  void length() {
    if (piece_.length_m) {
      field("length", "length", edit::length_value(*piece_.length_m), "length");
    }
  }
  void type() {
    const auto kind = layout::catalogue_kind(piece_.kind);
    if (!kind || piece_.kind == PieceKind::flex) {
      return;
    }
    Json choices = Json::array();
    for (const std::string& type : catalogue().types(*kind)) {
      if (!offer_ && type != piece_.type) {
        continue;
      }
      Json choice = type_choice(piece_, *kind, type);
      if (choice.at("fits").get<bool>() || type == piece_.type) {
        choices.push_back(std::move(choice));
      }
    }
    field("type", "type", piece_.type, "choice", std::move(choices));
  }
  void section(const char* key, const char* label, const duct::Section& now) {
    Json choices = Json::array();
    for (const duct::Section& size :
         fitting::stock_sizes(now.shape(), fitting::series_of(system_))) {
      const std::string value = edit::section_value(size);
      choices.push_back({{"value", value}, {"words", value}, {"note", ""}, {"fits", true}});
    }
    field(key, label, edit::section_value(now), "section", std::move(choices));
  }
  void elbow() {
    const auto& elbow = piece_.as<layout::Elbow>();
    std::string turn;
    if (piece_.heading_out) {
      for (const std::string& word : layout::direction_words()) {
        if (layout::direction_of(word) == piece_.heading_out) {
          turn = word;
        }
      }
    }
    field("turn", "turns", turn, "choice", plain_choices(layout::direction_words()));
    field("angle",
          "angle",
          fmt::format("{:g} deg", elbow.angle_rad / units::kRadPerDegree),
          "angle",
          nullptr);
    if (elbow.radius_ratio) {
      field("radius_ratio",
            "radius over diameter",
            fmt::format("{:g}", *elbow.radius_ratio),
            "number");
    }
  }
  /// What the catalogue takes of the type beside its geometry.
  void parameters() {
    const auto kind = layout::catalogue_kind(piece_.kind);
    if (!kind) {
      return;
    }
    for (const auto& parameter : catalogue().parameters(*kind, piece_.type, piece_.upstream)) {
      if (parameter.name == "radius_ratio") {
        continue;
      }
      const auto stated = piece_.parameters.find(parameter.name);
      const std::optional<double> now = stated != piece_.parameters.end()
                                            ? std::optional(stated->second)
                                            : parameter.default_value;
      std::string label = parameter.name;
      std::ranges::replace(label, '_', ' ');
      Json one = {{"key", parameter.name},
                  {"label", label},
                  {"value", now ? words::variable_text(*now, parameter.dimension, system_) : ""},
                  {"dimension", parameter.dimension == Dimension::length ? "length" : "text"},
                  {"stated", stated != piece_.parameters.end()},
                  {"meaning", parameter.meaning}};
      list_.push_back(std::move(one));
    }
  }
  void coefficient() {
    const auto& c = piece_.coefficient;
    std::string value;
    if (c) {
      value = fmt::format("{:g}", c->value);
      if (c->relative_uncertainty) {
        value += fmt::format(" +- {:g} %", 100.0 * *c->relative_uncertainty);
      }
    }
    field("coefficient", "manufacturer's coefficient", value, "number");
  }
  void place() {
    std::vector<std::string> places{""};  // not stated
    places.insert(places.end(), layout::place_words().begin(), layout::place_words().end());
    field("through", "runs through", piece_.around().through, "choice", plain_choices(places));
  }
  void material() {
    field("material",
          "material, from here on",
          piece_.material,
          "choice",
          plain_choices(fitting::material_names()));
  }

 private:
  const Piece& piece_;
  units::System system_;
  bool offer_;
  Json list_ = Json::array();
};

}  // namespace

Json piece_fields(const Piece& piece, units::System system, bool offer) {
  Fields fields(piece, system, offer);
  switch (piece.kind) {
    case PieceKind::straight:
      fields.length();
      fields.place();
      fields.material();
      break;
    case PieceKind::flex: {
      const auto& flex = piece.as<layout::Flex>();
      fields.length();
      fields.field(
          "stretched", "pulled out to", fmt::format("{:g} %", 100.0 * flex.stretched), "ratio");
      fields.field("sag", "sags by", edit::length_value(flex.sag_m), "length");
      fields.place();
      break;
    }
    case PieceKind::elbow:
      fields.type();
      fields.elbow();
      fields.parameters();
      fields.coefficient();
      break;
    case PieceKind::transition:
      fields.section("to", "to", piece.downstream);
      fields.type();
      fields.parameters();
      break;
    case PieceKind::damper:
    case PieceKind::cap:
    case PieceKind::screen:
    case PieceKind::filter:
    case PieceKind::entry:
      fields.type();
      fields.parameters();
      fields.coefficient();
      break;
    case PieceKind::loss:
      fields.coefficient();
      break;
    case PieceKind::junction:
    case PieceKind::fan:
      break;
  }
  return fields.take();
}

Json catalogue_object(const Json& request) {
  // At the section in force in the layout, where one is handed in.
  duct::Section section = duct::Section::round(units::inches(6.0));
  units::System system = system_of(request).value_or(units::System::ip);
  if (!text_of(request, "text").empty()) {
    const auto layout = layout_of(request);
    if (layout) {
      section = layout->run.first_section;
      system = system_for(request, *layout);
    }
  }
  Json kinds = Json::array();
  for (const PieceKind kind : {PieceKind::straight,
                               PieceKind::flex,
                               PieceKind::elbow,
                               PieceKind::transition,
                               PieceKind::damper,
                               PieceKind::cap,
                               PieceKind::screen,
                               PieceKind::filter,
                               PieceKind::entry,
                               PieceKind::loss}) {
    Piece piece(kind);
    piece.upstream = section;
    piece.downstream = section;
    if (auto* elbow = std::get_if<layout::Elbow>(&piece.detail)) {
      elbow->angle_rad = 90.0 * units::kRadPerDegree;
      elbow->in_plane_m = section.width_m();
      elbow->across_m = section.height_m();
    }
    Json types = Json::array();
    if (const auto of = layout::catalogue_kind(kind); of && kind != PieceKind::flex) {
      for (const std::string& type : catalogue().types(*of)) {
        types.push_back(type_choice(piece, *of, type));
      }
    }
    kinds.push_back({{"kind", layout::word(kind)}, {"types", std::move(types)}});
  }
  Json sections = Json::array();
  for (const duct::Shape shape : {duct::Shape::round, duct::Shape::rectangular}) {
    for (const duct::Section& size : fitting::stock_sizes(shape, fitting::series_of(system))) {
      sections.push_back(edit::section_value(size));
    }
  }
  return {{"kinds", std::move(kinds)},
          {"materials", fitting::material_names()},
          {"turns", layout::direction_words()},
          {"section", edit::section_value(section)},
          {"sections", std::move(sections)}};
}

}  // namespace ductledger::engine
