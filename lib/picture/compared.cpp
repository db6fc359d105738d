#include "picture/compared.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.hpp"
#include "picture/curves_internal.hpp"
#include "picture/level_axis_internal.hpp"
#include "words/compare.hpp"

namespace ductledger::picture {
namespace {

using units::Dimension;

const result::SpeedResult* headline(const study::ComparedRun& run) {
  return run.check.headline ? &run.check.speeds[*run.check.headline] : nullptr;
}

/// The fan's trace at the headline speed.
const study::FanTrace* fan_of(const study::ComparedRun& run) {
  const auto& fans = run.check.curves.fans;
  const auto found = std::ranges::find_if(
      fans, [&](const study::FanTrace& one) { return run.check.headline == one.speed; });
  return found == fans.end() ? nullptr : &*found;
}

bool alike(const study::FanTrace& a, const study::FanTrace& b) {
  return std::ranges::equal(a.printed, b.printed, [](const auto& p, const auto& q) {
    return std::abs(p.airflow_m3_s - q.airflow_m3_s) < 1e-6 &&
           std::abs(p.static_pressure_pa - q.static_pressure_pa) <
               0.01 * (1.0 + std::abs(p.static_pressure_pa));
  });
}

void add_run(Plot& plot, const study::Comparison& result, std::size_t index, units::System system) {
  const study::ComparedRun& run = result.runs[index];
  const bool best = result.best == index;
  if (!run.check.curves.run.empty()) {
    plot.lines.push_back({.label = words::run_letter(index),
                          .points = plotted(run.check.curves.run),
                          .tint = best ? Tint::second : Tint::ink,
                          .dash = kDashes[index % kDashes.size()]});
  }
  const result::SpeedResult* speed = headline(run);
  if (speed == nullptr || speed->figures.bound == result::Bound::none) {
    return;
  }
  const double static_pa = speed->figures.static_pressure_pa;
  if (speed->airflow_band_m3_s && std::isfinite(speed->airflow_band_m3_s->low) &&
      std::isfinite(speed->airflow_band_m3_s->high)) {
    plot.lines.push_back({.label = "",
                          .points = {{.x = speed->airflow_band_m3_s->low, .y = static_pa},
                                     {.x = speed->airflow_band_m3_s->high, .y = static_pa}},
                          .tint = best ? Tint::second : Tint::quiet});
  }
  const std::string airflow =
      units::display(speed->figures.airflow_m3_s, Dimension::airflow, system);
  plot.marks.push_back(
      {.label = fmt::format("{} {}", words::run_letter(index), airflow),
       .points = {{.x = speed->figures.airflow_m3_s,
                   .y = static_pa,
                   .reading = fmt::format("{}, {}: {} at {} static",
                                          words::run_letter(index),
                                          base::escaped(run.name),
                                          airflow,
                                          units::display(static_pa, Dimension::pressure, system))}},
       .mark = kMarks[index % kMarks.size()],
       .tint = best ? Tint::second : Tint::ink});
}

/// A name with its remark in so much room: a long name ends in dots.
std::string fitting(std::string name, const std::string& remark, double room_px) {
  constexpr double kBold = 1.15;  // bold text is wider than what is estimated
  const auto fits = [&](const std::string& text) {
    return kBold * text_width_px(text, 12.0) <= room_px;
  };
  if (fits(name + remark)) {
    return name + remark;
  }
  while (!name.empty() && !fits(name + "..." + remark)) {
    while ((static_cast<unsigned char>(name.back()) & 0xC0U) == 0x80U && name.size() > 1) {
      name.pop_back();  // the rest of a character
    }
    name.pop_back();
  }
  return name + "..." + remark;
}

}  // namespace

std::optional<Plot> compared_plot(const study::Comparison& result, units::System system) {
  Plot plot;
  plot.id = "compared";
  plot.title = "Each run and the fan over airflow";
  plot.x = {.title = "airflow", .dimension = Dimension::airflow, .lowest = 0.0};
  plot.y = {.title = "static pressure", .dimension = Dimension::pressure};
  std::vector<const study::FanTrace*> shown;
  double highest_pa = 0.0;
  for (std::size_t i = 0; i < result.runs.size(); ++i) {
    const study::FanTrace* fan = fan_of(result.runs[i]);
    if (fan == nullptr ||
        std::ranges::any_of(shown, [&](const auto* other) { return alike(*fan, *other); })) {
      continue;
    }
    shown.push_back(fan);
    for (const study::CurvePoint& point : fan->points) {
      highest_pa = std::max(highest_pa, point.static_pressure_pa);
    }
    const std::string name = base::escaped(result.runs[i].check.speeds[fan->speed].name);
    plot.lines.push_back(
        {.label = i == 0 ? name : fmt::format("{} of {}", name, words::run_letter(i)),
         .points = plotted(fan->points),
         .tint = Tint::first});
  }
  for (std::size_t i = 0; i < result.runs.size(); ++i) {
    add_run(plot, result, i, system);
  }
  if (plot.lines.empty()) {
    return std::nullopt;
  }
  const auto& required = result.runs.front().check.layout.appliance.required_airflow_m3_s;
  if (required && highest_pa > 0.0) {
    plot.lines.push_back({.label = "",
                          .points = {{.x = *required, .y = 0.0}, {.x = *required, .y = highest_pa}},
                          .tint = Tint::second,
                          .dash = Dash::dashed});
    plot.marks.push_back(
        {.label = "required " + units::display(*required, Dimension::airflow, system),
         .points = {{.x = *required, .y = 0.97 * highest_pa}},
         .mark = Mark::none,
         .tint = Tint::second});
  }
  plot.reading = words::winner_sentence(result, system);
  return plot;
}

namespace {

/// A run's airflow against that of the first.
struct DifferenceRow {
  std::size_t run = 0;
  double airflow_m3_s = 0.0;
  std::optional<result::Band> band;
  bool sure = true;
};

std::vector<DifferenceRow> difference_rows(const study::Comparison& result) {
  std::vector<DifferenceRow> rows;
  for (const std::size_t run : words::best_first(result)) {
    if (const study::Difference* d = words::headline_difference(result.runs[run])) {
      rows.push_back({.run = run,
                      .airflow_m3_s = d->airflow_m3_s,
                      .band = d->band_m3_s,
                      .sure = d->is_sure()});
    } else if (run == 0) {
      rows.push_back({.run = run, .band = std::nullopt});
    }
  }
  return rows;
}

/// Each run's name and, below it, its difference with its band.
class DifferenceChart {
 public:
  DifferenceChart(const study::Comparison& result,
                  const LevelAxis& axis,
                  const PlotOptions& options)
      : result_(result),
        axis_(axis),
        si_per_unit_(axis_unit(Dimension::airflow, options.system).si_per_unit),
        left_(axis.left - 8.0),
        room_px_(options.width_px - 2.0 * left_) {}

  void write(Svg& svg, const DifferenceRow& row, double y) const {
    const bool best = result_.best == row.run;
    svg.text("text",
             text_of(row),
             {{"class", best ? "small strong halo" : "small halo"}, {"x", left_}, {"y", y}});
    const double line = y + 12.0;
    if (row.band && row.band->high > row.band->low) {
      write_level_band(svg,
                       {.from = at(row.band->low), .to = at(row.band->high), .y = line},
                       best ? "line second" : "line");
    }
    svg.leaf("circle",
             {{"class",
               row.run == 0 ? "line paper"
               : best       ? "fill second"
                            : "fill"},
              {"cx", at(row.airflow_m3_s)},
              {"cy", line},
              {"r", 5.0}});
  }

 private:
  [[nodiscard]] double at(double si) const { return axis_.at(si / si_per_unit_); }
  [[nodiscard]] std::string text_of(const DifferenceRow& row) const {
    const std::string remark = row.run == 0 ? ": the others against it"
                               : row.sure   ? ""
                                            : ": may be zero";
    return fitting(
        fmt::format("{} {}", words::run_letter(row.run), base::escaped(result_.runs[row.run].name)),
        remark,
        room_px_);
  }

  const study::Comparison& result_;
  const LevelAxis& axis_;
  double si_per_unit_;
  double left_;
  double room_px_;
};

}  // namespace

std::string differences_svg(const study::Comparison& result,
                            const PlotOptions& options,
                            const std::string& id) {
  const std::vector<DifferenceRow> rows = difference_rows(result);
  double low = 0.0;
  double high = 0.0;
  for (const DifferenceRow& row : rows) {
    low = std::min({low, row.airflow_m3_s, row.band ? row.band->low : 0.0});
    high = std::max({high, row.airflow_m3_s, row.band ? row.band->high : 0.0});
  }
  if (rows.size() < 2 || !(high > low)) {
    return {};
  }
  const AxisUnit unit = axis_unit(Dimension::airflow, options.system);
  constexpr double kRowPx = 40.0;
  constexpr double kTopPx = 26.0;
  const LevelAxis axis{.values = ticks({low / unit.si_per_unit, high / unit.si_per_unit}, 6),
                       .unit = unit.name,
                       .left = 22.0,
                       .right = options.width_px - 34.0,
                       .top = kTopPx - 8.0,
                       .bottom = kTopPx + kRowPx * static_cast<double>(rows.size()) + 4.0,
                       .differences = true};
  Svg svg({.width_px = options.width_px,
           .height_px = axis.bottom + 30.0,
           .title = "Delivered airflow against A",
           .description = words::winner_sentence(result, options.system),
           .id = id,
           .use = options.use});
  write_level_axis(svg, axis);
  const DifferenceChart chart(result, axis, options);
  double y = kTopPx + 8.0;
  for (const DifferenceRow& row : rows) {
    chart.write(svg, row, y);
    y += kRowPx;
  }
  return svg.finish();
}

}  // namespace ductledger::picture
