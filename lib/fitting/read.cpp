#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "fitting/read_scope_internal.hpp"
#include "units/quantity.hpp"

namespace ductledger::fitting {
namespace {

using units::Dimension;
using yaml::MapReader;
using yaml::Node;
using yaml::NodeKind;

const std::vector<std::string> kShapes{"round", "rectangular", "flat-oval", "any"};
const std::vector<std::string> kDimensions{"number", "ratio", "length", "area", "angle"};
constexpr std::array<Dimension, 5> kDimensionValues{
    Dimension::number, Dimension::ratio, Dimension::length, Dimension::area, Dimension::angle};

std::vector<std::string> read_texts(const Node* node, Scope& scope) {
  std::vector<std::string> list;
  if (node == nullptr) {
    return list;
  }
  if (node->kind != NodeKind::sequence) {
    scope.fault(node->span, "wrong-kind", "expected a list of texts", "write `- text` lines");
    return list;
  }
  for (const Node& item : node->items) {
    if (auto text = yaml::read_text(item, scope.problems)) {
      list.push_back(std::move(*text));
    }
  }
  return list;
}

ShapeSet read_shape_set(const Node& node, Scope& scope) {
  ShapeSet set;
  const auto add = [&](const Node& item) {
    if (const auto choice = yaml::read_choice(item, kShapes, "shape", scope.problems)) {
      set.round = set.round || *choice == 0 || *choice == 3;
      set.rectangular = set.rectangular || *choice == 1 || *choice == 3;
      set.flat_oval = set.flat_oval || *choice == 2 || *choice == 3;
    }
  };
  if (node.kind == NodeKind::sequence) {
    for (const Node& item : node.items) {
      add(item);
    }
  } else {
    add(node);
  }
  return set;
}

std::vector<std::array<ShapeSet, 2>> read_shapes(MapReader& map, Kind kind, Scope& scope) {
  std::vector<std::array<ShapeSet, 2>> list;
  if (kind == Kind::transition) {
    const Node* node = map.require("from_to", "[[round, rectangular]]");
    if (node == nullptr) {
      return list;
    }
    if (node->kind != NodeKind::sequence) {
      scope.fault(node->span,
                  "wrong-kind",
                  "expected a list of pairs of shapes",
                  "write `[[round, rectangular]]`");
      return list;
    }
    for (const Node& item : node->items) {
      if (item.kind != NodeKind::sequence || item.items.size() != 2) {
        scope.fault(item.span,
                    "wrong-count",
                    "expected two shapes, before and after",
                    "write `[round, rectangular]`");
        continue;
      }
      list.push_back({read_shape_set(item.items[0], scope), read_shape_set(item.items[1], scope)});
    }
    return list;
  }
  if (const Node* node = map.require("sections", "[round]")) {
    const ShapeSet set = read_shape_set(*node, scope);
    list.push_back({set, set});
  }
  return list;
}

/// What a parameter may be: the range of the figures, within what is possible at all.
struct RangeNodes {
  const Node* range;
  const Node* possible;
  const Node* default_value;
};
void read_ranges(const RangeNodes& nodes, Catalogue::Parameter& p, Scope& scope) {
  bool has_range = false;
  if (nodes.range != nullptr) {
    if (const auto pair = read_pair(*nodes.range, p.dimension, scope.problems)) {
      p.lowest = (*pair)[0];
      p.highest = (*pair)[1];
      has_range = true;
    }
  }
  if (nodes.possible != nullptr) {
    if (const auto pair = read_pair(*nodes.possible, p.dimension, scope.problems)) {
      p.least_possible = (*pair)[0];
      p.greatest_possible = (*pair)[1];
      if (has_range && (p.lowest < p.least_possible || p.highest > p.greatest_possible)) {
        scope.fault(nodes.possible->span,
                    "outside-range",
                    "`range` reaches beyond `possible`",
                    "narrower than `range`");
      }
    }
  }
  if (nodes.default_value != nullptr) {
    p.default_value = yaml::read_quantity(*nodes.default_value, p.dimension, scope.problems);
    if (has_range && p.default_value &&
        (*p.default_value < p.lowest || *p.default_value > p.highest)) {
      scope.fault(nodes.default_value->span,
                  "outside-range",
                  "the default lies outside the range",
                  "outside `range`");
    }
  }
}

std::optional<Catalogue::Parameter> read_parameter(const Node& node, Scope& scope) {
  MapReader map(node, "parameter", scope.problems);
  if (!map.is_mapping()) {
    return std::nullopt;
  }
  Catalogue::Parameter p;
  const Node* name = map.require("name", "radius_ratio");
  const Node* dimension = map.require("dimension", "number");
  const Node* default_value = map.get("default");
  const Node* range = map.require("range", "[0.5, 2.5]");
  const Node* meaning = map.require("meaning", "centreline radius over duct diameter");
  p.required = map.yes_no("required").value_or(false);
  const Node* possible = map.get("possible");
  map.finish();
  if (name != nullptr) {
    p.name = yaml::read_text(*name, scope.problems).value_or("");
  }
  if (meaning != nullptr) {
    p.meaning = yaml::read_text(*meaning, scope.problems).value_or("");
  }
  if (dimension == nullptr) {
    return std::nullopt;
  }
  const auto choice = yaml::read_choice(*dimension, kDimensions, "dimension", scope.problems);
  if (!choice) {
    return std::nullopt;
  }
  p.dimension = kDimensionValues[*choice];
  read_ranges({.range = range, .possible = possible, .default_value = default_value}, p, scope);
  if (p.name.empty()) {
    return std::nullopt;
  }
  return p;
}

void read_default_for(const Node& node, Entry& entry, Scope& scope) {
  entry.default_for = read_shape_set(node, scope);
  if (entry.kind == Kind::cap && !(entry.traits.outlet && entry.traits.outlet->only())) {
    scope.fault(node.span,
                "missing-key",
                "a cap is the default of one place: `outlet` names none, or several",
                "needs `outlet: wall`, `roof` or `soffit`");
  }
}

void read_parameters(const Node& node, Scope& scope) {
  if (node.kind != NodeKind::sequence) {
    scope.fault(node.span,
                "wrong-kind",
                "expected a list of parameters",
                "write `- {name: ..., dimension: ..., range: ..., meaning: ...}`");
    return;
  }
  for (const Node& item : node.items) {
    if (auto p = read_parameter(item, scope)) {
      scope.parameters.push_back(std::move(*p));
    }
  }
}

/// Whether the figures include friction, and over which length it is added where they do not.
FrictionLength read_friction(const Node* included, const Node* length, Entry& entry, Scope& scope) {
  if (included != nullptr) {
    entry.includes_friction = yaml::read_yes_no(*included, scope.problems).value_or(true);
    if (!entry.includes_friction && length == nullptr) {
      scope.fault(included->span,
                  "missing-key",
                  "`includes_friction: no` needs `friction_length: arc`, `cone` or `none`",
                  "what length is to be added?");
    }
  }
  if (length == nullptr || entry.includes_friction) {
    return FrictionLength::none;
  }
  const auto taken =
      yaml::read_choice(*length, kFrictionLengthWords, "friction length", scope.problems)
          .value_or(FrictionLength::none);
  if (taken == FrictionLength::arc) {
    scope.check_variable(length->span, "radius_ratio");
  }
  return taken;
}

struct UncertaintyNodes {
  const Node* all;
  const Node* flat_oval;
};
void read_uncertainties(const UncertaintyNodes& nodes, Entry& entry, Scope& scope) {
  if (nodes.all != nullptr) {
    if (auto read = read_uncertainty(*nodes.all, scope)) {
      entry.uncertainty = std::move(*read);
    }
  }
  if (nodes.flat_oval != nullptr) {
    entry.flat_oval = read_uncertainty(*nodes.flat_oval, scope);
  }
}

/// The kind with the keys that follow from it.
std::optional<Kind> read_kind(const Node* node, MapReader& map, Entry& entry, Scope& scope) {
  std::optional<Kind> kind;
  if (node != nullptr) {
    kind = yaml::read_choice(*node, kKindWords, "kind of fitting", scope.problems);
  }
  if (kind) {
    entry.kind = *kind;
    entry.from_to = read_shapes(map, entry.kind, scope);
    entry.traits = read_traits(map, entry.kind, scope.problems);
    entry.floating = read_floating_flap(map, entry.kind, scope.problems);
  } else {
    for (const char* key :
         {"sections", "from_to", "outlet", "flap", "make", "openings", "sign", "floating_flap"}) {
      map.allow(key);
    }
  }
  return kind;
}

void read_reference(const Node& node, Entry& entry, Scope& scope) {
  const auto choice = yaml::read_choice(
      node, {"upstream", "downstream", "face", "small"}, "reference", scope.problems);
  entry.small_reference = choice == 3;
  constexpr std::array kReferences{
      Reference::upstream, Reference::downstream, Reference::face, Reference::upstream};
  entry.reference = kReferences.at(choice.value_or(0));
}

std::optional<Entry> read_entry(const Node& node, Scope& scope) {
  scope.parameters.clear();
  MapReader map(node, "fitting", scope.problems);
  if (!map.is_mapping()) {
    return std::nullopt;
  }
  Entry entry;
  const Node* kind = map.require("kind", "cap");
  const Node* type = map.require("type", "wall-hood-flap");
  const Node* title = map.require("title", "Wall cap with a flap");
  const Node* use = map.require("use", "through-wall terminal of a hood duct");
  entry.variant = map.text("variant").value_or("");
  const Node* reference = map.require("reference", "upstream");
  const Node* change = map.get("change");
  const Node* default_for = map.get("default_for");
  const Node* parameters = map.get("parameters");
  const Node* friction = map.require("includes_friction", "yes");
  const Node* friction_length = map.get("friction_length");
  const Node* u = map.require("uncertainty", "{u: 0.4, basis: ...}");
  const Node* flat_oval = map.get("flat_oval");
  const Node* data = map.require("data", "[{key: ..., source: ..., status: ..., value: 2.5}]");
  entry.spread = map.text("spread").value_or("");
  entry.remarks = read_texts(map.get("remarks"), scope);
  const std::optional<Kind> known = read_kind(kind, map, entry, scope);
  map.finish();
  const auto text = [&scope](const Node* n) {
    return n == nullptr ? std::string() : yaml::read_text(*n, scope.problems).value_or("");
  };
  entry.type = base::canonical_word(text(type));
  entry.title = text(title);
  entry.use = text(use);
  if (reference != nullptr) {
    read_reference(*reference, entry, scope);
  }
  if (change != nullptr) {
    entry.change = yaml::read_choice(*change, kChangeWords, "change of area", scope.problems)
                       .value_or(Change::none);
  }
  if (default_for != nullptr) {
    read_default_for(*default_for, entry, scope);
  }
  if (parameters != nullptr) {
    read_parameters(*parameters, scope);
  }
  entry.parameters = scope.parameters;
  const FrictionLength length = read_friction(friction, friction_length, entry, scope);
  if (entry.reference == Reference::face && !entry.small_reference && reference != nullptr) {
    scope.check_variable(reference->span, "face");
  }
  read_uncertainties({.all = u, .flat_oval = flat_oval}, entry, scope);
  if (data != nullptr) {
    scope.kind = known;
    scope.reference = entry.reference;
    entry.data = read_data_sets(*data, Context::entry, length, scope);
  }
  return entry;
}

std::optional<SupportTable> read_support(const Node& node, Scope& scope) {
  scope.parameters.clear();
  scope.kind = std::nullopt;
  MapReader map(node, "table", scope.problems);
  SupportTable table;
  const Node* name = map.require("table", "elbow-angle");
  const Node* parameters = map.get("parameters");
  table.title = map.text("title").value_or("");
  table.use = map.text("use").value_or("");
  table.remarks = read_texts(map.get("remarks"), scope);
  const Node* data = map.require("data", "[{key: ..., source: ..., status: ..., value: 1}]");
  map.finish();
  if (name != nullptr) {
    table.name = yaml::read_text(*name, scope.problems).value_or("");
  }
  if (parameters != nullptr) {
    read_parameters(*parameters, scope);
  }
  if (data != nullptr) {
    table.data = read_data_sets(*data, Context::support, FrictionLength::none, scope);
  }
  return table;
}

Document read_root(const Node& root, Scope& scope) {
  Document document;
  if (root.kind != NodeKind::mapping) {
    scope.fault(root.span,
                "wrong-kind",
                "expected a fitting: a mapping of keys",
                "write `kind: cap`, `type: ...`");
    return document;
  }
  const Node* sources = root.find("sources");
  if (sources != nullptr) {
    scope.own_sources = read_sources(*sources, scope.problems);
    document.sources = scope.own_sources;
  }
  const auto read_one = [&](const Node& node) {
    const auto before = scope.problems.list().size();
    if (node.kind == NodeKind::mapping && node.find("table") != nullptr) {
      auto table = read_support(node, scope);
      if (table && scope.problems.list().size() == before) {
        document.tables.push_back(std::move(*table));
      }
      return;
    }
    auto read = read_entry(node, scope);
    if (read && scope.problems.list().size() == before) {
      document.entries.push_back(std::move(*read));
    }
  };
  const Node* list = root.find("fittings");
  if (list == nullptr) {
    if (sources != nullptr) {
      Node alone = root;
      alone.entries.erase(std::remove_if(alone.entries.begin(),
                                         alone.entries.end(),
                                         [](const yaml::Entry& e) { return e.key == "sources"; }),
                          alone.entries.end());
      if (!alone.entries.empty()) {
        alone.span = alone.entries.front().key_span;
        read_one(alone);
      }
    } else {
      read_one(root);
    }
    return document;
  }
  MapReader map(root, "catalogue", scope.problems);
  map.allow("sources");
  map.allow("fittings");
  map.allow("title");
  map.finish();
  if (list->kind != NodeKind::sequence) {
    scope.fault(list->span, "wrong-kind", "expected a list of fittings", "write `- kind: cap`");
    return document;
  }
  for (const Node& item : list->items) {
    read_one(item);
  }
  return document;
}

}  // namespace

std::vector<Source> read_sources(const Node& node, yaml::Problems& problems) {
  std::vector<Source> list;
  if (node.kind != NodeKind::mapping) {
    problems.error(node.span, "wrong-kind", "expected a mapping from key to source").label =
        "write `my-key: {title: ..., author: ..., status: seen}`";
    return list;
  }
  for (const yaml::Entry& item : node.entries) {
    MapReader map(item.value, "source", problems);
    Source source;
    source.key = item.key;
    const Node* title = map.require("title", "Handbook of Hydraulic Resistance");
    const Node* status = map.require("status", "seen");
    source.author = map.text("author").value_or("");
    source.edition = map.text("edition").value_or("");
    source.part = map.text("part").value_or("");
    source.note = map.text("note").value_or("");
    map.finish();
    if (title != nullptr) {
      source.title = yaml::read_text(*title, problems).value_or("");
    }
    if (status != nullptr) {
      source.status = yaml::read_text(*status, problems).value_or("");
    }
    list.push_back(std::move(source));
  }
  return list;
}

Document read_document(const yaml::Tree& tree, const Known& known, yaml::Problems& problems) {
  Scope scope{.known = known, .problems = problems};
  return read_root(tree.root, scope);
}

}  // namespace ductledger::fitting
