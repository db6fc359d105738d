#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>
#include <utility>

#include "base/expects.hpp"
#include "fitting/evaluate_internal.hpp"
#include "fitting/read_internal.hpp"
#include "units/quantity.hpp"

namespace ductledger::fitting {
namespace {

using Missing = Catalogue::Missing;

// A conversion of units must not push a coordinate off the very node it was printed at.
constexpr double kNodeTolerance = 1e-6;
// How far inside a range, as a share of it, the slope at its edge is taken.
constexpr double kEdgeStep = 0.02;
// A relative uncertainty of 10, a factor of 120 either way as k = 2, says that nothing is known.
constexpr double kMostBeyond = 10.0;
// Areas nearer than this are equal: a nominal size in inches and in millimetres.
constexpr double kEqualArea = 0.005;

double equal_area_diameter_m(const duct::Section& section) {
  return std::sqrt(4.0 * section.area_m2() / std::numbers::pi);
}

double area_change(const Piece& piece) {
  return piece.downstream.area_m2() / piece.upstream.area_m2();
}

bool both_round(const Piece& piece) {
  return piece.upstream.shape() == duct::Shape::round &&
         piece.downstream.shape() == duct::Shape::round;
}

Change change_of(const Piece& piece) {
  const double ratio = area_change(piece);
  if (!both_round(piece) && std::abs(ratio - 1.0) < kEqualArea) {
    return Change::equal_area;
  }
  return ratio >= 1.0 ? Change::expanding : Change::contracting;
}

/// Included angle of a piece of given length: equal-area diameters, or for two rectangles the
/// larger of the two side angles.
double included_angle_rad(const Piece& piece, double length_m) {
  double across_m =
      std::abs(equal_area_diameter_m(piece.upstream) - equal_area_diameter_m(piece.downstream));
  if (piece.upstream.shape() == duct::Shape::rectangular &&
      piece.downstream.shape() == duct::Shape::rectangular) {
    across_m = std::max(std::abs(piece.upstream.width_m() - piece.downstream.width_m()),
                        std::abs(piece.upstream.height_m() - piece.downstream.height_m()));
  }
  return 2.0 * std::atan(across_m / 2.0 / length_m);
}

std::string in_words(double si, units::Dimension dimension) {
  if (dimension == units::Dimension::angle || dimension == units::Dimension::ratio) {
    const units::Scale scale = units::scale_of(dimension, units::System::si);
    return fmt::format("{:.6g} {}", si / scale.scale, scale.unit);
  }
  const std::string_view unit = units::row_of(dimension).si_unit;
  return fmt::format("{:.6g}{}{}", si, unit.empty() ? "" : " ", unit);
}

std::string possible_words(const Catalogue::Parameter& p) {
  const std::string least = in_words(p.least_possible, p.dimension);
  return std::isinf(p.greatest_possible)
             ? fmt::format("expected {} or more", least)
             : fmt::format("expected {} to {}", least, in_words(p.greatest_possible, p.dimension));
}

struct Variable {
  double si = 0.0;
  units::Dimension dimension = units::Dimension::number;
  bool is_default = false;
};

class Evaluation {
 public:
  Evaluation(const Entry& entry, const Piece& piece, const TableLookup& tables)
      : entry_(&entry), piece_(&piece), tables_(&tables) {}

  std::variant<Coefficient, Missing> run(const DataSet& set);

 private:
  std::optional<Missing> gather();
  void set(const std::string& name, const Variable& variable) {
    variables_.insert_or_assign(name, variable);
  }
  const Variable* get(const std::string& name);
  void mark_outside(const std::string& name, const Variable& variable, std::array<double, 2> range);
  double table_value(const PrintedTable& table);
  double law(Law law);
  double value(const DataSet& set);
  void set_value(const DataSet& set, Coefficient& c);
  void set_reference(Coefficient& c) const;
  [[nodiscard]] Missing missing_parameter() const;
  double factor(const FactorUse& use);
  void check_valid(const DataSet& set);
  ReynoldsFactor own_reynolds(const DataSet& set, const Axis& axis, double& value_at_end);
  ReynoldsFactor reynolds_correction(const ReynoldsUse& use);
  double friction_length(FrictionLength kind);
  double standard_uncertainty(const DataSet& set, double value, std::string& basis);
  double beyond_edges(const DataSet& set);
  void weaken(Status status);

  const Entry* entry_;
  const Piece* piece_;
  const TableLookup* tables_;
  std::map<std::string, Variable, std::less<>> variables_;
  std::set<std::string> used_;
  std::vector<OutsideRange> outside_;
  std::string missing_;
  Status status_ = Status::seen;
};

/// From firm to soft.
int softness(Status status) {
  switch (status) {
    case Status::seen:
      return 0;
    case Status::computed:
      return 1;
    case Status::derived:
      return 2;
    case Status::memory:
      return 3;
    case Status::common_practice:
      return 4;
    case Status::assumed:
      return 5;
  }
  return 5;
}

void Evaluation::weaken(Status status) {
  if (softness(status) > softness(status_)) {
    status_ = status;
  }
}

const Variable* Evaluation::get(const std::string& name) {
  const auto found = variables_.find(name);
  if (found == variables_.end() || std::isnan(found->second.si)) {
    if (missing_.empty()) {
      missing_ = name;
    }
    return nullptr;
  }
  used_.insert(name);
  return &found->second;
}

void Evaluation::mark_outside(const std::string& name,
                              const Variable& variable,
                              std::array<double, 2> range) {
  const auto same = [&name](const OutsideRange& o) { return o.parameter == name; };
  if (std::none_of(outside_.begin(), outside_.end(), same)) {
    outside_.push_back({.parameter = name,
                        .value = variable.si,
                        .lowest = range[0],
                        .highest = range[1],
                        .unit = std::string(units::row_of(variable.dimension).si_unit)});
  }
}

std::optional<Missing> Evaluation::gather() {
  using units::Dimension;
  const Piece& piece = *piece_;
  set("angle", {piece.angle_rad, Dimension::angle});
  if (piece.upstream.shape() == duct::Shape::round) {
    set("diameter", {piece.upstream.width_m(), Dimension::length});
  }
  set("aspect_ratio", {piece.across_m / piece.in_plane_m, Dimension::number});
  const double change = area_change(piece);
  set("area_ratio", {std::max(change, 1.0 / change), Dimension::number});
  set("small_over_large", {std::min(change, 1.0 / change), Dimension::number});
  for (const Catalogue::Parameter& p : entry_->parameters) {
    const auto stated = piece.parameters.find(p.name);
    if (stated != piece.parameters.end()) {
      const double v = stated->second;
      if (!(v >= p.least_possible && v <= p.greatest_possible)) {
        return Missing{
            .rule = "outside-range",
            .message = fmt::format(
                "`{}` cannot be {}: {}", p.name, in_words(v, p.dimension), possible_words(p)),
            .help = p.meaning,
            .parameter = p.name};
      }
      set(p.name, {v, p.dimension});
    } else if (p.default_value) {
      set(p.name, {*p.default_value, p.dimension, true});
    } else if (p.required) {
      return Missing{
          .rule = "missing-parameter",
          .message = fmt::format(
              "{}/{} needs `{}`: {}", word(entry_->kind), entry_->type, p.name, p.meaning),
          .help = fmt::format("state `{}`", p.name),
          .parameter = p.name};
    }
  }
  const auto length = piece.parameters.find("length");
  if (piece.kind == Kind::transition && length != piece.parameters.end() &&
      variables_.find("included_angle") != variables_.end()) {
    if (piece.parameters.find("included_angle") != piece.parameters.end()) {
      return Missing{.rule = "conflicting-parameters",
                     .message =
                         "`length` and `included_angle` are both stated; one follows from "
                         "the other",
                     .help = "state one of them",
                     .parameter = "included_angle"};
    }
    set("included_angle", {included_angle_rad(piece, length->second), Dimension::angle});
  }
  return std::nullopt;
}

double Evaluation::table_value(const PrintedTable& table) {
  if (table.axes.empty()) {
    return table.values.front();
  }
  DUCTLEDGER_EXPECTS(table.ready.has_value());
  std::array<double, numeric::Table::kMaxAxes> coordinates{};
  for (std::size_t i = 0; i < table.axes.size(); ++i) {
    const Variable* variable = get(table.axes[i].name);
    if (variable == nullptr) {
      return kUnknown;
    }
    coordinates[i] = variable->si / table.axes[i].si_per_unit;
  }
  for (std::size_t i = 0; i < table.axes.size(); ++i) {
    for (const double node : table.ready->axis(i)) {
      if (std::abs(coordinates[i] - node) <= kNodeTolerance * std::abs(node)) {
        coordinates[i] = node;
      }
    }
  }
  const numeric::TableValue read =
      table.ready->at(std::span<const double>(coordinates.data(), table.axes.size()));
  for (std::size_t i = 0; i < table.axes.size(); ++i) {
    if (read.places[i] != numeric::AxisPlace::inside) {
      const Axis& axis = table.axes[i];
      const auto nodes = table.ready->axis(i);
      mark_outside(axis.name,
                   variables_.find(axis.name)->second,
                   {nodes.front() * axis.si_per_unit, nodes.back() * axis.si_per_unit});
    }
  }
  return table.scale == Scale::logarithmic ? std::exp(read.value) : read.value;
}

double Evaluation::law(Law law) {
  std::array<double, 2> arguments{};
  const auto& names = law_variables(law);
  for (std::size_t i = 0; i < names.size(); ++i) {
    const Variable* variable = get(names[i]);
    if (variable == nullptr) {
      return kUnknown;
    }
    arguments[i] = variable->si;
    for (const Catalogue::Parameter& p : entry_->parameters) {
      if (p.name == names[i] && (arguments[i] < p.lowest || arguments[i] > p.highest)) {
        mark_outside(p.name, *variable, {p.lowest, p.highest});
        arguments[i] = std::clamp(arguments[i], p.lowest, p.highest);
      }
    }
  }
  return law_value(law, {.first = arguments[0], .second = arguments[1]});
}

double Evaluation::factor(const FactorUse& use) {
  const bool exact =
      !use.exact_at.empty() &&
      std::all_of(use.exact_at.begin(), use.exact_at.end(), [this](const auto& at) {
        const auto found = variables_.find(at.first);
        return found != variables_.end() && std::abs(found->second.si - at.second) < 1e-9;
      });
  if (!exact) {
    weaken(use.status);
  }
  if (use.law) {
    return law(*use.law) / use.over;
  }
  const DataSet* set = nullptr;
  if (use.table.empty()) {
    set = entry_->find(use.data);
  } else if (const SupportTable* support = (*tables_)(use.table)) {
    set = support->find(use.data);
  }
  DUCTLEDGER_EXPECTS(set != nullptr);
  const double own = set->law ? law(*set->law) : table_value(*set->table);
  return own / use.over;
}

double Evaluation::value(const DataSet& set) {
  double v = set.law ? law(*set.law) : table_value(*set.table);
  for (const FactorUse& use : set.factors) {
    v *= factor(use);
  }
  return v + set.plus;
}

void Evaluation::check_valid(const DataSet& set) {
  for (const auto& [name, range] : set.valid) {
    const auto found = variables_.find(name);
    if (found != variables_.end() && !std::isnan(found->second.si) &&
        (found->second.si < range[0] * (1.0 - kNodeTolerance) ||
         found->second.si > range[1] * (1.0 + kNodeTolerance))) {
      used_.insert(name);
      mark_outside(name, found->second, range);
    }
  }
}

/// A table with an axis of Reynolds number or velocity becomes the value at the last node and a
/// factor for the others.
ReynoldsFactor Evaluation::own_reynolds(const DataSet& set,
                                        const Axis& axis,
                                        double& value_at_end) {
  const bool by_velocity = axis.name == "velocity";
  const double re_per_velocity = piece_->upstream.hydraulic_diameter_m() *
                                 units::kStandardDensityKgM3 / units::kStandardViscosityPaS;
  std::vector<ReynoldsFactor::Node> nodes;
  for (const auto& at : axis.at) {
    const double si = at[0] * axis.si_per_unit;
    this->set(axis.name, {si});
    nodes.push_back({by_velocity ? si * re_per_velocity : si, value(set)});
  }
  used_.erase(axis.name);
  value_at_end = nodes.back().factor;
  if (value_at_end == 0.0 || std::isnan(value_at_end)) {
    return {};
  }
  for (auto& node : nodes) {
    node.factor /= value_at_end;
  }
  const bool constant = set.reynolds && set.reynolds->constant_beyond;
  return ReynoldsFactor::table(
      nodes, constant ? ReynoldsFactor::Beyond::constant : ReynoldsFactor::Beyond::unknown);
}

ReynoldsFactor Evaluation::reynolds_correction(const ReynoldsUse& use) {
  if (use.bend_law) {
    const Variable* ratio = get("radius_ratio");
    if (ratio == nullptr) {
      return {};
    }
    if (ratio->si < 0.55) {
      return ReynoldsFactor::law(ReynoldsFactor::Law::bend_sharp);
    }
    return ReynoldsFactor::law(ratio->si < 0.70 ? ReynoldsFactor::Law::bend_tight
                                                : ReynoldsFactor::Law::bend_smooth);
  }
  if (!use.table) {
    return {};
  }
  const auto& axes = use.table->axes;
  const auto axis =
      std::find_if(axes.begin(), axes.end(), [](const Axis& a) { return a.name == "reynolds"; });
  std::vector<ReynoldsFactor::Node> nodes;
  for (const auto& at : axis->at) {
    const double re = at[0] * axis->si_per_unit;
    set("reynolds", {re});
    nodes.push_back({re, table_value(*use.table)});
  }
  used_.erase("reynolds");
  return ReynoldsFactor::table(
      nodes,
      use.constant_beyond ? ReynoldsFactor::Beyond::constant : ReynoldsFactor::Beyond::unknown);
}

double Evaluation::friction_length(FrictionLength kind) {
  switch (kind) {
    case FrictionLength::none:
      return 0.0;
    case FrictionLength::arc: {
      const Variable* angle = get("angle");
      const Variable* ratio = get("radius_ratio");
      if (angle == nullptr || ratio == nullptr) {
        return 0.0;
      }
      const bool is_round = piece_->upstream.shape() == duct::Shape::round;
      const double side_m = is_round ? piece_->upstream.width_m() : piece_->in_plane_m;
      return angle->si * ratio->si * side_m;
    }
    case FrictionLength::cone: {
      const Variable* theta = get("included_angle");
      const Variable* ratio = get("small_over_large");
      if (theta == nullptr || ratio == nullptr) {
        return 0.0;
      }
      const double small_m = std::min(piece_->upstream.equivalent_diameter_m(),
                                      piece_->downstream.equivalent_diameter_m());
      return small_m / (8.0 * std::sin(theta->si / 2.0)) * (1.0 - ratio->si * ratio->si);
    }
  }
  return 0.0;
}

/// What the distance from the edges of the published ranges may change, relative to the value in
/// use: where the edge was held, what the slope at the edge makes of the distance, the greater of a
/// straight line and a power; where a law was carried on, what it changed since the edge.
double Evaluation::beyond_edges(const DataSet& set) {
  const std::vector<OutsideRange> outside = outside_;
  const std::set<std::string> used = used_;
  const Status status = status_;
  double squares = 0.0;
  for (const OutsideRange& one : outside) {
    const auto found = variables_.find(one.parameter);
    if (found == variables_.end() || one.parameter == "reynolds" || one.parameter == "velocity" ||
        !(one.lowest < one.highest)) {
      continue;  // the flow's own doubt is the Reynolds factor's; a single point has no slope
    }
    const double x = found->second.si;
    const bool below = x < one.lowest;
    const double edge = below ? one.lowest : one.highest;
    const double inside = edge + (below ? 1.0 : -1.0) * kEdgeStep * (one.highest - one.lowest);
    const auto value_at = [&](double si) {
      found->second.si = si;
      const double v = value(set);
      found->second.si = x;
      return v;
    };
    const double in_use = value_at(x);
    const double at_edge = value_at(edge);
    const double within = value_at(inside);
    if (!(std::abs(in_use) > kNodeTolerance)) {
      continue;
    }
    double change = std::abs(in_use - at_edge);
    if (change <= kNodeTolerance * std::abs(in_use)) {
      change = std::abs((at_edge - within) / (edge - inside) * (x - edge));
      if (x > 0.0 && inside > 0.0 && at_edge * within > 0.0) {
        const double power = std::log(at_edge / within) / std::log(edge / inside);
        change = std::max(change, std::abs(at_edge * std::expm1(power * std::log(x / edge))));
      }
    }
    const double relative = change / std::max(std::abs(in_use), std::abs(at_edge));
    squares += relative * relative;
  }
  outside_ = outside;
  used_ = used;
  status_ = status;
  return std::isfinite(squares) ? std::min(std::sqrt(squares), kMostBeyond) : kMostBeyond;
}

double Evaluation::standard_uncertainty(const DataSet& set, double value, std::string& basis) {
  const Uncertainty& u = set.uncertainty ? *set.uncertainty : entry_->uncertainty;
  basis = u.basis;
  // The table of uncertainties has ends of its own, which are no limits of the coefficient.
  const auto outside = outside_;
  double relative = table_value(u.relative);
  outside_ = outside;
  if (u.absolute > 0.0 && value > 0.0) {
    relative = std::max(relative, std::min(1.0, u.absolute / value));
  }
  if (set.measured) {
    relative = std::hypot(relative, set.measured->residual_spread);
    basis += fmt::format("; and the spread of the readings about the fit, {:.1f} %, in squares",
                         100.0 * set.measured->residual_spread);
  }
  if (const double beyond = beyond_edges(set); beyond > 0.0) {
    relative = std::hypot(relative, beyond);
    basis += fmt::format(
        "; and {:.2g} % for the distance from the edge of the range, by the slope there, in "
        "squares",
        100.0 * beyond);
  }
  const bool oval = piece_->upstream.shape() == duct::Shape::flat_oval ||
                    piece_->downstream.shape() == duct::Shape::flat_oval;
  if (oval && entry_->flat_oval) {
    relative = std::max(relative, table_value(entry_->flat_oval->relative));
    basis = entry_->flat_oval->basis;
    weaken(Status::assumed);
  }
  return relative;
}

/// The value at the flow's own Reynolds number, by an axis or by the correction beside the table.
void Evaluation::set_value(const DataSet& set, Coefficient& c) {
  const Axis* flow_axis = nullptr;
  if (set.table) {
    const auto axis = std::ranges::find_if(set.table->axes, [](const Axis& one) {
      return one.name == "reynolds" || one.name == "velocity";
    });
    flow_axis = axis == set.table->axes.end() ? nullptr : &*axis;
  }
  if (flow_axis != nullptr) {
    c.reynolds = own_reynolds(set, *flow_axis, c.value);
    return;
  }
  c.value = value(set);
  if (set.reynolds && missing_.empty()) {
    c.reynolds = reynolds_correction(*set.reynolds);
  }
}

/// The section that the coefficient's velocity pressure is of.
void Evaluation::set_reference(Coefficient& c) const {
  c.reference = entry_->reference;
  if (entry_->small_reference) {
    c.reference = area_change(*piece_) >= 1.0 ? Reference::upstream : Reference::downstream;
  }
  if (const auto face = variables_.find("face"); face != variables_.end()) {
    c.reference = Reference::face;
    c.face_area_m2 = face->second.si;
  }
}

Missing Evaluation::missing_parameter() const {
  const bool plane = missing_ == "aspect_ratio";
  return {.rule = "missing-parameter",
          .message =
              plane ? "the side in the plane of the turn is not known"
                    : fmt::format("{}/{} needs `{}`", word(entry_->kind), entry_->type, missing_),
          .help = plane ? "state `plane: width` or `plane: height`, or give headings"
                        : fmt::format("state `{}`", missing_),
          .parameter = plane ? "plane" : missing_};
}

std::variant<Coefficient, Missing> Evaluation::run(const DataSet& set) {
  if (auto fault = gather()) {
    return *fault;
  }
  if ((set.law && !gives_coefficient(*set.law)) || (!set.law && !set.table)) {
    return Missing{
        .rule = "no-coefficient",
        .message = fmt::format(
            "{}/{} has no coefficient of one piece alone", word(entry_->kind), entry_->type),
        .help = entry_->use,
        .parameter = ""};
  }
  status_ = set.status;
  Coefficient c;
  set_value(set, c);
  if (piece_->upstream.shape() != piece_->downstream.shape() &&
      c.value < set.floor_on_shape_change) {
    c.value = set.floor_on_shape_change;
    weaken(Status::derived);
  }
  check_valid(set);
  c.friction_length_m = friction_length(set.friction);
  c.standard_uncertainty = standard_uncertainty(set, c.value, c.uncertainty_basis);
  if (!missing_.empty()) {
    return missing_parameter();
  }
  set_reference(c);
  c.type = entry_->type;
  c.entry = entry_->key();
  c.data_set = set.key;
  c.source = set.source;
  c.status = status_;
  if (set.range) {
    c.stated_range = *set.range;
  }
  c.floating = entry_->floating;
  c.outside = outside_;
  for (const auto& [name, variable] : variables_) {
    if (variable.is_default && used_.count(name) != 0) {
      c.defaults.push_back({.parameter = name,
                            .value = variable.si,
                            .unit = std::string(units::row_of(variable.dimension).si_unit)});
    }
  }
  return c;
}

}  // namespace

bool fits(const Entry& entry, const Piece& piece) {
  const bool shapes =
      std::any_of(entry.from_to.begin(), entry.from_to.end(), [&piece](const auto& pair) {
        return pair[0].holds(piece.upstream.shape()) && pair[1].holds(piece.downstream.shape());
      });
  return shapes && (entry.change == Change::none || entry.change == change_of(piece));
}

std::variant<Coefficient, Missing> evaluate(const Entry& entry,
                                            const DataSet& set,
                                            const Piece& piece,
                                            const TableLookup& tables) {
  return Evaluation(entry, piece, tables).run(set);
}

}  // namespace ductledger::fitting
