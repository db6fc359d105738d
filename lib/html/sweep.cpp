#include "html/sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "html/texts_internal.hpp"
#include "picture/plot.hpp"
#include "picture/svg.hpp"
#include "text/sweep.hpp"

namespace ductledger::html {
namespace {

using picture::Dash;
using picture::Plot;
using study::SweepPoint;
using study::Varied;
using units::Dimension;

constexpr std::size_t kMostLines = 5;

/// Share of the rows that deliver at most an airflow.
std::optional<Plot> distribution_plot(std::span<const SweepPoint> points) {
  std::vector<double> airflows;
  for (const SweepPoint& point : points) {
    if (point.airflow_m3_s) {
      airflows.push_back(*point.airflow_m3_s);
    }
  }
  if (airflows.empty()) {
    return std::nullopt;
  }
  std::sort(airflows.begin(), airflows.end());
  Plot plot{
      .title = "Share of the rows that deliver at most an airflow",
      .x = {.title = "delivered airflow", .dimension = Dimension::airflow},
      .y = {
          .title = "share of rows", .dimension = Dimension::ratio, .lowest = 0.0, .highest = 1.0}};
  picture::PlotLine line;
  constexpr std::size_t kPoints = 200;
  const std::size_t count = std::min(kPoints, airflows.size());
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t at = count == 1 ? 0 : i * (airflows.size() - 1) / (count - 1);
    line.points.push_back(
        {airflows[at], static_cast<double>(at + 1) / static_cast<double>(airflows.size())});
  }
  plot.lines.push_back(std::move(line));
  return plot;
}

/// Airflow over a place whose values are numbers, a line for each value of a second one.
std::optional<Plot> grid_plot(const study::Sweep& sweep,
                              std::span<const SweepPoint> points,
                              units::System system) {
  const std::vector<Varied>& grid = sweep.asked().grid;
  if (!grid.front().dimension || grid.front().texts.size() < 2) {
    return std::nullopt;
  }
  const Varied& along = grid.front();
  std::size_t inner = 1;
  for (std::size_t i = 1; i < grid.size(); ++i) {
    inner *= grid[i].texts.size();
  }
  const std::size_t all_lines = grid.size() > 1 ? grid[1].texts.size() : 1;
  const std::size_t apart = inner / all_lines;
  const std::size_t lines = std::min(all_lines, kMostLines);
  Plot plot{.title = "Delivered airflow over " + along.path.text(),
            .x = {.title = along.path.text(), .dimension = *along.dimension},
            .y = {.title = "delivered airflow", .dimension = Dimension::airflow}};
  constexpr std::array<Dash, 4> kDashes{Dash::solid, Dash::dashed, Dash::dotted, Dash::dash_dot};
  bool any = false;
  for (std::size_t j = 0; j < lines; ++j) {
    const std::size_t at = lines == 1 ? 0 : j * (all_lines - 1) / (lines - 1);
    picture::PlotLine line{.dash = kDashes[j % kDashes.size()]};
    picture::PlotBand band;
    if (grid.size() > 1) {
      line.label = grid[1].dimension
                       ? units::display(grid[1].values[at], *grid[1].dimension, system)
                       : grid[1].texts[at];
    }
    for (std::size_t i = 0; i < along.values.size(); ++i) {
      const SweepPoint& point = points[i * inner + at * apart];
      if (point.airflow_m3_s) {
        any = true;
        line.points.push_back({along.values[i], *point.airflow_m3_s});
        if (point.band_m3_s && lines == 1) {
          band.points.push_back({along.values[i], point.band_m3_s->low, point.band_m3_s->high});
        }
      }
    }
    if (!band.points.empty()) {
      plot.bands.push_back(std::move(band));
    }
    if (!line.points.empty()) {
      plot.lines.push_back(std::move(line));
    }
  }
  return any ? std::optional(plot) : std::nullopt;
}

}  // namespace

std::string sweep_html(const study::CheckResult& as_it_is,
                       const study::Sweep& sweep,
                       std::span<const SweepPoint> points,
                       const SweepPageOptions& options) {
  const layout::Layout& layout = as_it_is.layout;
  const std::string title =
      picture::xml_escaped("Sweep: " + (layout.title.empty() ? layout.file : layout.title));
  const std::string version = picture::xml_escaped(options.tool_version);
  std::string out = fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
      "<meta name=\"generator\" content=\"ductledger {}\">\n<title>{}</title>\n<style>{}{}{}"
      "pre{{overflow-x:auto}}</style>\n</head>\n<body>\n<main id=\"main\">\n<h1>{}</h1>\n",
      version,
      title,
      picture::page_palette(),
      picture::picture_rules(),
      page_rules(),
      title);
  const auto plot = sweep.asked().sample.empty() ? grid_plot(sweep, points, options.system)
                                                 : distribution_plot(points);
  if (plot) {
    out += "<figure>" +
           picture::plot_svg(*plot, {.system = options.system, .use = picture::PictureUse::page}) +
           "</figure>\n";
  }
  out += fmt::format(
      "<pre>{}</pre>\n",
      picture::xml_escaped(text::sweep_text(
          as_it_is, sweep, points, {.system = options.system, .profile = text::Profile::ascii})));
  out += fmt::format("<p>Layout file {}, sha256 {}; catalogue {}.</p>\n</main>\n",
                     picture::xml_escaped(layout.file),
                     layout.sha256,
                     as_it_is.catalogue_hash);
  out += fmt::format(
      "<footer class=\"foot\"><p>Made by ductledger {}. It is a calculation, no permit: local code "
      "and the authority having jurisdiction decide.</p></footer>\n</body>\n</html>\n",
      version);
  return out;
}

}  // namespace ductledger::html
