#include <fmt/format.h>

#include <algorithm>
#include <array>
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

FactorUse read_factor(const Node& node, Scope& scope) {
  MapReader map(node, "factor", scope.problems);
  FactorUse use;
  if (!map.is_mapping()) {
    return use;
  }
  use.table = map.text("table").value_or("");
  use.data = map.text("data").value_or("");
  const Node* law = map.get("law");
  use.over = map.quantity("over", Dimension::number).value_or(1.0);
  const Node* status = map.get("status");
  const Node* exact = map.get("exact_at");
  use.note = map.text("note").value_or("");
  map.finish();
  if (exact != nullptr) {
    for (const yaml::Entry& item : exact->entries) {
      scope.check_variable(item.key_span, item.key);
      const auto dimension = scope.variable(item.key);
      const auto at =
          yaml::read_quantity(item.value, dimension.value_or(Dimension::number), scope.problems);
      if (at) {
        use.exact_at.emplace(item.key, *at);
      }
    }
  }
  if (status != nullptr) {
    use.status =
        yaml::read_choice(*status, kStatusWords, "status", scope.problems).value_or(Status::seen);
  }
  if (law != nullptr) {
    if (const auto choice = yaml::read_choice(*law, law_names(), "law", scope.problems)) {
      use.law = law_named(law_names()[*choice]);
      for (const std::string& name : law_variables(*use.law)) {
        scope.check_variable(law->span, name);
      }
    }
  } else if (use.data.empty()) {
    scope.fault(node.span,
                "missing-key",
                "a factor names a data set or a law",
                "write `{data: key}`, `{table: name, data: key}` or `{law: name}`");
  }
  return use;
}

std::optional<ReynoldsUse> read_reynolds(const Node& node, Role role, Scope& scope) {
  MapReader map(node, "reynolds", scope.problems);
  if (!map.is_mapping()) {
    return std::nullopt;
  }
  ReynoldsUse use;
  const Node* law = map.get("law");
  const Node* source = map.require("source", "smacna4");
  const Node* status = map.require("status", "seen");
  use.location = map.text("location").value_or("");
  const Node* beyond = map.get("beyond");
  use.table = read_table(map, role, scope);
  map.finish();
  if (source != nullptr) {
    use.source = yaml::read_text(*source, scope.problems).value_or("");
    scope.check_source(*source, use.source);
  }
  if (status != nullptr) {
    use.status =
        yaml::read_choice(*status, kStatusWords, "status", scope.problems).value_or(Status::seen);
  }
  if (beyond != nullptr) {
    use.constant_beyond =
        yaml::read_choice(*beyond, {"constant"}, "word", scope.problems).has_value();
  }
  if (law != nullptr) {
    use.bend_law = yaml::read_choice(*law, {"smooth-bend"}, "law", scope.problems).has_value();
    scope.check_variable(law->span, "radius_ratio");
  }
  if (use.table) {
    const auto& axes = use.table->axes;
    const auto found =
        std::find_if(axes.begin(), axes.end(), [](const Axis& a) { return a.name == "reynolds"; });
    if (found == axes.end()) {
      scope.fault(node.span,
                  "missing-axis",
                  "a Reynolds table needs an axis `reynolds`",
                  "no axis `reynolds`");
      return std::nullopt;
    }
    if (found->at.size() > ReynoldsFactor::kMaxNodes) {
      scope.fault(node.span,
                  "too-many",
                  fmt::format("at most {} nodes along `reynolds`", ReynoldsFactor::kMaxNodes),
                  fmt::format("{} nodes", found->at.size()));
      return std::nullopt;
    }
  }
  return use;
}

}  // namespace

std::optional<Uncertainty> read_uncertainty(const Node& node, Scope& scope) {
  MapReader map(node, "uncertainty", scope.problems);
  if (!map.is_mapping()) {
    return std::nullopt;
  }
  Uncertainty u;
  const Node* relative = map.get("u");
  const Node* basis = map.require("basis", "spread of the sources");
  u.absolute = map.quantity("absolute", Dimension::number).value_or(0.0);
  const auto table_of_u = read_table(map, Role::standard, scope);
  map.finish();
  if (basis != nullptr) {
    u.basis = yaml::read_text(*basis, scope.problems).value_or("");
  }
  if (relative != nullptr) {
    const auto number = read_number(*relative, scope.problems);
    if (number && (*number <= 0.0 || *number > 2.0)) {
      scope.fault(relative->span,
                  "outside-range",
                  "one relative standard uncertainty lies above 0 and up to 2",
                  "0.15 means 15 %");
      return std::nullopt;
    }
    u.relative.values.push_back(number.value_or(0.0));
    return u;
  }
  if (!table_of_u) {
    scope.fault(node.span,
                "missing-key",
                "`uncertainty` needs `u`, or `axes` and `values`",
                "write `{u: 0.15, basis: ...}`");
    return std::nullopt;
  }
  u.relative = *table_of_u;
  return u;
}

namespace {

/// `{radius_ratio: [0.5, 3]}`
void read_valid(const Node& node, DataSet& set, Scope& scope) {
  if (node.kind != NodeKind::mapping) {
    scope.fault(node.span,
                "wrong-kind",
                "expected a mapping from variable to range",
                "write `{radius_ratio: [0.5, 3]}`");
    return;
  }
  for (const yaml::Entry& item : node.entries) {
    scope.check_variable(item.key_span, item.key);
    const auto dimension = scope.variable(item.key);
    if (!dimension) {
      continue;
    }
    if (const auto pair = read_pair(item.value, *dimension, scope.problems)) {
      set.valid.emplace(item.key, *pair);
    }
  }
}

void read_factors(const Node& node, DataSet& set, Scope& scope) {
  if (node.kind != NodeKind::sequence) {
    scope.fault(
        node.span, "wrong-kind", "expected a list of factors", "write `- {data: key}` lines");
    return;
  }
  for (const Node& item : node.items) {
    set.factors.push_back(read_factor(item, scope));
  }
}

void read_law(const Node& node, DataSet& set, Scope& scope) {
  const auto choice = yaml::read_choice(node, law_names(), "law", scope.problems);
  if (!choice) {
    return;
  }
  set.law = law_named(law_names()[*choice]);
  if (set.role == Role::companion) {
    return;
  }
  for (const std::string& name : law_variables(*set.law)) {
    scope.check_variable(node.span, name);
  }
}

/// False where another figure stands beside the readings.
bool stands_alone(const Node& node, Scope& scope) {
  for (const char* other : {"value", "axes", "values", "law", "range", "reynolds", "valid"}) {
    if (const Node* beside = node.find(other)) {
      scope.fault(beside->span,
                  "conflicting-keys",
                  fmt::format("`{}` stands beside `measured_drop`", other),
                  "the readings say it");
      return false;
    }
  }
  return true;
}

/// A set that can be charged gives a figure; any other at least a range or a rule.
void check_figure(const Node& node, const DataSet& set, Scope& scope) {
  const bool has_number = set.table || set.law || set.range;
  const bool was_given =
      std::ranges::any_of(std::array{"value", "values", "axes", "law", "range", "measured_drop"},
                          [&](const char* key) { return node.find(key) != nullptr; });
  if (!has_number && !was_given && set.rule.empty()) {
    scope.fault(node.span,
                "missing-key",
                fmt::format("data set `{}` holds no figure", base::escaped(set.key)),
                "needs `value`, `axes` and `values`, `law`, `range`, `measured_drop` or `rule`");
  }
  const bool charged = set.role == Role::standard || set.role == Role::alternative;
  if (charged && has_number && !set.table && !set.law) {
    scope.fault(node.span,
                "missing-key",
                fmt::format("data set `{}` can be chosen but gives only a range", set.key),
                "needs `value` too, or `role: companion`");
  }
}

/// What says where the figures come from and how they are taken.
void read_origin(MapReader& map, DataSet& set, Context context, Scope& scope) {
  if (const Node* key = map.require("key", "smacna4")) {
    set.key = yaml::read_text(*key, scope.problems).value_or("");
  }
  if (const Node* source = map.require("source", "smacna4")) {
    set.source = yaml::read_text(*source, scope.problems).value_or("");
    scope.check_source(*source, set.source);
  }
  if (const Node* status = map.require("status", "seen")) {
    set.status = yaml::read_choice(*status, kStatusWords, "status", scope.problems)
                     .value_or(Status::assumed);
  }
  set.role = context == Context::support ? Role::factor : Role::companion;
  if (const Node* role = map.get("role")) {
    set.role =
        yaml::read_choice(*role, kRoleWords, "role", scope.problems).value_or(Role::companion);
  }
  set.via = map.text("via").value_or("");
  set.location = map.text("location").value_or("");
  set.quantity = map.text("quantity").value_or("");
  set.note = map.text("note").value_or("");
  set.rule = map.text("rule").value_or("");
  set.formula = map.text("formula").value_or("");
}

DataSet read_data_set(const Node& node, Context context, FrictionLength friction, Scope& scope) {
  DataSet set;
  MapReader map(node, "data set", scope.problems);
  if (!map.is_mapping()) {
    return set;
  }
  read_origin(map, set, context, scope);
  const Node* law = map.get("law");
  const Node* range = map.get("range");
  const Node* factors = map.get("factors");
  const Node* reynolds = map.get("reynolds");
  const Node* valid = map.get("valid");
  const Node* u = map.get("uncertainty");
  const Node* figures = map.get("figures");
  const Node* measured = map.get("measured_drop");
  set.plus = map.quantity("plus", Dimension::number).value_or(0.0);
  set.floor_on_shape_change =
      map.quantity("floor_on_shape_change", Dimension::number).value_or(0.0);
  const bool includes_friction = map.yes_no("includes_friction").value_or(false);
  set.friction = includes_friction ? FrictionLength::none : friction;
  set.table = read_table(map, set.role, scope);
  map.finish();
  if (figures != nullptr) {
    if (const auto whole = yaml::read_whole(*figures, scope.problems)) {
      set.figures = static_cast<int>(*whole);
    }
  }
  if (law != nullptr) {
    read_law(*law, set, scope);
  }
  if (range != nullptr) {
    set.range = read_pair(*range, Dimension::number, scope.problems);
  }
  if (factors != nullptr) {
    read_factors(*factors, set, scope);
  }
  if (reynolds != nullptr) {
    set.reynolds = read_reynolds(*reynolds, set.role, scope);
  }
  if (valid != nullptr) {
    read_valid(*valid, set, scope);
  }
  if (u != nullptr) {
    set.uncertainty = read_uncertainty(*u, scope);
  }
  if (measured != nullptr) {
    if (!stands_alone(node, scope)) {
      return set;
    }
    read_measured_drop(*measured, set, scope);
  }
  check_figure(node, set, scope);
  return set;
}

/// A factor names a data set that is there.
void check_factor(const Node& node,
                  const FactorUse& use,
                  const DataSet& own,
                  const std::vector<DataSet>& sets,
                  Scope& scope) {
  const std::vector<DataSet>* among = &sets;
  std::string where = "this fitting";
  if (!use.table.empty()) {
    const SupportTable* support = scope.known.table ? scope.known.table(use.table) : nullptr;
    if (support == nullptr) {
      scope.fault(node.span,
                  "unknown-table",
                  fmt::format("no table is named `{}`", base::escaped(use.table)),
                  "a factor of this data set");
      return;
    }
    among = &support->data;
    where = fmt::format("table `{}`", use.table);
  }
  std::vector<std::string> keys;
  std::ranges::transform(*among, std::back_inserter(keys), &DataSet::key);
  const bool itself = use.table.empty() && use.data == own.key;
  if (std::ranges::find(keys, use.data) != keys.end() && !itself) {
    return;
  }
  auto& fault =
      scope.fault(node.span,
                  "unknown-data-set",
                  fmt::format("{} has no other data set `{}`", where, base::escaped(use.data)),
                  "a factor of this data set");
  if (const auto near = base::nearest(use.data, keys)) {
    fault.help = fmt::format("did you mean `{}`?", *near);
  }
}

void check_factors(const Node& node, const std::vector<DataSet>& sets, Scope& scope) {
  for (std::size_t i = 0; i < sets.size(); ++i) {
    for (const FactorUse& use : sets[i].factors) {
      if (!use.law && !use.data.empty()) {
        check_factor(node.items[i], use, sets[i], sets, scope);
      }
    }
  }
}

}  // namespace

std::vector<DataSet> read_data_sets(const Node& node,
                                    Context context,
                                    FrictionLength friction,
                                    Scope& scope) {
  std::vector<DataSet> sets;
  if (node.kind != NodeKind::sequence || node.items.empty()) {
    scope.fault(node.span,
                "wrong-kind",
                "expected a list of data sets",
                "write `- {key: ..., source: ..., status: ..., value: ...}`");
    return sets;
  }
  std::size_t standards = 0;
  for (const Node& item : node.items) {
    DataSet set = read_data_set(item, context, friction, scope);
    const auto same = [&set](const DataSet& s) { return s.key == set.key; };
    if (!set.key.empty() && std::any_of(sets.begin(), sets.end(), same)) {
      scope.fault(item.span,
                  "duplicate-data-set",
                  fmt::format("two data sets have the key `{}`", base::escaped(set.key)),
                  "this key was taken above");
    }
    if (set.role == Role::standard && ++standards == 2) {
      scope.fault(item.span,
                  "duplicate-default",
                  "two data sets are the default",
                  "one data set has `role: default`");
    }
    sets.push_back(std::move(set));
  }
  if (context == Context::entry && standards == 0) {
    scope.fault(node.span,
                "missing-default",
                "no data set is the default",
                "one data set needs `role: default`");
  }
  check_factors(node, sets, scope);
  return sets;
}

}  // namespace ductledger::fitting
