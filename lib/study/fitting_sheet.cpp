#include "study/fitting_sheet.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "air/air.hpp"
#include "duct/friction.hpp"
#include "duct/straight.hpp"
#include "fitting/floating_flap.hpp"
#include "fitting/junction.hpp"
#include "fitting/materials.hpp"
#include "units/constants.hpp"
#include "units/quantity.hpp"

namespace ductledger::study {
namespace {

using fitting::Catalogue;
using fitting::Coefficient;
using fitting::DataSet;
using fitting::Entry;
using fitting::Kind;
using units::Dimension;

constexpr double kUsualVelocityM_S = 1000.0 * units::kM_SPerFpm;
constexpr double kRightAngle = std::numbers::pi / 2.0;
constexpr int kCurveSteps = 60;

duct::Section round_in(double inches) { return duct::Section::round(units::inches(inches)); }

duct::Section scaled(const duct::Section& section, double factor) {
  const units::Length width = units::metres(section.width_m() * factor);
  const units::Length height = units::metres(section.height_m() * factor);
  switch (section.shape()) {
    case duct::Shape::round:
      return duct::Section::round(width);
    case duct::Shape::rectangular:
      return duct::Section::rectangular(width, height);
    case duct::Shape::flat_oval:
      break;
  }
  return duct::Section::flat_oval(width, height);
}

/// A section of some shape and an area [in2].
duct::Section of_area(const fitting::ShapeSet& shapes, double area_in2) {
  if (shapes.round) {
    return round_in(std::sqrt(4.0 * area_in2 / std::numbers::pi));
  }
  const units::Length height = units::inches(std::sqrt(area_in2 / 2.0));
  const units::Length width = units::inches(std::sqrt(area_in2 * 2.0));
  return shapes.rectangular ? duct::Section::rectangular(width, height)
                            : duct::Section::flat_oval(width, height);
}

bool has_law(const DataSet& set, fitting::Law law) { return set.law == law; }

bool is_junction_or_flex(const Entry& entry) {
  return entry.kind == Kind::junction || entry.kind == Kind::flex;
}

std::vector<FittingQuantity> quantities_at(const Entry& entry,
                                           const DataSet& set,
                                           const std::vector<FittingVariable>& variables) {
  const auto value = [&](const char* name) {
    const auto found = std::find_if(
        variables.begin(), variables.end(), [name](const auto& v) { return v.name == name; });
    return found == variables.end() ? 0.0 : found->value;
  };
  if (entry.kind == Kind::flex) {
    return {{"multiplier",
             duct::flexible_multiplier(
                 {units::metres(value("diameter")), 1.0 - value("compression")})}};
  }
  const fitting::JunctionState state{
      .angle = fitting::junction_angle(fitting::junction_angle_rad(entry.type)),
      .area_ratio = value("area_ratio"),
      .flow_ratio = value("flow_ratio")};
  const fitting::JunctionLoss loss =
      has_law(set, fitting::Law::diverging_junction)     ? fitting::diverging_junction(state)
      : has_law(set, fitting::Law::converging_tee_older) ? fitting::converging_tee_older(state)
                                                         : fitting::converging_junction(state);
  return {{"branch_coefficient", loss.branch}, {"straight_coefficient", loss.straight}};
}

std::optional<double> geometric_value(const fitting::Piece& piece, std::string_view name) {
  const double change = piece.downstream.area_m2() / piece.upstream.area_m2();
  if (name == "angle" && piece.kind == Kind::elbow) {
    return piece.angle_rad;
  }
  if (name == "diameter" && piece.upstream.shape() == duct::Shape::round) {
    return piece.upstream.width_m();
  }
  if (name == "aspect_ratio") {
    return piece.across_m / piece.in_plane_m;
  }
  if (name == "area_ratio") {
    return std::max(change, 1.0 / change);
  }
  if (name == "small_over_large") {
    return std::min(change, 1.0 / change);
  }
  return std::nullopt;
}

/// What a fitting's figures depend on, as asked for or as usual.
class FittingVariables {
 public:
  FittingVariables(const Catalogue& catalogue, const Entry& entry, const FittingAsk& ask)
      : catalogue_(catalogue), entry_(entry), set_(*entry.standard()), ask_(ask) {}

  [[nodiscard]] std::vector<FittingVariable> listed() {
    for (const Catalogue::Parameter& p : entry_.parameters) {
      add_parameter(p);
    }
    if (entry_.kind == Kind::flex) {
      add_of_flex();
    } else {
      add_geometric("angle", Dimension::angle, "of the turn");
      add_geometric("diameter", Dimension::length, "of the duct");
      add_geometric(
          "aspect_ratio", Dimension::number, "side along the turning axis over the other");
      add_geometric("area_ratio", Dimension::number, "larger section over the smaller");
      add_geometric("small_over_large", Dimension::number, "smaller section over the larger");
    }
    return std::move(list_);
  }

 private:
  [[nodiscard]] std::optional<double> stated(const std::string& name) const {
    if (const auto found = ask_.variables.find(name); found != ask_.variables.end()) {
      return found->second;
    }
    const auto found = ask_.piece.parameters.find(name);
    return found == ask_.piece.parameters.end() ? std::nullopt : std::optional(found->second);
  }

  void add(FittingVariable variable) {
    const auto value = stated(variable.name);
    variable.taken = !value && variable.default_value.has_value();
    if (value) {
      variable.value = *value;
    } else if (variable.default_value) {
      variable.value = *variable.default_value;
    }
    list_.push_back(std::move(variable));
  }

  void add_parameter(const Catalogue::Parameter& p) {
    const auto covered = catalogue_.covered(entry_, set_, p.name);
    add({.name = p.name,
         .dimension = p.dimension,
         .lowest = covered ? covered->lowest : p.lowest,
         .highest = covered ? covered->highest : p.highest,
         .default_value = entry_.kind == Kind::junction ? std::optional(0.5) : p.default_value,
         .required = p.required,
         .meaning = p.meaning});
  }

  void add_of_flex() {
    add({.name = "compression",
         .dimension = Dimension::ratio,
         .lowest = 0.0,
         .highest = 0.30,
         .default_value = 0.04,
         .meaning = "1 less installed length over fully stretched length"});
    list_.push_back({.name = "diameter",
                     .dimension = Dimension::length,
                     .lowest = 6.0 * units::kMetresPerInch,
                     .highest = 10.0 * units::kMetresPerInch,
                     .value = ask_.piece.upstream.equivalent_diameter_m(),
                     .meaning = "of the duct"});
  }

  /// What follows from the piece's sections and its turn, where the figures depend on it.
  void add_geometric(const char* name, Dimension dimension, const char* meaning) {
    const auto covered = catalogue_.covered(entry_, set_, name);
    const auto value = geometric_value(ask_.piece, name);
    if (covered && value && std::ranges::find(list_, name, &FittingVariable::name) == list_.end()) {
      list_.push_back({.name = name,
                       .dimension = dimension,
                       .lowest = covered->lowest,
                       .highest = covered->highest,
                       .value = *value,
                       .meaning = meaning});
    }
  }

  const Catalogue& catalogue_;
  const Entry& entry_;
  const DataSet& set_;
  const FittingAsk& ask_;
  std::vector<FittingVariable> list_;
};

duct::Section reference_section(const fitting::Piece& piece, const Entry& entry) {
  if (entry.small_reference) {
    return piece.upstream.area_m2() <= piece.downstream.area_m2() ? piece.upstream
                                                                  : piece.downstream;
  }
  return entry.reference == fitting::Reference::downstream ? piece.downstream : piece.upstream;
}

double friction_pa_per_m(const duct::Section& section, double airflow_m3_s) {
  return duct::straight_loss({section,
                              units::metres(1.0),
                              units::metres(fitting::material("galvanized-steel")->roughness_m)},
                             units::cubic_metres_per_second(airflow_m3_s),
                             air::standard_air())
      .loss.value();
}

FittingValue value_of(const Catalogue& catalogue,
                      const FittingSheet& sheet,
                      const DataSet& set,
                      const fitting::Piece& at) {
  FittingValue value;
  value.set = &set;
  fitting::Piece piece = at;
  piece.source = set.key;
  const auto read = catalogue.coefficient(piece);
  if (const auto* missing = std::get_if<Catalogue::Missing>(&read)) {
    value.missing = missing->message;
    return value;
  }
  const Coefficient& c = *(value.coefficient = std::get<Coefficient>(read));
  const air::Air air = air::standard_air();
  const bool by_face = c.reference == fitting::Reference::face;
  const double velocity_m_s =
      sheet.airflow_m3_s / (by_face ? c.face_area_m2 : sheet.reference.area_m2());
  const double velocity_pressure_pa = 0.5 * air.density.value() * velocity_m_s * velocity_m_s;
  value.reynolds = air.density.value() * velocity_m_s * sheet.reference.hydraulic_diameter_m() /
                   air.viscosity.value();
  value.reynolds_factor = c.reynolds.at(value.reynolds);
  value.reynolds_outside = !c.reynolds.is_constant() && (value.reynolds < c.reynolds.lowest() ||
                                                         value.reynolds > c.reynolds.highest());
  value.loss_pa = c.value * value.reynolds_factor * velocity_pressure_pa;
  if (c.friction_length_m > 0.0) {
    value.loss_pa += c.friction_length_m * friction_pa_per_m(sheet.reference, sheet.airflow_m3_s);
  }
  if (c.floating && velocity_pressure_pa > 0.0) {
    // As far as the stream lifts it at this airflow.
    const double lift = velocity_pressure_pa / (c.floating->mass_kg_m2 * units::kGravityM_S2);
    value.loss_pa +=
        c.floating->open_coefficient * fitting::flap_excess(lift) * velocity_pressure_pa;
  }
  value.whole_coefficient = value.loss_pa / velocity_pressure_pa;
  return value;
}

/// The piece moved along one variable; nothing where the variable is not one of a piece.
std::optional<fitting::Piece> moved(const fitting::Piece& piece,
                                    const std::string& name,
                                    double x) {
  fitting::Piece out = piece;
  if (name == "angle") {
    out.angle_rad = x;
    return out;
  }
  if (name == "area_ratio" || name == "small_over_large") {
    const double ratio = name == "area_ratio" ? x : 1.0 / x;
    const bool grows = piece.downstream.area_m2() >= piece.upstream.area_m2();
    duct::Section& large = grows ? out.downstream : out.upstream;
    const duct::Section& small = grows ? out.upstream : out.downstream;
    large = scaled(large, std::sqrt(ratio * small.area_m2() / large.area_m2()));
    return out;
  }
  if (name == "diameter" || name == "aspect_ratio") {
    return std::nullopt;
  }
  out.parameters[name] = x;
  if (name == "included_angle") {
    out.parameters.erase("length");
  }
  return out;
}

const FittingVariable* curve_variable(const FittingSheet& sheet) {
  const FittingVariable* turn = nullptr;
  for (const FittingVariable& v : sheet.variables) {
    const bool is_parameter = std::any_of(sheet.entry->parameters.begin(),
                                          sheet.entry->parameters.end(),
                                          [&](const auto& p) { return p.name == v.name; });
    const bool is_drawn = v.name != "length" && v.name != "face" &&
                          !(sheet.entry->kind == Kind::junction && v.name == "area_ratio");
    if (is_parameter && is_drawn) {
      return &v;
    }
    if (turn == nullptr && (v.name == "angle" || v.name == "area_ratio" ||
                            v.name == "small_over_large" || v.name == "compression")) {
      turn = &v;
    }
  }
  return turn;
}

double coefficient_at(const Catalogue& catalogue,
                      const FittingSheet& sheet,
                      const DataSet& set,
                      const fitting::Piece& piece) {
  const FittingValue value = value_of(catalogue, sheet, set, piece);
  return value.coefficient ? value.coefficient->value * value.reynolds_factor
                           : std::numeric_limits<double>::quiet_NaN();
}

std::vector<double> nodes_along(const DataSet& set, const std::string& variable) {
  std::vector<double> nodes;
  if (set.table) {
    for (const fitting::Axis& axis : set.table->axes) {
      if (axis.name == variable) {
        for (const auto& at : axis.at) {
          nodes.push_back(0.5 * (at[0] + at[1]) * axis.si_per_unit);
        }
      }
    }
  }
  return nodes;
}

void draw_quantities(FittingSheet& sheet, const FittingVariable& variable) {
  FittingCurve::Line empty;
  empty.set = sheet.entry->standard();
  for (const FittingQuantity& quantity : sheet.quantities) {
    FittingCurve::Line line = empty;
    line.name = quantity.name;
    sheet.curve.lines.push_back(line);
  }
  std::vector<FittingVariable> at = sheet.variables;
  const std::string name = variable.name;
  for (int i = 0; i <= kCurveSteps; ++i) {
    const double x = variable.lowest +
                     (variable.highest - variable.lowest) * i / static_cast<double>(kCurveSteps);
    for (FittingVariable& v : at) {
      v.value = v.name == name ? x : v.value;
    }
    const auto values = quantities_at(*sheet.entry, *empty.set, at);
    for (std::size_t k = 0; k < values.size(); ++k) {
      sheet.curve.lines[k].x.push_back(x);
      sheet.curve.lines[k].value.push_back(values[k].value);
    }
  }
}

void draw_curve(const Catalogue& catalogue, FittingSheet& sheet) {
  const FittingVariable* variable = curve_variable(sheet);
  if (variable == nullptr) {
    return;
  }
  sheet.curve.variable = variable->name;
  sheet.curve.dimension = variable->dimension;
  if (!sheet.quantities.empty()) {
    draw_quantities(sheet, *variable);
    return;
  }
  for (const FittingValue& value : sheet.values) {
    const auto covered = catalogue.covered(*sheet.entry, *value.set, variable->name);
    if (!covered) {
      continue;
    }
    FittingCurve::Line line;
    line.set = value.set;
    line.name = value.set->key;
    const double lowest = std::max(covered->lowest, variable->lowest);
    const double highest = std::min(covered->highest, variable->highest);
    for (int i = 0; i <= kCurveSteps && highest > lowest; ++i) {
      const double x = lowest + (highest - lowest) * i / static_cast<double>(kCurveSteps);
      if (const auto piece = moved(sheet.piece, variable->name, x)) {
        line.x.push_back(x);
        line.value.push_back(coefficient_at(catalogue, sheet, *value.set, *piece));
      }
    }
    for (const double x : nodes_along(*value.set, variable->name)) {
      const auto piece = moved(sheet.piece, variable->name, x);
      if (piece && x >= lowest * (1.0 - 1e-9) && x <= highest * (1.0 + 1e-9)) {
        line.node_x.push_back(x);
        line.node_value.push_back(coefficient_at(catalogue, sheet, *value.set, *piece));
      }
    }
    if (!line.x.empty()) {
      sheet.curve.lines.push_back(std::move(line));
    }
  }
}

}  // namespace

fitting::Piece usual_piece(const Entry& entry) {
  fitting::Piece piece{.kind = entry.kind,
                       .type = entry.type,
                       .upstream = round_in(8.0),
                       .downstream = round_in(8.0)};
  const auto& shapes = entry.from_to.front();
  const DataSet* standard = entry.standard();
  if (standard->measured) {
    piece.upstream = piece.downstream = standard->measured->section;
  } else if (entry.kind == Kind::transition) {
    const bool grows = entry.change == fitting::Change::expanding;
    const bool equal = entry.change == fitting::Change::equal_area;
    // A change of shape alone needs two shapes.
    fitting::ShapeSet after = shapes[1];
    if (equal && shapes[0].rectangular && after.round) {
      after = {.round = true};
    }
    piece.upstream = of_area(shapes[0], grows || equal ? 28.27 : 50.27);
    piece.downstream = of_area(after, grows ? 50.27 : 28.27);
  } else if (!shapes[0].round) {
    piece.upstream = piece.downstream =
        duct::Section::rectangular(units::inches(10.0), units::inches(3.25));
  }
  if (entry.kind == Kind::elbow) {
    piece.angle_rad = kRightAngle;
    piece.in_plane_m = piece.upstream.width_m();
    piece.across_m = piece.upstream.height_m();
  }
  for (const Catalogue::Parameter& p : entry.parameters) {
    if (p.required && p.name == "face") {
      piece.parameters[p.name] = 32.0 * 14.0 * units::kSquareInch_m2;
    } else if (p.required) {
      piece.parameters[p.name] = 0.5 * (p.lowest + p.highest);
    }
  }
  return piece;
}

FittingSheet fitting_sheet(const Catalogue& catalogue, const FittingAsk& ask) {
  FittingSheet sheet;
  sheet.entry = ask.entry;
  sheet.piece = ask.piece;
  sheet.section_taken = ask.section_taken;
  sheet.reference = reference_section(ask.piece, *ask.entry);
  sheet.airflow_taken = !ask.airflow_m3_s.has_value();
  sheet.airflow_m3_s = ask.airflow_m3_s.value_or(kUsualVelocityM_S * sheet.reference.area_m2());
  sheet.variables = FittingVariables(catalogue, *ask.entry, ask).listed();
  sheet.velocity_m_s = sheet.airflow_m3_s / sheet.reference.area_m2();
  if (is_junction_or_flex(*ask.entry)) {
    sheet.quantities = quantities_at(*ask.entry, *ask.entry->standard(), sheet.variables);
    draw_curve(catalogue, sheet);
    return sheet;
  }
  const DataSet* asked = ask.entry->standard();
  for (const DataSet& set : ask.entry->data) {
    if (!ask.piece.source.empty() &&
        (set.key == ask.piece.source || set.source == ask.piece.source) &&
        (set.role == fitting::Role::standard || set.role == fitting::Role::alternative)) {
      asked = &set;
      break;
    }
  }
  sheet.values.push_back(value_of(catalogue, sheet, *asked, sheet.piece));
  for (const DataSet& set : ask.entry->data) {
    const bool selectable =
        set.role == fitting::Role::standard || set.role == fitting::Role::alternative;
    if (selectable && &set != asked) {
      sheet.values.push_back(value_of(catalogue, sheet, set, sheet.piece));
    }
  }
  const FittingValue& first = sheet.values.front();
  if (first.coefficient && first.coefficient->reference == fitting::Reference::face) {
    sheet.velocity_m_s = sheet.airflow_m3_s / first.coefficient->face_area_m2;
  }
  sheet.velocity_pressure_pa =
      0.5 * air::standard_air().density.value() * sheet.velocity_m_s * sheet.velocity_m_s;
  if (first.coefficient) {
    const double per_m = friction_pa_per_m(sheet.reference, sheet.airflow_m3_s);
    sheet.equivalent_length_m = first.loss_pa / per_m;
  }
  draw_curve(catalogue, sheet);
  return sheet;
}

std::vector<Outside> outside_of(const FittingSheet& sheet) {
  std::vector<Outside> list;
  if (sheet.values.empty()) {
    for (const FittingVariable& v : sheet.variables) {
      if (v.value < v.lowest - 1e-9 || v.value > v.highest + 1e-9) {
        list.push_back({v.name, v.dimension, v.value, v.lowest, v.highest});
      }
    }
    return list;
  }
  const FittingValue& first = sheet.values.front();
  if (!first.coefficient) {
    return list;
  }
  for (const fitting::OutsideRange& o : first.coefficient->outside) {
    const auto same = std::find_if(sheet.variables.begin(),
                                   sheet.variables.end(),
                                   [&](const auto& v) { return v.name == o.parameter; });
    const Dimension dimension = same != sheet.variables.end() ? same->dimension
                                : o.unit == "rad"             ? Dimension::angle
                                : o.unit == "m"               ? Dimension::length
                                                              : Dimension::number;
    list.push_back({o.parameter, dimension, o.value, o.lowest, o.highest});
  }
  if (first.reynolds_outside && !sheet.airflow_taken) {
    list.push_back({"Reynolds number",
                    Dimension::number,
                    first.reynolds,
                    first.coefficient->reynolds.lowest(),
                    first.coefficient->reynolds.highest()});
  }
  return list;
}

CoefficientSpread spread_of(const FittingSheet& sheet) {
  CoefficientSpread spread;
  for (const FittingValue& value : sheet.values) {
    if (!value.coefficient || !value.coefficient->outside.empty() || value.reynolds_outside) {
      continue;
    }
    const double c = value.whole_coefficient;
    spread.lowest = spread.count == 0 ? c : std::min(spread.lowest, c);
    spread.highest = spread.count == 0 ? c : std::max(spread.highest, c);
    ++spread.count;
  }
  return spread;
}

}  // namespace ductledger::study
