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

namespace {

constexpr std::array kLineDashes{Dash::solid, Dash::dashed, Dash::dotted, Dash::dash_dot};
constexpr std::array kNodeMarks{Mark::dot, Mark::ring, Mark::triangle, Mark::square};

std::string spaced(std::string key) {
  std::ranges::replace(key, '_', ' ');
  return key;
}

const char* axis_title(const FittingSheet& sheet) {
  return sheet.quantities.empty()                   ? "coefficient C"
         : sheet.entry->kind == fitting::Kind::flex ? "multiplier on the friction"
                                                    : "coefficient C, combined leg";
}

/// A constant: the same at every velocity.
void draw_constant(Plot& plot, const FittingValue& value) {
  plot.x = {.title = "velocity", .dimension = Dimension::velocity};
  const double c = value.coefficient ? value.coefficient->value : 0.0;
  const double u = value.coefficient ? value.coefficient->standard_uncertainty : 0.0;
  const double highest_m_s = 2000.0 * units::kM_SPerFpm;
  plot.lines.push_back({.label = value.set->key, .points = {{0.0, c}, {highest_m_s, c}}});
  plot.bands.push_back({.label = "one standard uncertainty",
                        .points = {{0.0, c * (1.0 - u), c * (1.0 + u)},
                                   {highest_m_s, c * (1.0 - u), c * (1.0 + u)}}});
  plot.reading = fmt::format("C is {:.3g} whatever the velocity.", c);
}

/// How far the values of the lines go.
struct Reach {
  double least = 0.0;  ///< below 0 where a value is
  double least_above_0 = 1e300;
  double greatest = 0.0;

  void take(double value) {
    if (!std::isfinite(value)) {
      return;
    }
    greatest = std::max(greatest, value);
    least = std::min(least, value);
    least_above_0 = value > 0.0 ? std::min(least_above_0, value) : least_above_0;
  }
};

/// Lines over the variable, and the nodes that the source prints.
Reach draw_lines(Plot& plot, const study::FittingCurve& curve) {
  Reach reach;
  for (std::size_t i = 0; i < curve.lines.size(); ++i) {
    const auto& from = curve.lines[i];
    const Tint tint = i == 0 ? Tint::first : i == 1 ? Tint::second : Tint::quiet;
    PlotLine line{
        .label = spaced(from.name), .points = {}, .tint = tint, .dash = kLineDashes[i % 4]};
    for (std::size_t k = 0; k < from.x.size(); ++k) {
      line.points.push_back({from.x[k], from.value[k]});
      reach.take(from.value[k]);
    }
    plot.lines.push_back(std::move(line));
    PlotMarks marks{.points = {}, .mark = kNodeMarks[i % 4], .tint = tint};
    for (std::size_t k = 0; k < from.node_x.size(); ++k) {
      marks.points.push_back({from.node_x[k], from.node_value[k]});
    }
    if (!marks.points.empty()) {
      marks.label = plot.marks.empty() ? "printed nodes (marks)" : "";
      plot.marks.push_back(std::move(marks));
    }
  }
  return reach;
}

}  // namespace

Plot fitting_plot(const FittingSheet& sheet) {
  Plot plot;
  plot.id = "fitting";
  plot.title = sheet.entry->title;
  plot.y = {.title = axis_title(sheet), .dimension = Dimension::number, .lowest = 0.0};
  if (sheet.curve.lines.empty()) {
    draw_constant(plot, sheet.values.front());
    return plot;
  }
  plot.x = {.title = spaced(sheet.curve.variable), .dimension = sheet.curve.dimension};
  const Reach reach = draw_lines(plot, sheet.curve);
  if (reach.greatest > 50.0 * reach.least_above_0 && reach.greatest > 10.0 && reach.least >= 0.0) {
    plot.y.scale = AxisScale::logarithmic;
    plot.y.lowest.reset();
  } else if (reach.least < 0.0) {
    plot.y.lowest.reset();
  }
  plot.reading = fmt::format("{} against {}, at {}.",
                             plot.y.title,
                             plot.x.title,
                             words::sections_of(sheet.piece, units::System::ip));
  return plot;
}

}  // namespace ductledger::picture
