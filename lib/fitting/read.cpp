#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "base/text.hpp"
#include "duct/section_text.hpp"
#include "fitting/read_internal.hpp"
#include "units/quantity.hpp"

namespace ductledger::fitting {
namespace {

using units::Dimension;
using yaml::MapReader;
using yaml::Node;
using yaml::NodeKind;
using yaml::Problems;

struct UnitRow {
  std::string_view name;
  double si;
  Dimension dimension;
};

// Sutherland at 70 degF.
constexpr double kStandardViscosityPaS = 1.819e-5;
// Units of axes beside those of the unit table.
constexpr auto kAxisUnits = std::to_array<UnitRow>({
    {"-", 1.0, Dimension::number},
    {"1e4", 1e4, Dimension::number},
    {"1e5", 1e5, Dimension::number},
    {"%", 0.01, Dimension::number},
    // Airflow per length of hood: a companion axis only.
    {"cfm/ft", units::kM3SPerCfm / units::kMetresPerFoot, Dimension::airflow},
});

std::optional<UnitRow> axis_unit(std::string_view name) {
  const auto* own = std::ranges::find(kAxisUnits, name, &UnitRow::name);
  if (own != kAxisUnits.end()) {
    return *own;
  }
  const units::Unit* unit = units::unit_named(name);
  if (unit == nullptr || unit->offset != 0.0) {
    return std::nullopt;
  }
  return UnitRow{unit->name, unit->scale, unit->dimension};
}

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

const std::vector<std::string> kShapes{"round", "rectangular", "flat-oval", "any"};
const std::vector<std::string> kDimensions{"number", "ratio", "length", "area", "angle"};
constexpr std::array<Dimension, 5> kDimensionValues{
    Dimension::number, Dimension::ratio, Dimension::length, Dimension::area, Dimension::angle};

Dimension plain(Dimension dimension) {
  return dimension == Dimension::ratio ? Dimension::number : dimension;
}

std::optional<double> read_number(const Node& node, Problems& problems) {
  return yaml::read_quantity(node, Dimension::number, problems);
}

std::optional<std::array<double, 2>> read_pair(const Node& node,
                                               Dimension dimension,
                                               Problems& problems) {
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

std::string list_of_units() {
  std::vector<std::string> names;
  for (const UnitRow& row : kAxisUnits) {
    names.emplace_back(row.name);
  }
  for (const units::Unit& unit : units::kUnits) {
    if (axis_unit(unit.name) && unit.dimension != Dimension::ratio) {
      names.emplace_back(unit.name);
    }
  }
  return base::joined(names);
}

class EntryReader {
 public:
  EntryReader(const Known& known, Problems& problems) : known_(&known), problems_(&problems) {}

  Document document(const Node& root);

 private:
  enum class Context { entry, support };

  void check_source(const Node& node, const std::string& key);
  std::optional<Entry> entry(const Node& node);
  std::optional<SupportTable> support(const Node& node);
  std::vector<std::array<ShapeSet, 2>> shapes(MapReader& map, Kind kind);
  ShapeSet shape_set(const Node& node);
  std::optional<Catalogue::Parameter> parameter(const Node& node);
  std::vector<DataSet> data_sets(const Node& node, Context context, FrictionLength friction);
  DataSet data_set(const Node& node, Context context, FrictionLength friction);
  std::optional<PrintedTable> table(MapReader& map, Role role);
  std::optional<Axis> axis(const Node& node, Role role);
  bool axis_nodes(const Node& node, Axis& axis);
  bool flatten(const Node& node, std::size_t depth, PrintedTable& table);
  bool lay_out(PrintedTable& table, const base::Span& span);
  void measured_drop(const Node& node, DataSet& set);
  FactorUse factor(const Node& node);
  void check_factors(const Node& node, const std::vector<DataSet>& sets);
  std::optional<ReynoldsUse> reynolds(const Node& node, Role role);
  std::optional<Uncertainty> uncertainty(const Node& node);
  std::vector<std::string> texts(const Node* node);
  [[nodiscard]] std::optional<Dimension> variable(std::string_view name) const;
  void check_variable(const base::Span& span, std::string_view name);
  [[nodiscard]] std::vector<std::string> variable_names() const;

  const Known* known_;
  Problems* problems_;
  std::vector<Source> own_sources_;
  std::optional<Kind> kind_;  ///< of the fitting being read; a support table has none
  Reference reference_ = Reference::upstream;
  std::vector<Catalogue::Parameter> parameters_;
};

std::optional<Dimension> EntryReader::variable(std::string_view name) const {
  for (const auto& p : parameters_) {
    if (p.name == name) {
      return p.dimension;
    }
  }
  if (const Dimension* dimension = geometric_variable(name)) {
    return *dimension;
  }
  return std::nullopt;
}

std::vector<std::string> EntryReader::variable_names() const {
  std::vector<std::string> names;
  for (const auto& p : parameters_) {
    names.push_back(p.name);
  }
  for (const Variable& v : kGeometric) {
    names.emplace_back(v.name);
  }
  return names;
}

void EntryReader::check_variable(const base::Span& span, std::string_view name) {
  if (variable(name)) {
    return;
  }
  auto& fault =
      problems_->error(span,
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

void EntryReader::check_source(const Node& node, const std::string& key) {
  const auto has_key = [&key](const Source& s) { return s.key == key; };
  if (std::any_of(own_sources_.begin(), own_sources_.end(), has_key) || !known_->sources) {
    return;
  }
  auto keys = known_->sources();
  if (std::find(keys.begin(), keys.end(), key) != keys.end()) {
    return;
  }
  for (const Source& s : own_sources_) {
    keys.push_back(s.key);
  }
  auto& fault = problems_->error(
      node.span, "unknown-source", fmt::format("no source has the key `{}`", base::escaped(key)));
  fault.label = "not under `sources`";
  if (const auto near = base::nearest(key, keys)) {
    fault.help = fmt::format("did you mean `{}`?", *near);
  } else {
    fault.help = "add it under `sources` with title, author, edition and status";
  }
}

std::vector<std::string> EntryReader::texts(const Node* node) {
  std::vector<std::string> list;
  if (node == nullptr) {
    return list;
  }
  if (node->kind != NodeKind::sequence) {
    problems_->error(node->span, "wrong-kind", "expected a list of texts").label =
        "write `- text` lines";
    return list;
  }
  for (const Node& item : node->items) {
    if (auto text = yaml::read_text(item, *problems_)) {
      list.push_back(std::move(*text));
    }
  }
  return list;
}

ShapeSet EntryReader::shape_set(const Node& node) {
  ShapeSet set;
  const auto add = [&](const Node& item) {
    if (const auto choice = yaml::read_choice(item, kShapes, "shape", *problems_)) {
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

std::vector<std::array<ShapeSet, 2>> EntryReader::shapes(MapReader& map, Kind kind) {
  std::vector<std::array<ShapeSet, 2>> list;
  if (kind == Kind::transition) {
    const Node* node = map.require("from_to", "[[round, rectangular]]");
    if (node == nullptr) {
      return list;
    }
    if (node->kind != NodeKind::sequence) {
      problems_->error(node->span, "wrong-kind", "expected a list of pairs of shapes").label =
          "write `[[round, rectangular]]`";
      return list;
    }
    for (const Node& item : node->items) {
      if (item.kind != NodeKind::sequence || item.items.size() != 2) {
        problems_->error(item.span, "wrong-count", "expected two shapes, before and after").label =
            "write `[round, rectangular]`";
        continue;
      }
      list.push_back({shape_set(item.items[0]), shape_set(item.items[1])});
    }
    return list;
  }
  if (const Node* node = map.require("sections", "[round]")) {
    const ShapeSet set = shape_set(*node);
    list.push_back({set, set});
  }
  return list;
}

std::optional<Catalogue::Parameter> EntryReader::parameter(const Node& node) {
  MapReader map(node, "parameter", *problems_);
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
    p.name = yaml::read_text(*name, *problems_).value_or("");
  }
  if (meaning != nullptr) {
    p.meaning = yaml::read_text(*meaning, *problems_).value_or("");
  }
  if (dimension == nullptr) {
    return std::nullopt;
  }
  const auto choice = yaml::read_choice(*dimension, kDimensions, "dimension", *problems_);
  if (!choice) {
    return std::nullopt;
  }
  p.dimension = kDimensionValues[*choice];
  bool has_range = false;
  if (range != nullptr) {
    if (const auto pair = read_pair(*range, p.dimension, *problems_)) {
      p.lowest = (*pair)[0];
      p.highest = (*pair)[1];
      has_range = true;
    }
  }
  if (possible != nullptr) {
    if (const auto pair = read_pair(*possible, p.dimension, *problems_)) {
      p.least_possible = (*pair)[0];
      p.greatest_possible = (*pair)[1];
      if (has_range && (p.lowest < p.least_possible || p.highest > p.greatest_possible)) {
        problems_->error(possible->span, "outside-range", "`range` reaches beyond `possible`")
            .label = "narrower than `range`";
      }
    }
  }
  if (default_value != nullptr) {
    p.default_value = yaml::read_quantity(*default_value, p.dimension, *problems_);
    if (has_range && p.default_value &&
        (*p.default_value < p.lowest || *p.default_value > p.highest)) {
      problems_->error(default_value->span, "outside-range", "the default lies outside the range")
          .label = "outside `range`";
    }
  }
  if (p.name.empty()) {
    return std::nullopt;
  }
  return p;
}

bool EntryReader::axis_nodes(const Node& node, Axis& axis) {
  if (node.kind != NodeKind::sequence || node.items.empty()) {
    problems_->error(node.span, "wrong-kind", "expected the nodes of the axis, a list of numbers")
        .label = "write `[0.5, 1.0]`";
    return false;
  }
  for (const Node& item : node.items) {
    std::array<double, 2> at{};
    if (item.kind == NodeKind::sequence) {
      const auto pair = read_pair(item, Dimension::number, *problems_);
      if (!pair) {
        return false;
      }
      at = *pair;
    } else {
      const auto number = read_number(item, *problems_);
      if (!number) {
        return false;
      }
      at = {*number, *number};
    }
    if (!axis.at.empty() && at[0] <= axis.at.back()[1]) {
      problems_
          ->error(
              item.span,
              "not-ascending",
              fmt::format(
                  "axis `{}` does not ascend: {} after {}", axis.name, at[0], axis.at.back()[1]))
          .label = "not above the one before";
      return false;
    }
    axis.at.push_back(at);
  }
  return true;
}

std::optional<Axis> EntryReader::axis(const Node& node, Role role) {
  MapReader map(node, "axis", *problems_);
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
  axis.name = yaml::read_text(*name, *problems_).value_or("");
  axis.unit = yaml::read_text(*unit, *problems_).value_or("");
  const auto row = axis_unit(axis.unit);
  bool good = true;
  if (!row) {
    auto& fault =
        problems_->error(unit->span,
                         "unknown-unit",
                         fmt::format("`{}` is not a unit of an axis", base::escaped(axis.unit)));
    fault.label = "not known";
    fault.help = fmt::format("one of {}", list_of_units());
    good = false;
  } else {
    axis.si_per_unit = row->si;
    // A companion is never read by a piece, so its axes may be anything.
    if (role != Role::companion) {
      check_variable(name->span, axis.name);
      const auto dimension = variable(axis.name);
      if (dimension && plain(*dimension) != plain(row->dimension)) {
        problems_
            ->error(unit->span,
                    "wrong-unit",
                    fmt::format("`{}` is {}, `{}` is not a unit of it",
                                axis.name,
                                units::name_of(plain(*dimension)),
                                axis.unit))
            .label = "wrong kind of unit";
        good = false;
      }
    }
  }
  if (!axis_nodes(*at, axis)) {
    return std::nullopt;
  }
  if (zero != nullptr) {
    axis.zero_at = read_number(*zero, *problems_);
    if (axis.zero_at && *axis.zero_at >= axis.at.front()[0] && *axis.zero_at <= axis.at.back()[1]) {
      problems_->error(zero->span, "not-ascending", "`zero_at` must lie before or after the nodes")
          .label = "inside the printed nodes";
      return std::nullopt;
    }
  }
  if (!good) {
    return std::nullopt;
  }
  return axis;
}

bool EntryReader::flatten(const Node& node, std::size_t depth, PrintedTable& table) {
  if (depth == table.axes.size()) {
    const auto number = read_number(node, *problems_);
    if (number) {
      table.values.push_back(*number);
    }
    return number.has_value();
  }
  const Axis& axis = table.axes[depth];
  if (node.kind != NodeKind::sequence) {
    problems_
        ->error(node.span,
                "wrong-kind",
                fmt::format("expected a list of {} values along `{}`", axis.at.size(), axis.name))
        .label = "not a list";
    return false;
  }
  if (node.items.size() != axis.at.size()) {
    problems_
        ->error(node.span,
                "wrong-count",
                fmt::format("axis `{}` has {} nodes, this list has {} values",
                            axis.name,
                            axis.at.size(),
                            node.items.size()))
        .label = fmt::format("expected {} values", axis.at.size());
    return false;
  }
  bool good = true;
  for (const Node& item : node.items) {
    good = flatten(item, depth + 1, table) && good;
  }
  return good;
}

/// Printed nodes as the reader of the table needs them: both ends of a band, derived zeros.
bool EntryReader::lay_out(PrintedTable& table, const base::Span& span) {
  struct Laid {
    double at;
    std::optional<std::size_t> printed;
  };
  std::vector<std::vector<Laid>> laid(table.axes.size());
  for (std::size_t i = 0; i < table.axes.size(); ++i) {
    const Axis& axis = table.axes[i];
    if (axis.zero_at && *axis.zero_at < axis.at.front()[0]) {
      laid[i].push_back({*axis.zero_at, std::nullopt});
    }
    for (std::size_t n = 0; n < axis.at.size(); ++n) {
      const double low = axis.at[n][0] * (1.0 - axis.nominal_band);
      const double high = axis.at[n][1] * (1.0 + axis.nominal_band);
      laid[i].push_back({low, n});
      if (high > low) {
        laid[i].push_back({high, n});
      }
    }
    if (axis.zero_at && *axis.zero_at > axis.at.back()[1]) {
      laid[i].push_back({*axis.zero_at, std::nullopt});
    }
  }
  std::vector<std::vector<double>> axes(laid.size());
  std::size_t size = 1;
  for (std::size_t i = 0; i < laid.size(); ++i) {
    for (const Laid& node : laid[i]) {
      axes[i].push_back(node.at);
    }
    size *= laid[i].size();
  }
  std::vector<double> values(size);
  for (std::size_t flat = 0; flat < size; ++flat) {
    std::size_t rest = flat;
    std::size_t printed = 0;
    std::size_t stride = 1;
    bool zero = false;
    for (std::size_t i = laid.size(); i-- > 0;) {
      const Laid& node = laid[i][rest % laid[i].size()];
      rest /= laid[i].size();
      zero = zero || !node.printed;
      printed += node.printed.value_or(0) * stride;
      stride *= table.axes[i].at.size();
    }
    values[flat] = zero ? 0.0 : table.values[printed];
  }
  if (table.scale == Scale::logarithmic) {
    for (double& v : values) {
      if (v <= 0.0) {
        problems_->error(span, "not-positive", "a logarithmic table needs values above zero")
            .label = "holds a value of zero or less";
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
  problems_->error(span, "not-ascending", "the nodes of an axis overlap or are too many").label =
      "one to three ascending axes";
  return false;
}

std::optional<PrintedTable> EntryReader::table(MapReader& map, Role role) {
  const Node* value = map.get("value");
  const Node* axes = map.get("axes");
  const Node* values = map.get("values");
  const Node* scale = map.get("scale");
  PrintedTable table;
  if (scale != nullptr) {
    table.scale =
        yaml::read_choice(*scale, kScaleWords, "scale", *problems_).value_or(Scale::linear);
  }
  if (value != nullptr) {
    if (axes != nullptr || values != nullptr) {
      problems_->error(value->span, "conflicting-keys", "`value` stands beside `axes` or `values`")
          .label = "a constant has no axes";
      return std::nullopt;
    }
    if (const auto number = read_number(*value, *problems_)) {
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
    problems_
        ->error(present->span,
                "missing-key",
                axes != nullptr ? "`axes` without `values`" : "`values` without `axes`")
        .label = "a table has both";
    return std::nullopt;
  }
  if (axes->kind != NodeKind::sequence || axes->items.empty() ||
      axes->items.size() > numeric::Table::kMaxAxes) {
    problems_->error(axes->span, "wrong-count", "expected a list of one to three axes").label =
        "write `- {name: radius_ratio, unit: \"-\", at: [0.5, 1.0]}`";
    return std::nullopt;
  }
  for (const Node& item : axes->items) {
    auto a = axis(item, role);
    if (a) {
      table.axes.push_back(std::move(*a));
    }
  }
  if (table.axes.size() != axes->items.size() || !flatten(*values, 0, table)) {
    return std::nullopt;
  }
  if (!lay_out(table, values->span)) {
    return std::nullopt;
  }
  return table;
}

/// Readings become a constant with a range of Reynolds numbers and, in a round duct, of diameters.
void EntryReader::measured_drop(const Node& node, DataSet& set) {
  MapReader map(node, "measured_drop", *problems_);
  if (!map.is_mapping()) {
    return;
  }
  MeasuredDrop drop;
  const Node* section = map.require("section", "6 in round");
  const Node* airflow = map.require("airflow", "100 150 200 250 cfm");
  const Node* pressure = map.require("pressure", "0.02 0.05 0.08 0.13 inH2O");
  const auto density = map.quantity("density", Dimension::density);
  const bool open_end = kind_ == Kind::cap || kind_ == Kind::entry;
  const Node* basis = open_end ? map.require("basis", "static") : map.get("basis");
  map.finish();
  const bool has_duct = kind_ && *kind_ != Kind::transition && *kind_ != Kind::junction &&
                        *kind_ != Kind::flex && reference_ != Reference::face;
  if (!has_duct) {
    problems_->error(node.span, "wrong-place", "`measured_drop` belongs to a fitting in one duct")
        .label = "a cap, entry, damper, elbow or screen of constant section";
    return;
  }
  if (section == nullptr || airflow == nullptr || pressure == nullptr ||
      (open_end && basis == nullptr)) {
    return;
  }
  drop.density_kg_m3 = density.value_or(units::kStandardDensityKgM3);
  if (density && !(*density >= 0.3 && *density <= 2.0)) {
    problems_->error(map.get("density")->span, "outside-range", "no air has this density").label =
        "expected 0.3 kg/m3 to 2 kg/m3";
    return;
  }
  if (basis != nullptr) {
    const auto choice =
        yaml::read_choice(*basis, {"total", "static"}, "basis of a drop", *problems_);
    if (!choice) {
      return;
    }
    if (*choice == 1) {
      // In one duct both ends have the same velocity pressure: the static drop is the total one.
      drop.basis = kind_ == Kind::cap     ? DropBasis::static_at_cap
                   : kind_ == Kind::entry ? DropBasis::static_at_entry
                                          : DropBasis::total;
    }
  }
  const auto text = yaml::read_text(*section, *problems_);
  if (!text) {
    return;
  }
  const auto parsed = duct::parse_section(*text);
  if (const auto* fault = std::get_if<units::TextFault>(&parsed)) {
    yaml::report(*fault, *section, *problems_);
    return;
  }
  drop.section = std::get<duct::Section>(parsed);
  const auto airflows = yaml::read_column(*airflow, Dimension::airflow, *problems_);
  const auto pressures = yaml::read_column(*pressure, Dimension::pressure, *problems_);
  if (!airflows || !pressures) {
    return;
  }
  if (airflows->size() != pressures->size() || airflows->size() < 2) {
    problems_
        ->error(pressure->span,
                "wrong-count",
                fmt::format("{} airflows and {} pressures", airflows->size(), pressures->size()))
        .label = "expected two readings or more, a pressure for each airflow";
    return;
  }
  for (std::size_t i = 0; i < airflows->size(); ++i) {
    const double before = i == 0 ? 0.0 : (*airflows)[i - 1];
    if (!((*airflows)[i] > before)) {
      problems_->error(airflow->span, "not-ascending", "the airflows do not ascend from above zero")
          .label = "sort the readings by airflow; leave out the one at rest";
      return;
    }
    if (!((*pressures)[i] > 0.0)) {
      problems_->error(pressure->span, "not-positive", "a pressure drop is zero or less").label =
          "state the drop as a positive figure";
      return;
    }
  }
  drop.airflow_m3_s = *airflows;
  drop.pressure_pa = *pressures;
  if (!fit(drop)) {
    problems_
        ->error(pressure->span,
                "not-positive",
                "a static pressure here is below the velocity pressure: no loss is left")
        .label = "is it the total pressure?";
    return;
  }
  PrintedTable constant;
  constant.values.push_back(drop.fitted);
  set.table = std::move(constant);
  const double reynolds_per_airflow = units::kStandardDensityKgM3 *
                                      drop.section.hydraulic_diameter_m() / drop.section.area_m2() /
                                      kStandardViscosityPaS;
  PrintedTable flat;
  Axis reynolds;
  reynolds.name = "reynolds";
  reynolds.unit = "-";
  for (const double q : {airflows->front(), airflows->back()}) {
    reynolds.at.push_back({q * reynolds_per_airflow, q * reynolds_per_airflow});
    flat.values.push_back(1.0);
  }
  flat.axes.push_back(std::move(reynolds));
  if (lay_out(flat, node.span)) {
    set.reynolds = ReynoldsUse{.table = std::move(flat),
                               .source = set.source,
                               .location = "range of the readings",
                               .status = set.status};
  }
  if (drop.section.shape() == duct::Shape::round) {
    const double size_m = drop.section.width_m();
    set.valid.emplace("diameter", std::array<double, 2>{0.98 * size_m, 1.02 * size_m});
  }
  set.measured = std::move(drop);
}

FactorUse EntryReader::factor(const Node& node) {
  MapReader map(node, "factor", *problems_);
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
      check_variable(item.key_span, item.key);
      const auto dimension = variable(item.key);
      const auto at =
          yaml::read_quantity(item.value, dimension.value_or(Dimension::number), *problems_);
      if (at) {
        use.exact_at.emplace(item.key, *at);
      }
    }
  }
  if (status != nullptr) {
    use.status =
        yaml::read_choice(*status, kStatusWords, "status", *problems_).value_or(Status::seen);
  }
  if (law != nullptr) {
    if (const auto choice = yaml::read_choice(*law, law_names(), "law", *problems_)) {
      use.law = law_named(law_names()[*choice]);
      for (const std::string& name : law_variables(*use.law)) {
        check_variable(law->span, name);
      }
    }
  } else if (use.data.empty()) {
    problems_->error(node.span, "missing-key", "a factor names a data set or a law").label =
        "write `{data: key}`, `{table: name, data: key}` or `{law: name}`";
  }
  return use;
}

std::optional<ReynoldsUse> EntryReader::reynolds(const Node& node, Role role) {
  MapReader map(node, "reynolds", *problems_);
  if (!map.is_mapping()) {
    return std::nullopt;
  }
  ReynoldsUse use;
  const Node* law = map.get("law");
  const Node* source = map.require("source", "smacna4");
  const Node* status = map.require("status", "seen");
  use.location = map.text("location").value_or("");
  const Node* beyond = map.get("beyond");
  use.table = table(map, role);
  map.finish();
  if (source != nullptr) {
    use.source = yaml::read_text(*source, *problems_).value_or("");
    check_source(*source, use.source);
  }
  if (status != nullptr) {
    use.status =
        yaml::read_choice(*status, kStatusWords, "status", *problems_).value_or(Status::seen);
  }
  if (beyond != nullptr) {
    use.constant_beyond = yaml::read_choice(*beyond, {"constant"}, "word", *problems_).has_value();
  }
  if (law != nullptr) {
    use.bend_law = yaml::read_choice(*law, {"smooth-bend"}, "law", *problems_).has_value();
    check_variable(law->span, "radius_ratio");
  }
  if (use.table) {
    const auto& axes = use.table->axes;
    const auto found =
        std::find_if(axes.begin(), axes.end(), [](const Axis& a) { return a.name == "reynolds"; });
    if (found == axes.end()) {
      problems_->error(node.span, "missing-axis", "a Reynolds table needs an axis `reynolds`")
          .label = "no axis `reynolds`";
      return std::nullopt;
    }
    if (found->at.size() > ReynoldsFactor::kMaxNodes) {
      problems_
          ->error(node.span,
                  "too-many",
                  fmt::format("at most {} nodes along `reynolds`", ReynoldsFactor::kMaxNodes))
          .label = fmt::format("{} nodes", found->at.size());
      return std::nullopt;
    }
  }
  return use;
}

std::optional<Uncertainty> EntryReader::uncertainty(const Node& node) {
  MapReader map(node, "uncertainty", *problems_);
  if (!map.is_mapping()) {
    return std::nullopt;
  }
  Uncertainty u;
  const Node* relative = map.get("u");
  const Node* basis = map.require("basis", "spread of the sources");
  u.absolute = map.quantity("absolute", Dimension::number).value_or(0.0);
  const auto table_of_u = table(map, Role::standard);
  map.finish();
  if (basis != nullptr) {
    u.basis = yaml::read_text(*basis, *problems_).value_or("");
  }
  if (relative != nullptr) {
    const auto number = read_number(*relative, *problems_);
    if (number && (*number <= 0.0 || *number > 2.0)) {
      problems_
          ->error(relative->span,
                  "outside-range",
                  "one relative standard uncertainty lies above 0 and up to 2")
          .label = "0.15 means 15 %";
      return std::nullopt;
    }
    u.relative.values.push_back(number.value_or(0.0));
    return u;
  }
  if (!table_of_u) {
    problems_->error(node.span, "missing-key", "`uncertainty` needs `u`, or `axes` and `values`")
        .label = "write `{u: 0.15, basis: ...}`";
    return std::nullopt;
  }
  u.relative = *table_of_u;
  return u;
}

DataSet EntryReader::data_set(const Node& node, Context context, FrictionLength friction) {
  DataSet set;
  MapReader map(node, "data set", *problems_);
  if (!map.is_mapping()) {
    return set;
  }
  const Node* key = map.require("key", "smacna4");
  const Node* source = map.require("source", "smacna4");
  const Node* status = map.require("status", "seen");
  const Node* role = map.get("role");
  const Node* law = map.get("law");
  const Node* range = map.get("range");
  const Node* factors = map.get("factors");
  const Node* reynolds_node = map.get("reynolds");
  const Node* valid = map.get("valid");
  const Node* u = map.get("uncertainty");
  const Node* figures = map.get("figures");
  const Node* measured = map.get("measured_drop");
  set.via = map.text("via").value_or("");
  set.location = map.text("location").value_or("");
  set.quantity = map.text("quantity").value_or("");
  set.note = map.text("note").value_or("");
  set.rule = map.text("rule").value_or("");
  set.formula = map.text("formula").value_or("");
  set.plus = map.quantity("plus", Dimension::number).value_or(0.0);
  set.floor_on_shape_change =
      map.quantity("floor_on_shape_change", Dimension::number).value_or(0.0);
  const auto includes_friction = map.yes_no("includes_friction");
  set.friction = includes_friction.value_or(false) ? FrictionLength::none : friction;
  if (key != nullptr) {
    set.key = yaml::read_text(*key, *problems_).value_or("");
  }
  if (source != nullptr) {
    set.source = yaml::read_text(*source, *problems_).value_or("");
    check_source(*source, set.source);
  }
  if (status != nullptr) {
    set.status =
        yaml::read_choice(*status, kStatusWords, "status", *problems_).value_or(Status::assumed);
  }
  set.role = context == Context::support ? Role::factor : Role::companion;
  if (role != nullptr) {
    set.role = yaml::read_choice(*role, kRoleWords, "role", *problems_).value_or(Role::companion);
  }
  set.table = table(map, set.role);
  map.finish();
  if (figures != nullptr) {
    if (const auto whole = yaml::read_whole(*figures, *problems_)) {
      set.figures = static_cast<int>(*whole);
    }
  }
  if (law != nullptr) {
    if (const auto choice = yaml::read_choice(*law, law_names(), "law", *problems_)) {
      set.law = law_named(law_names()[*choice]);
      if (set.role != Role::companion) {
        for (const std::string& name : law_variables(*set.law)) {
          check_variable(law->span, name);
        }
      }
    }
  }
  if (range != nullptr) {
    set.range = read_pair(*range, Dimension::number, *problems_);
  }
  if (factors != nullptr) {
    if (factors->kind == NodeKind::sequence) {
      for (const Node& item : factors->items) {
        set.factors.push_back(factor(item));
      }
    } else {
      problems_->error(factors->span, "wrong-kind", "expected a list of factors").label =
          "write `- {data: key}` lines";
    }
  }
  if (reynolds_node != nullptr) {
    set.reynolds = reynolds(*reynolds_node, set.role);
  }
  if (valid != nullptr) {
    if (valid->kind == NodeKind::mapping) {
      for (const yaml::Entry& item : valid->entries) {
        check_variable(item.key_span, item.key);
        const auto dimension = variable(item.key);
        if (!dimension) {
          continue;
        }
        if (const auto pair = read_pair(item.value, *dimension, *problems_)) {
          set.valid.emplace(item.key, *pair);
        }
      }
    } else {
      problems_->error(valid->span, "wrong-kind", "expected a mapping from variable to range")
          .label = "write `{radius_ratio: [0.5, 3]}`";
    }
  }
  if (u != nullptr) {
    set.uncertainty = uncertainty(*u);
  }
  if (measured != nullptr) {
    for (const char* other : {"value", "axes", "values", "law", "range", "reynolds", "valid"}) {
      if (const Node* beside = node.find(other)) {
        problems_
            ->error(beside->span,
                    "conflicting-keys",
                    fmt::format("`{}` stands beside `measured_drop`", other))
            .label = "the readings say it";
        return set;
      }
    }
    measured_drop(*measured, set);
  }
  const bool has_number = set.table || set.law || set.range;
  const bool was_given = node.find("value") != nullptr || node.find("values") != nullptr ||
                         node.find("axes") != nullptr || law != nullptr || range != nullptr ||
                         measured != nullptr;
  if (!has_number && !was_given && set.rule.empty()) {
    problems_
        ->error(node.span,
                "missing-key",
                fmt::format("data set `{}` holds no figure", base::escaped(set.key)))
        .label = "needs `value`, `axes` and `values`, `law`, `range`, `measured_drop` or `rule`";
  }
  const bool charged = set.role == Role::standard || set.role == Role::alternative;
  if (charged && has_number && !set.table && !set.law) {
    problems_
        ->error(node.span,
                "missing-key",
                fmt::format("data set `{}` can be chosen but gives only a range", set.key))
        .label = "needs `value` too, or `role: companion`";
  }
  return set;
}

std::vector<DataSet> EntryReader::data_sets(const Node& node,
                                            Context context,
                                            FrictionLength friction) {
  std::vector<DataSet> sets;
  if (node.kind != NodeKind::sequence || node.items.empty()) {
    problems_->error(node.span, "wrong-kind", "expected a list of data sets").label =
        "write `- {key: ..., source: ..., status: ..., value: ...}`";
    return sets;
  }
  std::size_t standards = 0;
  for (const Node& item : node.items) {
    DataSet set = data_set(item, context, friction);
    const auto same = [&set](const DataSet& s) { return s.key == set.key; };
    if (!set.key.empty() && std::any_of(sets.begin(), sets.end(), same)) {
      problems_
          ->error(item.span,
                  "duplicate-data-set",
                  fmt::format("two data sets have the key `{}`", base::escaped(set.key)))
          .label = "this key was taken above";
    }
    if (set.role == Role::standard && ++standards == 2) {
      problems_->error(item.span, "duplicate-default", "two data sets are the default").label =
          "one data set has `role: default`";
    }
    sets.push_back(std::move(set));
  }
  if (context == Context::entry && standards == 0) {
    problems_->error(node.span, "missing-default", "no data set is the default").label =
        "one data set needs `role: default`";
  }
  check_factors(node, sets);
  return sets;
}

void EntryReader::check_factors(const Node& node, const std::vector<DataSet>& sets) {
  for (std::size_t i = 0; i < sets.size(); ++i) {
    for (const FactorUse& use : sets[i].factors) {
      if (use.law || use.data.empty()) {
        continue;
      }
      std::vector<std::string> keys;
      std::string where = "this fitting";
      if (use.table.empty()) {
        for (const DataSet& s : sets) {
          keys.push_back(s.key);
        }
      } else {
        const SupportTable* support = known_->table ? known_->table(use.table) : nullptr;
        if (support == nullptr) {
          problems_
              ->error(node.items[i].span,
                      "unknown-table",
                      fmt::format("no table is named `{}`", base::escaped(use.table)))
              .label = "a factor of this data set";
          continue;
        }
        where = fmt::format("table `{}`", use.table);
        for (const DataSet& s : support->data) {
          keys.push_back(s.key);
        }
      }
      const auto found = std::find(keys.begin(), keys.end(), use.data);
      if (found == keys.end() || (use.table.empty() && use.data == sets[i].key)) {
        auto& fault = problems_->error(
            node.items[i].span,
            "unknown-data-set",
            fmt::format("{} has no other data set `{}`", where, base::escaped(use.data)));
        fault.label = "a factor of this data set";
        if (const auto near = base::nearest(use.data, keys)) {
          fault.help = fmt::format("did you mean `{}`?", *near);
        }
      }
    }
  }
}

std::optional<Entry> EntryReader::entry(const Node& node) {
  parameters_.clear();
  MapReader map(node, "fitting", *problems_);
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
  entry.remarks = texts(map.get("remarks"));
  std::optional<Kind> kind_choice;
  if (kind != nullptr) {
    kind_choice = yaml::read_choice(*kind, kKindWords, "kind of fitting", *problems_);
  }
  if (kind_choice) {
    entry.kind = *kind_choice;
    entry.from_to = shapes(map, entry.kind);
  } else {
    map.allow("sections");
    map.allow("from_to");
  }
  map.finish();
  const auto text = [this](const Node* n) {
    return n == nullptr ? std::string() : yaml::read_text(*n, *problems_).value_or("");
  };
  entry.type = base::canonical_word(text(type));
  entry.title = text(title);
  entry.use = text(use);
  if (reference != nullptr) {
    const auto choice = yaml::read_choice(
        *reference, {"upstream", "downstream", "face", "small"}, "reference", *problems_);
    entry.small_reference = choice == 3;
    constexpr std::array kReferences{
        Reference::upstream, Reference::downstream, Reference::face, Reference::upstream};
    entry.reference = kReferences[choice.value_or(0)];
  }
  if (change != nullptr) {
    entry.change = yaml::read_choice(*change, kChangeWords, "change of area", *problems_)
                       .value_or(Change::none);
  }
  if (default_for != nullptr) {
    entry.default_for = shape_set(*default_for);
  }
  if (parameters != nullptr) {
    if (parameters->kind == NodeKind::sequence) {
      for (const Node& item : parameters->items) {
        if (auto p = parameter(item)) {
          entry.parameters.push_back(std::move(*p));
        }
      }
    } else {
      problems_->error(parameters->span, "wrong-kind", "expected a list of parameters").label =
          "write `- {name: ..., dimension: ..., range: ..., meaning: ...}`";
    }
  }
  parameters_ = entry.parameters;
  FrictionLength length = FrictionLength::none;
  if (friction != nullptr) {
    entry.includes_friction = yaml::read_yes_no(*friction, *problems_).value_or(true);
    if (!entry.includes_friction && friction_length == nullptr) {
      problems_
          ->error(friction->span,
                  "missing-key",
                  "`includes_friction: no` needs `friction_length: arc`, `cone` or `none`")
          .label = "what length is to be added?";
    }
  }
  if (friction_length != nullptr && !entry.includes_friction) {
    length =
        yaml::read_choice(*friction_length, kFrictionLengthWords, "friction length", *problems_)
            .value_or(FrictionLength::none);
    if (length == FrictionLength::arc) {
      check_variable(friction_length->span, "radius_ratio");
    }
  }
  if (entry.reference == Reference::face && !entry.small_reference && reference != nullptr) {
    check_variable(reference->span, "face");
  }
  if (u != nullptr) {
    if (auto read = uncertainty(*u)) {
      entry.uncertainty = std::move(*read);
    }
  }
  if (flat_oval != nullptr) {
    entry.flat_oval = uncertainty(*flat_oval);
  }
  if (data != nullptr) {
    kind_ = kind_choice ? std::optional(entry.kind) : std::nullopt;
    reference_ = entry.reference;
    entry.data = data_sets(*data, Context::entry, length);
  }
  return entry;
}

std::optional<SupportTable> EntryReader::support(const Node& node) {
  parameters_.clear();
  kind_ = std::nullopt;
  MapReader map(node, "table", *problems_);
  SupportTable table;
  const Node* name = map.require("table", "elbow-angle");
  const Node* parameters = map.get("parameters");
  table.title = map.text("title").value_or("");
  table.use = map.text("use").value_or("");
  table.remarks = texts(map.get("remarks"));
  const Node* data = map.require("data", "[{key: ..., source: ..., status: ..., value: 1}]");
  map.finish();
  if (name != nullptr) {
    table.name = yaml::read_text(*name, *problems_).value_or("");
  }
  if (parameters != nullptr && parameters->kind == NodeKind::sequence) {
    for (const Node& item : parameters->items) {
      if (auto p = parameter(item)) {
        parameters_.push_back(std::move(*p));
      }
    }
  }
  if (data != nullptr) {
    table.data = data_sets(*data, Context::support, FrictionLength::none);
  }
  return table;
}

Document EntryReader::document(const Node& root) {
  Document document;
  if (root.kind != NodeKind::mapping) {
    problems_->error(root.span, "wrong-kind", "expected a fitting: a mapping of keys").label =
        "write `kind: cap`, `type: ...`";
    return document;
  }
  const Node* sources = root.find("sources");
  if (sources != nullptr) {
    own_sources_ = read_sources(*sources, *problems_);
    document.sources = own_sources_;
  }
  const auto read_one = [&](const Node& node) {
    const auto before = problems_->list().size();
    if (node.kind == NodeKind::mapping && node.find("table") != nullptr) {
      auto table = support(node);
      if (table && problems_->list().size() == before) {
        document.tables.push_back(std::move(*table));
      }
      return;
    }
    auto read = entry(node);
    if (read && problems_->list().size() == before) {
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
  MapReader map(root, "catalogue", *problems_);
  map.allow("sources");
  map.allow("fittings");
  map.allow("title");
  map.finish();
  if (list->kind != NodeKind::sequence) {
    problems_->error(list->span, "wrong-kind", "expected a list of fittings").label =
        "write `- kind: cap`";
    return document;
  }
  for (const Node& item : list->items) {
    read_one(item);
  }
  return document;
}

}  // namespace

std::vector<Source> read_sources(const Node& node, Problems& problems) {
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

const Dimension* geometric_variable(std::string_view name) {
  const auto* found = std::find_if(
      kGeometric.begin(), kGeometric.end(), [&](const Variable& v) { return v.name == name; });
  return found == kGeometric.end() ? nullptr : &found->dimension;
}

Document read_document(const yaml::Tree& tree, const Known& known, Problems& problems) {
  return EntryReader(known, problems).document(tree.root);
}

}  // namespace ductledger::fitting
