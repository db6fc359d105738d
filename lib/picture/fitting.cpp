#include "picture/fitting.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "units/quantity.hpp"
#include "words/fittings.hpp"

namespace ductledger::picture {

using study::FittingSheet;
using study::FittingValue;
using units::Dimension;

Plot fitting_plot(const FittingSheet& sheet) {
  Plot plot;
  plot.id = "fitting";
  plot.title = sheet.entry->title;
  const bool single = sheet.quantities.empty();
  plot.y = {.title = single                                     ? "coefficient C"
                     : sheet.entry->kind == fitting::Kind::flex ? "multiplier on the friction"
                                                                : "coefficient C, combined leg",
            .dimension = Dimension::number,
            .lowest = 0.0};
  if (sheet.curve.lines.empty()) {
    // A constant: the same at every velocity.
    plot.x = {.title = "velocity", .dimension = Dimension::velocity};
    const FittingValue& first = sheet.values.front();
    const double c = first.coefficient ? first.coefficient->value : 0.0;
    const double u = first.coefficient ? first.coefficient->standard_uncertainty : 0.0;
    const double highest_m_s = 2000.0 * units::kM_SPerFpm;
    plot.lines.push_back({.label = first.set->key, .points = {{0.0, c}, {highest_m_s, c}}});
    plot.bands.push_back({.label = "one standard uncertainty",
                          .points = {{0.0, c * (1.0 - u), c * (1.0 + u)},
                                     {highest_m_s, c * (1.0 - u), c * (1.0 + u)}}});
    plot.reading = fmt::format("C is {:.3g} whatever the velocity.", c);
    return plot;
  }
  std::string name = sheet.curve.variable;
  std::replace(name.begin(), name.end(), '_', ' ');
  plot.x = {.title = name, .dimension = sheet.curve.dimension};
  constexpr std::array kDashes{Dash::solid, Dash::dashed, Dash::dotted, Dash::dash_dot};
  constexpr std::array kMarks{Mark::dot, Mark::ring, Mark::triangle, Mark::square};
  double lowest = 1e300;
  double highest = 0.0;
  double least = 0.0;
  for (std::size_t i = 0; i < sheet.curve.lines.size(); ++i) {
    const auto& from = sheet.curve.lines[i];
    const Tint tint = i == 0 ? Tint::first : i == 1 ? Tint::second : Tint::quiet;
    std::string label = from.name;
    std::replace(label.begin(), label.end(), '_', ' ');
    PlotLine line{.label = label, .points = {}, .tint = tint, .dash = kDashes[i % 4]};
    for (std::size_t k = 0; k < from.x.size(); ++k) {
      line.points.push_back({from.x[k], from.value[k]});
      if (std::isfinite(from.value[k])) {
        highest = std::max(highest, from.value[k]);
        least = std::min(least, from.value[k]);
        lowest = from.value[k] > 0.0 ? std::min(lowest, from.value[k]) : lowest;
      }
    }
    PlotMarks marks{.points = {}, .mark = kMarks[i % 4], .tint = tint};
    for (std::size_t k = 0; k < from.node_x.size(); ++k) {
      marks.points.push_back({from.node_x[k], from.node_value[k]});
    }
    plot.lines.push_back(std::move(line));
    if (!marks.points.empty()) {
      marks.label = plot.marks.empty() ? "printed nodes (marks)" : "";
      plot.marks.push_back(std::move(marks));
    }
  }
  if (highest > 50.0 * lowest && highest > 10.0 && least >= 0.0) {
    plot.y.scale = AxisScale::logarithmic;
    plot.y.lowest.reset();
  } else if (least < 0.0) {
    plot.y.lowest.reset();
  }
  plot.reading = fmt::format("{} against {}, at {}.",
                             plot.y.title,
                             name,
                             words::sections_of(sheet.piece, units::System::ip));
  return plot;
}

}  // namespace ductledger::picture
