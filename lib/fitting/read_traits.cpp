#include <algorithm>

#include "fitting/read_internal.hpp"

namespace ductledger::fitting {
namespace {

using yaml::MapReader;
using yaml::Node;
using yaml::NodeKind;
using yaml::Problems;

/// The words of some values of an enum, in that order.
template <class T>
std::vector<std::string> words(const std::vector<T>& values) {
  std::vector<std::string> list;
  std::ranges::transform(values, std::back_inserter(list), [](T value) { return word(value); });
  return list;
}

template <class T>
std::optional<T> one_of(const Node* node,
                        const std::vector<T>& values,
                        std::string_view what,
                        Problems& problems) {
  if (node == nullptr) {
    return std::nullopt;
  }
  const auto choice = yaml::read_choice(*node, words(values), what, problems);
  return choice ? std::optional(values[*choice]) : std::nullopt;
}

std::optional<Outlets> outlets(const Node* node, Problems& problems) {
  if (node == nullptr) {
    return std::nullopt;
  }
  Outlets found;
  bool good = true;
  const auto add = [&](const Node& item) {
    const auto choice =
        yaml::read_choice(item, {"wall", "roof", "soffit", "any"}, "outlet", problems);
    good = good && choice.has_value();
    const std::size_t at = choice.value_or(0);
    found.wall = found.wall || at == 0 || at == 3;
    found.roof = found.roof || at == 1 || at == 3;
    found.soffit = found.soffit || at == 2 || at == 3;
  };
  if (node->kind == NodeKind::sequence) {
    std::ranges::for_each(node->items, add);
    good = good && !node->items.empty();
  } else {
    add(*node);
  }
  return good ? std::optional(found) : std::nullopt;
}

}  // namespace

Traits read_traits(MapReader& map, Kind kind, Problems& problems) {
  Traits traits;
  switch (kind) {
    case Kind::cap:
      traits.outlet = outlets(map.get("outlet"), problems);
      traits.flap = one_of(map.get("flap"),
                           std::vector{Flap::none, Flap::gravity, Flap::balanced, Flap::motor},
                           "flap of a cap",
                           problems);
      traits.openings = map.yes_no("openings");
      break;
    case Kind::damper:
      traits.flap = one_of(map.get("flap"),
                           std::vector{Flap::gravity, Flap::balanced, Flap::motor, Flap::hand},
                           "flap of a damper",
                           problems);
      break;
    case Kind::elbow:
      traits.make = one_of(map.get("make"),
                           std::vector{Make::smooth,
                                       Make::gored,
                                       Make::mitered,
                                       Make::vaned,
                                       Make::adjustable,
                                       Make::flexible},
                           "make of an elbow",
                           problems);
      break;
    case Kind::transition:
      traits.make = one_of(map.get("make"),
                           std::vector{Make::gradual, Make::abrupt},
                           "make of a transition",
                           problems);
      break;
    default:
      break;
  }
  if (const std::vector<Sign> signs = signs_of(kind); !signs.empty()) {
    traits.sign =
        one_of(map.get("sign"), signs, fmt::format("sign of a kind `{}`", word(kind)), problems);
  }
  return traits;
}

std::optional<FloatingFlap> read_floating_flap(MapReader& map, Kind kind, Problems& problems) {
  const Node* node = kind == Kind::cap || kind == Kind::damper ? map.get("floating_flap") : nullptr;
  if (node == nullptr) {
    return std::nullopt;
  }
  MapReader keys(*node, "floating_flap", problems);
  if (!keys.is_mapping()) {
    return std::nullopt;
  }
  FloatingFlap flap;
  const Node* open = keys.require("open", "0.67");
  const Node* material = keys.get("material");
  const auto mass_kg_m2 = keys.quantity("mass_per_area", units::Dimension::mass_per_area);
  keys.finish();
  if (open != nullptr) {
    flap.open_coefficient =
        yaml::read_quantity(*open, units::Dimension::number, problems).value_or(0.0);
    if (!(flap.open_coefficient > 0.0 && flap.open_coefficient <= 10.0)) {
      problems.error(open->span, "outside-range", "an open flap costs more than 0, up to 10")
          .label = "on the duct's velocity pressure";
    }
  }
  if ((material == nullptr) == !mass_kg_m2) {
    problems.error(node->span, "missing-key", "a flap's weight is stated once").label =
        "needs `material` or `mass_per_area`";
    return std::nullopt;
  }
  if (mass_kg_m2) {
    flap.mass_kg_m2 = *mass_kg_m2;
  } else if (const auto choice = yaml::read_choice(
                 *material, flap_material_names(), "material of a flap", problems)) {
    flap.mass_kg_m2 = flap_materials()[*choice].mass_kg_m2;
  }
  return flap.mass_kg_m2 > 0.0 ? std::optional(flap) : std::nullopt;
}

}  // namespace ductledger::fitting
