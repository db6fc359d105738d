#include "text/fittings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/text.hpp"
#include "duct/section.hpp"
#include "fitting/floating_flap.hpp"
#include "text/page.hpp"
#include "text/table.hpp"
#include "units/quantity.hpp"
#include "words/fittings.hpp"

namespace ductledger::text {

using study::FittingSheet;
using study::FittingValue;
using study::FittingVariable;
using units::Dimension;

namespace {

constexpr std::size_t kMostRows = 12;

std::string reference_words(fitting::Reference reference, const FittingSheet& sheet) {
  if (reference == fitting::Reference::face) {
    return "the stated face";
  }
  if (sheet.entry->small_reference) {
    return "the smaller section";
  }
  return reference == fitting::Reference::downstream ? "the duct after it" : "the duct before it";
}

std::string place_words(const FittingSheet& sheet, units::System system) {
  std::string text = words::sections_of(sheet.piece, system);
  if (sheet.section_taken) {
    text += " (taken)";
  }
  for (const FittingVariable& v : sheet.variables) {
    if (std::isnan(v.value) || v.name == "diameter" || v.name == "aspect_ratio") {
      continue;
    }
    text += fmt::format(", {} {}{}",
                        v.name,
                        words::variable_text(v.value, v.dimension, system),
                        v.taken ? " (taken)" : "");
  }
  return text;
}

std::string airflow_words(const FittingSheet& sheet, units::System system) {
  return fmt::format("{} ({}{})",
                     units::display(sheet.airflow_m3_s, Dimension::airflow, system),
                     units::display(sheet.velocity_m_s, Dimension::velocity, system),
                     sheet.airflow_taken ? ", taken" : "");
}

void value_lines(Page& page, const FittingSheet& sheet) {
  const units::System system = page.options().system;
  page.paragraph("At " + place_words(sheet, system) + ":");
  if (sheet.values.empty()) {
    for (const study::FittingQuantity& quantity : sheet.quantities) {
      std::string name = quantity.name;
      std::replace(name.begin(), name.end(), '_', ' ');
      page.strong_paragraph(fmt::format("{} {:.3f}", name, quantity.value));
    }
    page.paragraph(sheet.entry->kind == fitting::Kind::flex
                       ? "times the friction of the stretched duct, on the installed length"
                       : "both on the velocity pressure of the combined leg; negative: that "
                         "stream gains from the other");
    return;
  }
  const FittingValue& first = sheet.values.front();
  if (!first.coefficient) {
    page.paragraph(first.missing);
    return;
  }
  const fitting::Coefficient& c = *first.coefficient;
  std::string line = fmt::format("C {:.3g}, one standard uncertainty {:.0f} %",
                                 c.value * first.reynolds_factor,
                                 100.0 * c.standard_uncertainty);
  if (!c.reynolds.is_constant() && std::abs(first.reynolds_factor - 1.0) > 5e-4) {
    line += fmt::format(" ({:.3g} times {:.2f} for Reynolds number {:.0f})",
                        c.value,
                        first.reynolds_factor,
                        first.reynolds);
  }
  page.strong_paragraph(line);
  page.paragraph("on the velocity pressure of " + reference_words(c.reference, sheet) +
                 "; basis of the uncertainty: " + c.uncertainty_basis);
  std::string cost = fmt::format("At {} of standard air it costs {}",
                                 airflow_words(sheet, system),
                                 units::display(first.loss_pa, Dimension::pressure, system));
  if (c.friction_length_m > 0.0) {
    cost += fmt::format(", the friction over its own {} included: {:.3g} velocity pressures in all",
                        units::display(c.friction_length_m, Dimension::length, system),
                        first.whole_coefficient);
  }
  page.paragraph(cost + ".");
  if (sheet.equivalent_length_m) {
    page.paragraph(
        fmt::format("Equivalent length {} of galvanized steel duct {}, at this airflow alone.",
                    units::display(*sheet.equivalent_length_m, Dimension::length, system),
                    duct::to_text(sheet.reference, system)));
  }
  if (first.reynolds_outside) {
    page.paragraph(
        fmt::format("Reynolds number {:.0f} lies outside {:.0f} to {:.0f}, the range of "
                    "its source; the edge is used.",
                    first.reynolds,
                    c.reynolds.lowest(),
                    c.reynolds.highest()));
  }
}

void variables_table(Page& page, const FittingSheet& sheet) {
  if (sheet.variables.empty()) {
    return;
  }
  const units::System system = page.options().system;
  page.heading("Parameters");
  for (const FittingVariable& v : sheet.variables) {
    const bool is_parameter = std::any_of(sheet.entry->parameters.begin(),
                                          sheet.entry->parameters.end(),
                                          [&](const auto& p) { return p.name == v.name; });
    std::string text = fmt::format("{}: {} to {}",
                                   v.name,
                                   words::variable_text(v.lowest, v.dimension, system),
                                   words::variable_text(v.highest, v.dimension, system));
    text += v.default_value
                ? fmt::format(", default {}",
                              words::variable_text(*v.default_value, v.dimension, system))
            : v.required ? ", required"
                         : "";
    text += fmt::format("; {}{}", v.meaning, is_parameter ? "" : " (from the geometry)");
    page.bullet(text);
  }
}

void curve_table(Page& page, const FittingSheet& sheet) {
  if (sheet.curve.lines.empty()) {
    return;
  }
  const units::System system = page.options().system;
  const study::FittingCurve::Line& line = sheet.curve.lines.front();
  const bool at_nodes = !line.node_x.empty();
  const std::vector<double>& xs = at_nodes ? line.node_x : line.x;
  page.heading(fmt::format("C along {}, else as above{}",
                           sheet.curve.variable,
                           at_nodes ? " (at the printed nodes)" : ""));
  std::vector<Column> columns{{sheet.curve.variable, "", Align::right, 0}};
  for (const auto& one : sheet.curve.lines) {
    columns.push_back({one.name, "", Align::right, static_cast<int>(columns.size()) - 1});
  }
  Table table(columns);
  const std::size_t step = xs.size() > 2 * kMostRows ? (xs.size() - 1) / kMostRows : 1;
  for (std::size_t i = 0; i < xs.size(); i += step) {
    std::vector<std::string> cells{words::variable_text(xs[i], sheet.curve.dimension, system)};
    for (const auto& one : sheet.curve.lines) {
      // Straight between the drawn points; blank beyond what the data set covers.
      std::string cell = "-";
      for (std::size_t k = 1; k < one.x.size(); ++k) {
        const double low = one.x[k - 1];
        const double high = one.x[k];
        if (xs[i] >= low - 1e-9 && xs[i] <= high + 1e-9) {
          const double t = std::clamp((xs[i] - low) / (high - low), 0.0, 1.0);
          cell = fmt::format("{:.3g}", one.value[k - 1] + t * (one.value[k] - one.value[k - 1]));
        }
      }
      for (std::size_t k = 0; k < one.node_x.size(); ++k) {
        if (std::abs(one.node_x[k] - xs[i]) <= 1e-9 * std::max(1.0, std::abs(xs[i]))) {
          cell = fmt::format("{:.3g}", one.node_value[k]);
        }
      }
      cells.push_back(cell);
    }
    table.row(std::move(cells));
  }
  page.table(table);
}

void alternatives(Page& page, const FittingSheet& sheet) {
  if (sheet.values.size() < 2) {
    return;
  }
  page.heading("What each source says here, friction over its own length included");
  Table table({{"source:", "", Align::left, 0},
               {"C in all", "", Align::right, 0},
               {"status", "", Align::left, 1},
               {"", "", Align::left, 0}});
  for (const FittingValue& value : sheet.values) {
    std::string remark = &value == &sheet.values.front() ? "taken" : "";
    if (!value.coefficient) {
      remark = "not for this piece";
    } else if (!value.coefficient->outside.empty()) {
      remark = fmt::format("outside its {}", value.coefficient->outside.front().parameter);
    } else if (value.reynolds_outside) {
      remark = "outside its Reynolds numbers";
    }
    table.row({value.set->key,
               value.coefficient ? fmt::format("{:.3g}", value.whole_coefficient) : "-",
               fitting::word(value.coefficient ? value.coefficient->status : value.set->status),
               remark});
  }
  page.table(table);
  const study::CoefficientSpread spread = study::spread_of(sheet);
  if (spread.count > 1) {
    page.paragraph(fmt::format(
        "Spread of those inside their ranges: {:.3g} to {:.3g}.", spread.lowest, spread.highest));
  }
  if (!sheet.entry->spread.empty()) {
    page.paragraph("Why the uncertainty is less than the spread: " + sheet.entry->spread);
  }
}

/// Ranges that sources print, and what they come to in feet of duct at this airflow.
void ranges(Page& page, const FittingSheet& sheet) {
  if (!sheet.equivalent_length_m || sheet.values.empty() || !sheet.values.front().coefficient ||
      sheet.values.front().whole_coefficient <= 0.0) {
    return;
  }
  const units::System system = page.options().system;
  const double m_per_c = *sheet.equivalent_length_m / sheet.values.front().whole_coefficient;
  const auto length = [&](double coefficient) {
    const double m = coefficient * m_per_c;
    return system == units::System::ip ? fmt::format("{:.0f} ft", m / units::kMetresPerFoot)
                                       : fmt::format("{:.1f} m", m);
  };
  bool first = true;
  for (const fitting::DataSet& set : sheet.entry->data) {
    if (!set.range) {
      continue;
    }
    if (first) {
      page.heading("Published and common figures");
      first = false;
    }
    const auto& [low, high] = *set.range;
    page.bullet(fmt::format("{} ({}): C {:g} to {:g}, {} to {} of duct {} at this airflow",
                            set.key,
                            fitting::word(set.status),
                            low,
                            high,
                            length(low),
                            length(high),
                            duct::to_text(sheet.reference, system)));
  }
}

/// A flap that floats costs more where the stream is slow.
void floating(Page& page, const FittingSheet& sheet) {
  if (sheet.values.empty() || !sheet.values.front().coefficient ||
      !sheet.values.front().coefficient->floating) {
    return;
  }
  const fitting::Coefficient& c = *sheet.values.front().coefficient;
  const fitting::FloatingFlap& flap = *c.floating;
  const double weight_pa = flap.mass_kg_m2 * units::kGravityM_S2;
  const units::System system = page.options().system;
  std::vector<std::string> at;
  for (const double fpm : {200.0, 400.0, 600.0, 1000.0}) {
    const double v = fpm * 0.00508;
    const double lift = units::kStandardDensityKgM3 / 2.0 * v * v / weight_pa;
    at.push_back(fmt::format("{:.2f} at {}",
                             c.value + flap.open_coefficient * fitting::flap_excess(lift),
                             units::display(v, Dimension::velocity, system)));
  }
  page.paragraph(
      fmt::format("That is its flap fully open ({:g} of it). The stream holds the flap of {:g} "
                  "kg/m2 up: C {}.",
                  flap.open_coefficient,
                  flap.mass_kg_m2,
                  base::joined(at, "and")));
}

std::string basis_words(fitting::DropBasis basis) {
  switch (basis) {
    case fitting::DropBasis::total:
      return "total pressure lost";
    case fitting::DropBasis::static_at_cap:
      return "static pressure before the cap; its velocity pressure is added";
    case fitting::DropBasis::static_at_entry:
      return "static pressure behind the entry; its velocity pressure is taken off";
  }
  return "";
}

void readings(Page& page, const FittingSheet& sheet) {
  for (const fitting::DataSet& set : sheet.entry->data) {
    if (!set.measured) {
      continue;
    }
    const fitting::MeasuredDrop& drop = *set.measured;
    const units::System system = page.options().system;
    page.heading(fmt::format("Readings of `{}` and what the fit leaves", set.key));
    page.paragraph(fmt::format("{}, {}; {}.",
                               duct::to_text(drop.section, system),
                               units::display(drop.density_kg_m3, Dimension::density, system),
                               basis_words(drop.basis)));
    Table table({{"airflow", page.unit(Dimension::airflow), Align::right, 0},
                 {"reading", page.unit(Dimension::pressure), Align::right, 0},
                 {"C alone", "", Align::right, 0},
                 {"residual", "", Align::right, 0}});
    for (std::size_t i = 0; i < drop.residual.size(); ++i) {
      table.row({page.bare(drop.airflow_m3_s[i], Dimension::airflow),
                 page.bare(drop.pressure_pa[i], Dimension::pressure),
                 fmt::format("{:.3f}", drop.coefficient[i]),
                 fmt::format("{:+.1f} %", 100.0 * drop.residual[i])});
    }
    page.table(table);
    page.paragraph(
        fmt::format("C {:.3f}: least squares in C, each reading weighs the same. "
                    "The residuals spread by {:.1f} %, which enters the uncertainty.",
                    drop.fitted,
                    100.0 * drop.residual_spread));
    if (drop.trend) {
      page.paragraph(fmt::format(
          "The residuals show a trend: the loss follows the airflow to the power {:.2f}, not 2, as "
          "where a flap opens further. One C holds near the middle of the readings only; beside "
          "them the loss is off by the residuals above.",
          drop.exponent));
    }
  }
}

void sources(Page& page, const FittingSheet& sheet, const fitting::Catalogue& catalogue) {
  page.heading("Sources");
  for (const fitting::DataSet& set : sheet.entry->data) {
    std::string text =
        fmt::format("{} ({}, {})", set.key, fitting::word(set.role), fitting::word(set.status));
    if (const auto source = catalogue.source(set.source)) {
      text += fmt::format(": {}{}{}",
                          source->author.empty() ? "" : source->author + ", ",
                          source->title,
                          source->edition.empty() ? "" : ", " + source->edition);
    } else {
      text += ": " + set.source;
    }
    for (const std::string* part : {&set.location, &set.formula, &set.rule, &set.note}) {
      text += part->empty() ? "" : "; " + *part;
    }
    text += set.via.empty() ? "" : "; read in " + set.via;
    page.bullet(text);
  }
  page.blank();
  page.paragraph(
      "seen: read in the source. memory: not yet checked against its source. computed, derived: "
      "worked out "
      "from a named source. assumed: no source was found.");
}

}  // namespace

std::string fittings_text(const std::vector<const fitting::Entry*>& entries,
                          const TextOptions& options) {
  Page page(options);
  std::optional<fitting::Kind> kind;
  for (const fitting::Entry* entry : entries) {
    if (kind != entry->kind) {
      kind = entry->kind;
      page.heading(fitting::word(entry->kind));
    }
    std::string name = entry->key().substr(entry->key().find('/') + 1);
    page.bullet(fmt::format("{}: {}", name, entry->title));
  }
  page.blank();
  page.paragraph("`ductledger fittings show KIND/TYPE` tells what one is and where it comes from.");
  return page.take();
}

std::string fitting_value_text(const FittingSheet& sheet, const TextOptions& options) {
  Page page(options);
  page.title({sheet.entry->title, sheet.entry->key()});
  value_lines(page, sheet);
  floating(page, sheet);
  return page.take();
}

std::string fitting_sheet_text(const FittingSheet& sheet,
                               const fitting::Catalogue& catalogue,
                               const std::vector<const fitting::Entry*>& others,
                               const TextOptions& options) {
  Page page(options);
  page.title({sheet.entry->title, sheet.entry->key()});
  page.paragraph("Use: " + sheet.entry->use + ".");
  page.blank();
  value_lines(page, sheet);
  floating(page, sheet);
  variables_table(page, sheet);
  curve_table(page, sheet);
  alternatives(page, sheet);
  ranges(page, sheet);
  readings(page, sheet);
  if (!sheet.entry->remarks.empty()) {
    page.heading("Remarks");
    for (const std::string& remark : sheet.entry->remarks) {
      page.bullet(remark);
    }
  }
  sources(page, sheet, catalogue);
  for (const fitting::Entry* other : others) {
    if (other != sheet.entry) {
      page.paragraph(fmt::format("See also {}: {}.", other->key(), other->title));
    }
  }
  return page.take();
}

}  // namespace ductledger::text
