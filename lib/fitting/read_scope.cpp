#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "base/text.hpp"
#include "fitting/read_scope_internal.hpp"
#include "units/constants.hpp"
#include "units/unit_table.hpp"

namespace ductledger::fitting {
namespace {

using units::Dimension;
using yaml::Node;
using yaml::NodeKind;

// Units of axes beside those of the unit table.
constexpr auto kOwnUnits = std::to_array<AxisUnit>({
    {"-", 1.0, Dimension::number},
    {"1e4", 1e4, Dimension::number},
    {"1e5", 1e5, Dimension::number},
    {"%", 0.01, Dimension::number},
    // Airflow per length of hood: a companion axis only.
    {"cfm/ft", units::kM3SPerCfm / units::kMetresPerFoot, Dimension::airflow},
});

struct Variable {
  std::string_view name;
  Dimension dimension;
};

constexpr std::array<Variable, 8> kGeometric{{
    {"angle", Dimension::angle},
    {"included_angle", Dimension::angle},
    {"diameter", Dimension::length},
    {"aspect_ratio", Dimension::number},
    {"area_ratio", Dimension::number},
    {"small_over_large", Dimension::number},
    {"reynolds", Dimension::number},
    {"velocity", Dimension::velocity},
}};

}  // namespace

std::optional<AxisUnit> axis_unit(std::string_view name) {
  const auto own = std::ranges::find(kOwnUnits, name, &AxisUnit::name);
  if (own != kOwnUnits.end()) {
    return *own;
  }
  const units::Unit* unit = units::unit_named(name);
  if (unit == nullptr || unit->offset != 0.0) {
    return std::nullopt;
  }
  return AxisUnit{unit->name, unit->scale, unit->dimension};
}

std::string axis_unit_names() {
  std::vector<std::string> names;
  for (const AxisUnit& unit : kOwnUnits) {
    names.emplace_back(unit.name);
  }
  for (const units::Unit& unit : units::kUnits) {
    if (axis_unit(unit.name) && unit.dimension != Dimension::ratio) {
      names.emplace_back(unit.name);
    }
  }
  return base::joined(names);
}

base::Diagnostic& Scope::fault(const base::Span& span,
                               std::string rule,
                               std::string message,
                               std::string label) {
  auto& diagnostic = problems.error(span, std::move(rule), std::move(message));
  diagnostic.label = std::move(label);
  return diagnostic;
}

std::optional<Dimension> Scope::variable(std::string_view name) const {
  for (const auto& p : parameters) {
    if (p.name == name) {
      return p.dimension;
    }
  }
  if (const Dimension* dimension = geometric_variable(name)) {
    return *dimension;
  }
  return std::nullopt;
}

std::vector<std::string> Scope::variable_names() const {
  std::vector<std::string> names;
  for (const auto& p : parameters) {
    names.push_back(p.name);
  }
  for (const Variable& v : kGeometric) {
    names.emplace_back(v.name);
  }
  return names;
}

void Scope::check_variable(const base::Span& span, std::string_view name) {
  if (variable(name)) {
    return;
  }
  auto& fault =
      problems.error(span,
                     "unknown-variable",
                     fmt::format("`{}` is neither a parameter of this fitting nor a variable "
                                 "that follows from its geometry",
                                 name));
  fault.label = "not known here";
  const auto names = variable_names();
  if (const auto near = base::nearest(name, names)) {
    fault.help = fmt::format("did you mean `{}`?", *near);
  } else {
    fault.help = fmt::format("name it under `parameters`, or use {}", base::joined(names));
  }
}

void Scope::check_source(const Node& node, const std::string& key) {
  const auto has_key = [&key](const Source& s) { return s.key == key; };
  if (std::any_of(own_sources.begin(), own_sources.end(), has_key) || !known.sources) {
    return;
  }
  auto keys = known.sources();
  if (std::find(keys.begin(), keys.end(), key) != keys.end()) {
    return;
  }
  for (const Source& s : own_sources) {
    keys.push_back(s.key);
  }
  auto& fault = problems.error(
      node.span, "unknown-source", fmt::format("no source has the key `{}`", base::escaped(key)));
  fault.label = "not under `sources`";
  if (const auto near = base::nearest(key, keys)) {
    fault.help = fmt::format("did you mean `{}`?", *near);
  } else {
    fault.help = "add it under `sources` with title, author, edition and status";
  }
}

std::optional<double> read_number(const Node& node, yaml::Problems& problems) {
  return yaml::read_quantity(node, Dimension::number, problems);
}

std::optional<std::array<double, 2>> read_pair(const Node& node,
                                               Dimension dimension,
                                               yaml::Problems& problems) {
  if (node.kind != NodeKind::sequence || node.items.size() != 2) {
    problems.error(node.span, "wrong-count", "expected two values, lowest and highest").label =
        "write `[lowest, highest]`";
    return std::nullopt;
  }
  const auto low = yaml::read_quantity(node.items[0], dimension, problems);
  const auto high = yaml::read_quantity(node.items[1], dimension, problems);
  if (!low || !high) {
    return std::nullopt;
  }
  if (*low > *high) {
    problems.error(node.items[0].span, "not-ascending", "the lowest value is above the highest")
        .label = "lowest first";
    return std::nullopt;
  }
  return std::array<double, 2>{*low, *high};
}

const Dimension* geometric_variable(std::string_view name) {
  const auto found = std::find_if(
      kGeometric.begin(), kGeometric.end(), [&](const Variable& v) { return v.name == name; });
  return found == kGeometric.end() ? nullptr : &found->dimension;
}

}  // namespace ductledger::fitting
