#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "duct/section_text.hpp"
#include "fitting/read_scope_internal.hpp"
#include "units/quantity.hpp"

namespace ductledger::fitting {
namespace {

using units::Dimension;
using yaml::MapReader;
using yaml::Node;
using yaml::NodeKind;

/// Two readings or more, ascending; false where a fault was reported.
bool read_readings(const Node& airflow, const Node& pressure, MeasuredDrop& drop, Scope& scope) {
  const auto airflows = yaml::read_column(airflow, Dimension::airflow, scope.problems);
  const auto pressures = yaml::read_column(pressure, Dimension::pressure, scope.problems);
  if (!airflows || !pressures) {
    return false;
  }
  if (airflows->size() != pressures->size() || airflows->size() < 2) {
    scope.fault(pressure.span,
                "wrong-count",
                fmt::format("{} airflows and {} pressures", airflows->size(), pressures->size()),
                "expected two readings or more, a pressure for each airflow");
    return false;
  }
  for (std::size_t i = 0; i < airflows->size(); ++i) {
    const double before = i == 0 ? 0.0 : (*airflows)[i - 1];
    if (!((*airflows)[i] > before)) {
      scope.fault(airflow.span,
                  "not-ascending",
                  "the airflows do not ascend from above zero",
                  "sort the readings by airflow; leave out the one at rest");
      return false;
    }
    if (!((*pressures)[i] > 0.0)) {
      scope.fault(pressure.span,
                  "not-positive",
                  "a pressure drop is zero or less",
                  "state the drop as a positive figure");
      return false;
    }
  }
  drop.airflow_m3_s = *airflows;
  drop.pressure_pa = *pressures;
  if (!fit(drop)) {
    scope.fault(pressure.span,
                "not-positive",
                "a static pressure here is below the velocity pressure: no loss is left",
                "is it the total pressure?");
    return false;
  }
  return true;
}

/// The fit as the data set's constant, with where the readings reach.
void take_fit(MeasuredDrop drop, const Node& node, DataSet& set, Scope& scope) {
  PrintedTable constant;
  constant.values.push_back(drop.fitted);
  set.table = std::move(constant);
  const double reynolds_per_airflow = units::kStandardDensityKgM3 *
                                      drop.section.hydraulic_diameter_m() / drop.section.area_m2() /
                                      units::kStandardViscosityPaS;
  PrintedTable flat;
  Axis reynolds;
  reynolds.name = "reynolds";
  reynolds.unit = "-";
  for (const double q : {drop.airflow_m3_s.front(), drop.airflow_m3_s.back()}) {
    reynolds.at.push_back({q * reynolds_per_airflow, q * reynolds_per_airflow});
    flat.values.push_back(1.0);
  }
  flat.axes.push_back(std::move(reynolds));
  if (lay_out(flat, node.span, scope)) {
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

/// Whether `measured_drop` can belong to what is read.
bool has_duct(const Scope& scope) {
  return scope.kind && *scope.kind != Kind::transition && *scope.kind != Kind::junction &&
         *scope.kind != Kind::flex && scope.reference != Reference::face;
}

std::optional<DropBasis> read_basis(const Node& node, Scope& scope) {
  const auto choice =
      yaml::read_choice(node, {"total", "static"}, "basis of a drop", scope.problems);
  if (!choice) {
    return std::nullopt;
  }
  // In one duct both ends have the same velocity pressure: the static drop is the total one.
  return *choice == 0                ? DropBasis::total
         : scope.kind == Kind::cap   ? DropBasis::static_at_cap
         : scope.kind == Kind::entry ? DropBasis::static_at_entry
                                     : DropBasis::total;
}

std::optional<duct::Section> read_drop_section(const Node& node, Scope& scope) {
  const auto text = yaml::read_text(node, scope.problems);
  if (!text) {
    return std::nullopt;
  }
  const auto parsed = duct::parse_section(*text);
  if (const auto* fault = std::get_if<units::TextFault>(&parsed)) {
    yaml::report(*fault, node, scope.problems);
    return std::nullopt;
  }
  return std::get<duct::Section>(parsed);
}

}  // namespace

void read_measured_drop(const Node& node, DataSet& set, Scope& scope) {
  MapReader map(node, "measured_drop", scope.problems);
  if (!map.is_mapping()) {
    return;
  }
  MeasuredDrop drop;
  const Node* section = map.require("section", "6 in round");
  const Node* airflow = map.require("airflow", "100 150 200 250 cfm");
  const Node* pressure = map.require("pressure", "0.02 0.05 0.08 0.13 inH2O");
  const auto density = map.quantity("density", Dimension::density);
  const bool open_end = scope.kind == Kind::cap || scope.kind == Kind::entry;
  const Node* basis = open_end ? map.require("basis", "static") : map.get("basis");
  map.finish();
  if (!has_duct(scope)) {
    scope.fault(node.span,
                "wrong-place",
                "`measured_drop` belongs to a fitting in one duct",
                "a cap, entry, damper, elbow or screen of constant section");
    return;
  }
  if (section == nullptr || airflow == nullptr || pressure == nullptr ||
      (open_end && basis == nullptr)) {
    return;
  }
  drop.density_kg_m3 = density.value_or(units::kStandardDensityKgM3);
  if (density && !(*density >= 0.3 && *density <= 2.0)) {
    scope.fault(map.get("density")->span,
                "outside-range",
                "no air has this density",
                "expected 0.3 kg/m3 to 2 kg/m3");
    return;
  }
  if (basis != nullptr) {
    const auto stated = read_basis(*basis, scope);
    if (!stated) {
      return;
    }
    drop.basis = *stated;
  }
  const auto of = read_drop_section(*section, scope);
  if (!of) {
    return;
  }
  drop.section = *of;
  if (read_readings(*airflow, *pressure, drop, scope)) {
    take_fit(std::move(drop), node, set, scope);
  }
}

}  // namespace ductledger::fitting
