#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
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

Dimension plain(Dimension dimension) {
  return dimension == Dimension::ratio ? Dimension::number : dimension;
}

bool read_axis_nodes(const Node& node, Axis& axis, Scope& scope) {
  if (node.kind != NodeKind::sequence || node.items.empty()) {
    scope.fault(node.span,
                "wrong-kind",
                "expected the nodes of the axis, a list of numbers",
                "write `[0.5, 1.0]`");
    return false;
  }
  for (const Node& item : node.items) {
    std::array<double, 2> at{};
    if (item.kind == NodeKind::sequence) {
      const auto pair = read_pair(item, Dimension::number, scope.problems);
      if (!pair) {
        return false;
      }
      at = *pair;
    } else {
      const auto number = read_number(item, scope.problems);
      if (!number) {
        return false;
      }
      at = {*number, *number};
    }
    if (!axis.at.empty() && at[0] <= axis.at.back()[1]) {
      scope.fault(
          item.span,
          "not-ascending",
          fmt::format(
              "axis `{}` does not ascend: {} after {}", axis.name, at[0], axis.at.back()[1]),
          "not above the one before");
      return false;
    }
    axis.at.push_back(at);
  }
  return true;
}

/// The unit's name and scale; a fault where it is unknown.
std::optional<AxisUnit> read_axis_unit(const Node& node, Axis& axis, Scope& scope) {
  axis.unit = yaml::read_text(node, scope.problems).value_or("");
  const std::optional<AxisUnit> unit = axis_unit(axis.unit);
  if (unit) {
    axis.si_per_unit = unit->si;
    return unit;
  }
  auto& fault =
      scope.problems.error(node.span,
                           "unknown-unit",
                           fmt::format("`{}` is not a unit of an axis", base::escaped(axis.unit)));
  fault.label = "not known";
  fault.help = fmt::format("one of {}", axis_unit_names());
  return std::nullopt;
}

/// Whether the unit is one of what the axis is along.
bool fits_variable(const Axis& axis, Dimension of_unit, const base::Span& span, Scope& scope) {
  const auto dimension = scope.variable(axis.name);
  if (!dimension || plain(*dimension) == plain(of_unit)) {
    return true;
  }
  scope.fault(span,
              "wrong-unit",
              fmt::format("`{}` is {}, `{}` is not a unit of it",
                          axis.name,
                          units::name_of(plain(*dimension)),
                          axis.unit),
              "wrong kind of unit");
  return false;
}

std::optional<Axis> read_axis(const Node& node, Role role, Scope& scope) {
  MapReader map(node, "axis", scope.problems);
  if (!map.is_mapping()) {
    return std::nullopt;
  }
  Axis axis;
  const Node* name = map.require("name", "radius_ratio");
  const Node* unit = map.require("unit", "\"-\"");
  const Node* at = map.require("at", "[0.5, 1.0]");
  const Node* zero = map.get("zero_at");
  axis.nominal_band = map.quantity("nominal_band", Dimension::ratio).value_or(0.0);
  map.finish();
  if (name == nullptr || unit == nullptr || at == nullptr) {
    return std::nullopt;
  }
  axis.name = yaml::read_text(*name, scope.problems).value_or("");
  const std::optional<AxisUnit> known = read_axis_unit(*unit, axis, scope);
  bool good = known.has_value();
  // A companion is never read by a piece, so its axes may be anything.
  if (known && role != Role::companion) {
    scope.check_variable(name->span, axis.name);
    good = fits_variable(axis, known->dimension, unit->span, scope);
  }
  if (!read_axis_nodes(*at, axis, scope)) {
    return std::nullopt;
  }
  if (zero != nullptr) {
    axis.zero_at = read_number(*zero, scope.problems);
    if (axis.zero_at && *axis.zero_at >= axis.at.front()[0] && *axis.zero_at <= axis.at.back()[1]) {
      scope.fault(zero->span,
                  "not-ascending",
                  "`zero_at` must lie before or after the nodes",
                  "inside the printed nodes");
      return std::nullopt;
    }
  }
  if (!good) {
    return std::nullopt;
  }
  return axis;
}

bool flatten(const Node& node, std::size_t depth, PrintedTable& table, Scope& scope) {
  if (depth == table.axes.size()) {
    const auto number = read_number(node, scope.problems);
    if (number) {
      table.values.push_back(*number);
    }
    return number.has_value();
  }
  const Axis& axis = table.axes[depth];
  if (node.kind != NodeKind::sequence) {
    scope.fault(node.span,
                "wrong-kind",
                fmt::format("expected a list of {} values along `{}`", axis.at.size(), axis.name),
                "not a list");
    return false;
  }
  if (node.items.size() != axis.at.size()) {
    scope.fault(node.span,
                "wrong-count",
                fmt::format("axis `{}` has {} nodes, this list has {} values",
                            axis.name,
                            axis.at.size(),
                            node.items.size()),
                fmt::format("expected {} values", axis.at.size()));
    return false;
  }
  bool good = true;
  for (const Node& item : node.items) {
    good = flatten(item, depth + 1, table, scope) && good;
  }
  return good;
}

/// A node of an axis as interpolated; without a printed one the value is zero there.
struct LaidNode {
  double at;
  std::optional<std::size_t> printed;
};

/// A printed node holds over its nominal band, so it may become two.
std::vector<LaidNode> laid_axis(const Axis& axis) {
  std::vector<LaidNode> laid;
  if (axis.zero_at && *axis.zero_at < axis.at.front()[0]) {
    laid.push_back({*axis.zero_at, std::nullopt});
  }
  for (std::size_t n = 0; n < axis.at.size(); ++n) {
    const double low = axis.at[n][0] * (1.0 - axis.nominal_band);
    const double high = axis.at[n][1] * (1.0 + axis.nominal_band);
    laid.push_back({low, n});
    if (high > low) {
      laid.push_back({high, n});
    }
  }
  if (axis.zero_at && *axis.zero_at > axis.at.back()[1]) {
    laid.push_back({*axis.zero_at, std::nullopt});
  }
  return laid;
}

/// The values at all laid nodes, the last axis running fastest.
std::vector<double> laid_values(const PrintedTable& table,
                                const std::vector<std::vector<LaidNode>>& laid) {
  std::size_t size = 1;
  for (const std::vector<LaidNode>& axis : laid) {
    size *= axis.size();
  }
  std::vector<double> values(size);
  for (std::size_t flat = 0; flat < size; ++flat) {
    std::size_t rest = flat;
    std::size_t printed = 0;
    std::size_t stride = 1;
    bool zero = false;
    for (std::size_t i = laid.size(); i-- > 0;) {
      const LaidNode& node = laid[i][rest % laid[i].size()];
      rest /= laid[i].size();
      zero = zero || !node.printed;
      printed += node.printed.value_or(0) * stride;
      stride *= table.axes[i].at.size();
    }
    values[flat] = zero ? 0.0 : table.values[printed];
  }
  return values;
}

}  // namespace

bool lay_out(PrintedTable& table, const base::Span& span, Scope& scope) {
  std::vector<std::vector<LaidNode>> laid;
  std::vector<std::vector<double>> axes;
  for (const Axis& axis : table.axes) {
    laid.push_back(laid_axis(axis));
    std::vector<double>& places = axes.emplace_back();
    std::ranges::transform(laid.back(), std::back_inserter(places), &LaidNode::at);
  }
  std::vector<double> values = laid_values(table, laid);
  if (table.scale == Scale::logarithmic) {
    for (double& v : values) {
      if (v <= 0.0) {
        scope.fault(span,
                    "not-positive",
                    "a logarithmic table needs values above zero",
                    "holds a value of zero or less");
        return false;
      }
      v = std::log(v);
    }
  }
  auto made = numeric::Table::from(std::move(axes), std::move(values));
  if (auto* ready = std::get_if<numeric::Table>(&made)) {
    table.ready = std::move(*ready);
    return true;
  }
  scope.fault(span,
              "not-ascending",
              "the nodes of an axis overlap or are too many",
              "one to three ascending axes");
  return false;
}

std::optional<PrintedTable> read_table(MapReader& map, Role role, Scope& scope) {
  const Node* value = map.get("value");
  const Node* axes = map.get("axes");
  const Node* values = map.get("values");
  const Node* scale = map.get("scale");
  PrintedTable table;
  if (scale != nullptr) {
    table.scale =
        yaml::read_choice(*scale, kScaleWords, "scale", scope.problems).value_or(Scale::linear);
  }
  if (value != nullptr) {
    if (axes != nullptr || values != nullptr) {
      scope.fault(value->span,
                  "conflicting-keys",
                  "`value` stands beside `axes` or `values`",
                  "a constant has no axes");
      return std::nullopt;
    }
    if (const auto number = read_number(*value, scope.problems)) {
      table.values.push_back(*number);
      return table;
    }
    return std::nullopt;
  }
  if (axes == nullptr && values == nullptr) {
    return std::nullopt;
  }
  if (axes == nullptr || values == nullptr) {
    const Node* present = axes != nullptr ? axes : values;
    scope.fault(present->span,
                "missing-key",
                axes != nullptr ? "`axes` without `values`" : "`values` without `axes`",
                "a table has both");
    return std::nullopt;
  }
  if (axes->kind != NodeKind::sequence || axes->items.empty() ||
      axes->items.size() > numeric::Table::kMaxAxes) {
    scope.fault(axes->span,
                "wrong-count",
                "expected a list of one to three axes",
                "write `- {name: radius_ratio, unit: \"-\", at: [0.5, 1.0]}`");
    return std::nullopt;
  }
  for (const Node& item : axes->items) {
    auto a = read_axis(item, role, scope);
    if (a) {
      table.axes.push_back(std::move(*a));
    }
  }
  if (table.axes.size() != axes->items.size() || !flatten(*values, 0, table, scope)) {
    return std::nullopt;
  }
  if (!lay_out(table, values->span, scope)) {
    return std::nullopt;
  }
  return table;
}

}  // namespace ductledger::fitting
