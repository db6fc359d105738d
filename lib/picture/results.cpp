#include "picture/results.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "base/text.hpp"
#include "house/limits.hpp"
#include "picture/curves_internal.hpp"
#include "picture/level_axis_internal.hpp"
#include "words/studies.hpp"
#include "words/words.hpp"

namespace ductledger::picture {
namespace {

using units::Dimension;

class Shown {
 public:
  explicit Shown(units::System system) : system_(system) {}
  [[nodiscard]] std::string airflow(double si) const {
    return units::display(si, Dimension::airflow, system_);
  }
  [[nodiscard]] std::string pressure(double si) const {
    return units::display(si, Dimension::pressure, system_);
  }
  [[nodiscard]] std::string length(double si) const {
    return units::display(si, Dimension::length, system_);
  }

 private:
  units::System system_;
};

/// A band with both ends known.
bool has_drawn_band(const result::SpeedResult& speed) {
  return speed.airflow_band_m3_s && std::isfinite(speed.airflow_band_m3_s->low) &&
         std::isfinite(speed.airflow_band_m3_s->high) &&
         speed.airflow_band_m3_s->high > speed.airflow_band_m3_s->low;
}

/// Fan curves and the run's over airflow, and the points where they meet.
class CurvesPlot {
 public:
  CurvesPlot(const study::CheckResult& result, units::System system)
      : result_(result), curves_(result.curves), system_(system), show_(system) {
    const bool no_fan = curves_.fans.empty();
    plot_.title = no_fan ? "What the run asks of a fan" : "Fan and run over airflow";
    plot_.x = {.title = "airflow", .dimension = Dimension::airflow, .lowest = 0.0};
    plot_.y = {.title = "static pressure", .dimension = Dimension::pressure};
  }

  [[nodiscard]] Plot drawn() {
    for (std::size_t i = 0; i < curves_.fans.size(); ++i) {
      add_fan(curves_.fans[i], kDashes[i % kDashes.size()]);
    }
    plot_.lines.push_back({.label = in_house() ? "run and house" : "the run",
                           .points = plotted(curves_.run),
                           .tint = Tint::ink});
    add_required();
    for (std::size_t i = 0; i < result_.speeds.size(); ++i) {
      add_point(i);
    }
    add_rated();
    plot_.reading = result_.headline
                        ? meeting(result_.speeds[*result_.headline])
                        : "The static pressure that the run asks of a fan at each airflow.";
    if (moved_) {
      plot_.reading += moved_note();
    }
    return std::move(plot_);
  }

 private:
  [[nodiscard]] bool in_house() const { return result_.house.coupled() != nullptr; }

  void add_fan(const study::FanTrace& fan, Dash dash) {
    const result::SpeedResult& speed = result_.speeds[fan.speed];
    plot_.lines.push_back(
        {.label = base::escaped(speed.name) + (speed.locked_out ? " (locked out)" : ""),
         .points = plotted(fan.points),
         .tint = Tint::first,
         .dash = dash});
    if (!fan.other_shape.empty()) {
      plot_.lines.push_back({.label = "",
                             .points = plotted(fan.other_shape),
                             .tint = Tint::quiet,
                             .dash = Dash::dotted});
    }
    PlotMarks printed{.label = "", .points = {}, .mark = Mark::ring, .tint = Tint::first};
    for (const study::CurvePoint& point : fan.printed) {
      printed.points.push_back({.x = point.airflow_m3_s,
                                .y = point.static_pressure_pa,
                                .reading = fmt::format("{}: curve {} at {}",
                                                       words::begun_speed(speed.name),
                                                       show_.airflow(point.airflow_m3_s),
                                                       show_.pressure(point.static_pressure_pa))});
    }
    plot_.marks.push_back(std::move(printed));
    if (auto before = as_printed(fan.speed)) {
      plot_.marks.push_back(*std::move(before));
      moved_ = true;
    }
  }

  /// The curve's points as the maker printed them, where the air here is so unlike the air of the
  /// rating that they moved by more than a hundredth.
  [[nodiscard]] std::optional<PlotMarks> as_printed(std::size_t speed) const {
    const layout::Fan& fan = *result_.layout.fan;
    const double moved = result_.run.air.density_kg_m3 / fan.rated_density_kg_m3 - 1.0;
    if (fan.basis != fan::PressureBasis::static_pressure || std::abs(moved) < 0.01 ||
        speed >= fan.speeds.size() || fan.speeds[speed].curve.empty()) {
      return std::nullopt;
    }
    PlotMarks printed{.label = "", .points = {}, .mark = Mark::ring, .tint = Tint::quiet};
    for (const fan::FanPoint& point : fan.speeds[speed].curve) {
      const double airflow_m3_s = fan.count * point.airflow_m3_s;
      printed.points.push_back({.x = airflow_m3_s,
                                .y = point.pressure_pa,
                                .reading = fmt::format("{} as printed: {} at {}",
                                                       words::begun_speed(fan.speeds[speed].name),
                                                       show_.airflow(airflow_m3_s),
                                                       show_.pressure(point.pressure_pa))});
    }
    return printed;
  }

  /// An upright line at the airflow that is required.
  void add_required() {
    const auto& required = result_.layout.appliance.required_airflow_m3_s;
    if (!required) {
      return;
    }
    double highest_pa = 0.0;
    for (const PlotLine& line : plot_.lines) {
      for (const PlotPoint& point : line.points) {
        highest_pa = std::max(highest_pa, point.y);
      }
    }
    plot_.lines.push_back(
        {.label = "",
         .points = {{.x = *required, .y = 0.0}, {.x = *required, .y = highest_pa}},
         .tint = Tint::second,
         .dash = Dash::dashed});
    plot_.marks.push_back({.label = "required " + show_.airflow(*required),
                           .points = {{.x = *required, .y = 0.97 * highest_pa}},
                           .mark = Mark::none,
                           .tint = Tint::second});
  }

  /// Where a speed's curve meets the run, with the airflow's band.
  void add_point(std::size_t index) {
    const result::SpeedResult& speed = result_.speeds[index];
    const result::Figures& known = speed.figures;
    if (speed.point.status != solve::Status::found &&
        speed.point.status != solve::Status::beyond_curve) {
      return;
    }
    const double static_pa = known.static_pressure_pa;
    const bool headline = result_.headline == index;
    if (has_drawn_band(speed)) {
      plot_.lines.push_back({.label = "",
                             .points = {{.x = speed.airflow_band_m3_s->low, .y = static_pa},
                                        {.x = speed.airflow_band_m3_s->high, .y = static_pa}},
                             .tint = headline ? Tint::second : Tint::quiet});
    }
    plot_.marks.push_back({.label = headline ? show_.airflow(known.airflow_m3_s) : "",
                           .points = {{.x = known.airflow_m3_s,
                                       .y = static_pa,
                                       .reading = fmt::format("{} delivers {} at {} static",
                                                              words::begun_speed(speed.name),
                                                              show_.airflow(known.airflow_m3_s),
                                                              show_.pressure(static_pa))}},
                           .mark = headline ? Mark::dot : Mark::square,
                           .tint = headline ? Tint::second : Tint::ink});
  }

  /// The ratings that name a pressure.
  void add_rated() {
    PlotMarks rated;
    rated.label = "rated";
    rated.mark = Mark::triangle;
    for (const result::SpeedResult& speed : result_.speeds) {
      if (speed.rated && speed.rated->basis == solve::RatedAirflow::Basis::rating_at_pressure) {
        rated.points.push_back({.x = speed.rated->airflow_m3_s,
                                .y = speed.rated->pressure_pa,
                                .reading = fmt::format("{}: rated {} at {}",
                                                       words::begun_speed(speed.name),
                                                       show_.airflow(speed.rated->airflow_m3_s),
                                                       show_.pressure(speed.rated->pressure_pa))});
      }
    }
    if (!rated.points.empty()) {
      plot_.marks.push_back(std::move(rated));
    }
  }

  [[nodiscard]] std::string meeting(const result::SpeedResult& speed) const {
    std::string told = speed.point.status == solve::Status::found
                           ? fmt::format("The curve of {} and the run{} meet at {} and {}.",
                                         words::spoken_speed(speed.name),
                                         in_house() ? " with the house depressurized" : "",
                                         show_.airflow(speed.point.airflow_m3_s),
                                         show_.pressure(speed.figures.static_pressure_pa))
                           : words::answer(speed, system_);
    const bool banded = std::ranges::any_of(result_.speeds, [](const auto& one) {
      return one.point.status != solve::Status::below_curve && has_drawn_band(one);
    });
    return told + (banded ? " Level bars: the bands of the airflows." : "");
  }

  [[nodiscard]] std::string moved_note() const {
    return fmt::format(
        " Faint rings: the curve as printed, for air of {}; the curve is for the duct's air of {}.",
        units::display(result_.layout.fan->rated_density_kg_m3, Dimension::density, system_),
        units::display(result_.run.air.density_kg_m3, Dimension::density, system_));
  }

  const study::CheckResult& result_;
  const study::Curves& curves_;
  units::System system_;
  Shown show_;
  Plot plot_;
  bool moved_ = false;  ///< a curve's points are also shown as printed
};

}  // namespace

std::optional<Plot> curves_plot(const study::CheckResult& result, units::System system) {
  if (result.curves.fans.empty() && result.curves.run.empty()) {
    return std::nullopt;
  }
  return CurvesPlot(result, system).drawn();
}

std::optional<Plot> pressure_plot(const study::CheckResult& result, units::System system) {
  const std::vector<study::ProfilePoint>& points = result.profile;
  if (points.empty()) {
    return std::nullopt;
  }
  const solve::Ledger& ledger = *result.speeds[*result.ledger_speed].ledger;
  const Shown show(system);
  Plot plot;
  plot.title = "Pressure along the run";
  plot.x = {.title = "way from the collar", .dimension = Dimension::length, .lowest = 0.0};
  plot.y = {.title = "pressure against outdoors", .dimension = Dimension::pressure};
  PlotLine total{.label = "total", .points = {}, .tint = Tint::first};
  PlotLine still{.label = "static", .points = {}, .tint = Tint::ink, .dash = Dash::dashed};
  const solve::LedgerRow* most = ledger.costliest();
  PlotMarks marked;
  marked.mark = Mark::dot;
  marked.tint = Tint::second;
  const double start_pa = ledger.rows.front().total_pressure_after_pa + ledger.rows.front().loss_pa;
  total.points.push_back({.x = 0.0, .y = start_pa});
  if (ledger.rows.front().number >= 0) {
    still.points.push_back({.x = 0.0, .y = start_pa});
  }
  for (const study::ProfilePoint& point : points) {
    const solve::LedgerRow& row = ledger.rows[point.row];
    const int shown = row.shown_number().value_or(0);
    const std::string name = shown > 0 ? fmt::format("{} {}", shown, row.piece) : row.piece;
    total.points.push_back({.x = point.way_m,
                            .y = point.total_pressure_pa,
                            .reading = fmt::format("after {}: total {}, static {}",
                                                   name,
                                                   show.pressure(point.total_pressure_pa),
                                                   show.pressure(point.static_pressure_pa))});
    still.points.push_back({.x = point.way_m, .y = point.static_pressure_pa});
    if (&row == most) {
      marked.points.push_back({.x = point.way_m, .y = point.total_pressure_pa});
      marked.label = fmt::format(
          "{}: {} of the loss", name, units::display(row.share, Dimension::ratio, system));
    }
  }
  plot.lines = {std::move(total), std::move(still)};
  if (!marked.points.empty()) {
    plot.marks.push_back(std::move(marked));
    plot.reading = fmt::format("Pressure falls along {}; most is lost at {}.",
                               show.length(points.back().way_m),
                               plot.marks.back().label);
  }
  return plot;
}

namespace {

/// A hatched bar that ends in what is known alone: no more than its end, or its end and beyond.
void write_bound(Svg& svg, const SvgPoint& corner, double end, bool no_more) {
  constexpr double kHighPx = 16.0;
  std::string hatch;
  for (double x = corner.x; x < end; x += 7.0) {
    const double reach = std::min(kHighPx, end - x);
    hatch += svg_path({{x, corner.y + kHighPx}, {x + reach, corner.y + kHighPx - reach}});
  }
  svg.leaf("path",
           {{"class", "line thin first"},
            {"d",
             svg_path({{corner.x, corner.y},
                       {end, corner.y},
                       {end, corner.y + kHighPx},
                       {corner.x, corner.y + kHighPx}},
                      PathEnd::closed) +
                 hatch}});
  const double middle = corner.y + kHighPx / 2.0;
  if (no_more) {
    svg.leaf("path",
             {{"class", "line first"},
              {"d", svg_path({{end, corner.y - 5.0}, {end, corner.y + kHighPx + 5.0}})}});
  } else {
    svg.leaf(
        "path",
        {{"class", "line first"},
         {"d",
          svg_path({{end, middle}, {end + 14.0, middle}}) +
              svg_path(
                  {{end + 8.0, middle - 5.0}, {end + 14.0, middle}, {end + 8.0, middle + 5.0}})}});
  }
  const char* const words = no_more ? "no more than" : "at least";
  const double half = text_width_px(words, 12.0) / 2.0;
  svg.text("text",
           words,
           {{"class", "small halo"},
            {"x", std::max(corner.x + half + 4.0, end - half - 10.0)},
            {"y", middle + 4.0},
            {"text-anchor", "middle"}});
}

/// What an airflow is held against, above its bar.
struct Flag {
  double x;
  std::string text;
  bool strong = false;  ///< what is required
};

struct FlagRow {
  std::vector<Flag> flags;
  double width_px = 0.0;  ///< of the sheet
  double bottom = 0.0;    ///< where their staffs end
};

void write_flags(Svg& svg, FlagRow of) {
  std::ranges::sort(of.flags, {}, &Flag::x);
  double free_from = 0.0;
  for (std::size_t i = 0; i < of.flags.size(); ++i) {
    const Flag& flag = of.flags[i];
    const double half = text_width_px(flag.text, 12.0) * 1.12 / 2.0;
    double middle = middle_on_sheet(flag.text, flag.x, of.width_px);
    const double row = i > 0 && middle - half < free_from + 8.0 ? 14.0 : 30.0;
    if (row == 30.0 && i + 1 < of.flags.size()) {
      // The staff of the next may come down beside the text, not through it.
      middle = std::max(std::min(middle, of.flags[i + 1].x - half - 3.0), half + 2.0);
    }
    free_from = middle + half;
    svg.leaf("line",
             {{"class", flag.strong ? "line second" : "line quiet dashed"},
              {"x1", flag.x},
              {"y1", row + 4.0},
              {"x2", flag.x},
              {"y2", of.bottom}});
    svg.text("text",
             flag.text,
             {{"class", "small halo"}, {"x", middle}, {"y", row}, {"text-anchor", "middle"}});
  }
}

}  // namespace

std::string answer_svg(const study::CheckResult& result,
                       const PlotOptions& options,
                       const std::string& id) {
  if (!result.headline) {
    return {};
  }
  const result::SpeedResult& speed = result.speeds[*result.headline];
  const result::Figures& known = speed.figures;
  const auto& required = result.layout.appliance.required_airflow_m3_s;
  const double highest = std::max({known.airflow_m3_s,
                                   required.value_or(0.0),
                                   speed.rated ? speed.rated->airflow_m3_s : 0.0,
                                   has_drawn_band(speed) ? speed.airflow_band_m3_s->high : 0.0});
  if (known.bound == result::Bound::none || !(highest > 0.0)) {
    return {};
  }
  const AxisUnit unit = axis_unit(Dimension::airflow, options.system);
  const double left = 18.0;
  const double bar = 54.0;
  const LevelAxis axis{.values = ticks({0.0, highest / unit.si_per_unit}, 5),
                       .unit = unit.name,
                       .left = left,
                       .right = options.width_px - 30.0,
                       .top = 40.0,
                       .bottom = 86.0};
  const auto at = [&](double si) { return axis.at(si / unit.si_per_unit); };
  Svg svg({.width_px = options.width_px,
           .height_px = 120.0,
           .title = "Delivered airflow",
           .description = words::answer(speed, options.system),
           .id = id,
           .use = options.use});
  write_level_axis(svg, axis);
  const double end = std::max(left + 1.0, at(known.airflow_m3_s));
  if (known.bound == result::Bound::exact) {
    svg.leaf("rect",
             {{"class", "fill first"},
              {"x", left},
              {"y", bar},
              {"width", end - left},
              {"height", 16.0}});
  } else {
    write_bound(svg, {left, bar}, end, known.bound == result::Bound::at_most);
  }
  if (has_drawn_band(speed)) {
    const result::Band& band = *speed.airflow_band_m3_s;
    write_level_band(svg, {.from = at(band.low), .to = at(band.high), .y = bar + 8.0});
  }
  const Shown show(options.system);
  FlagRow row{.flags = {}, .width_px = options.width_px, .bottom = axis.bottom};
  if (required) {
    row.flags.push_back({at(*required), "required " + show.airflow(*required), true});
  }
  if (speed.rated) {
    const double rated_m3_s = speed.rated->airflow_m3_s;
    row.flags.push_back({at(rated_m3_s), "rated " + show.airflow(rated_m3_s)});
  }
  write_flags(svg, std::move(row));
  return svg.finish();
}

namespace {

/// `, over the limit`; empty where there is none.
const char* against_limit(house::Verdict verdict) noexcept {
  switch (verdict) {
    case house::Verdict::no_limit:
      return "";
    case house::Verdict::met:
      return ", within the limit";
    case house::Verdict::not_met:
      return ", over the limit";
    case house::Verdict::not_shown:
      break;
  }
  return ", not shown to be within the limit";
}

std::optional<house::Limit> limit_of(const study::CheckResult& result) {
  return result.layout.house ? house::limit_of(*result.layout.house) : std::nullopt;
}

/// How far a speed draws the house down.
struct HouseRow {
  std::string text;
  double pa = 0.0;
  std::optional<house::DepressurisationBand> band;
  bool over = false;
};

std::vector<HouseRow> house_rows(const study::CheckResult& result) {
  std::vector<HouseRow> rows;
  for (const result::SpeedResult& speed : result.speeds) {
    if (!speed.house || !speed.house->coupled) {
      continue;
    }
    const house::SpeedHouse& at = *speed.house;
    rows.push_back(
        {.text = fmt::format(
             "{}{}: {}{}{}",
             base::escaped(speed.name),
             speed.locked_out ? " (locked out)" : "",
             words::pascal(at.judged_depressurisation_pa),
             against_limit(at.verdict),
             at.basis == house::AirflowBasis::rated_airflow ? ", at its rated airflow" : ""),
         .pa = at.judged_depressurisation_pa,
         .band = at.band,
         .over = at.verdict == house::Verdict::not_met});
  }
  return rows;
}

void write_house_row(Svg& svg, const HouseRow& row, const LevelAxis& axis, double y) {
  svg.text("text",
           row.text,
           {{"class", row.over ? "small strong halo" : "small halo"}, {"x", axis.left}, {"y", y}});
  const double bar = y + 7.0;
  svg.leaf("rect",
           {{"class", row.over ? "fill second" : "fill first"},
            {"x", axis.left},
            {"y", bar},
            {"width", std::max(1.0, axis.at(std::max(0.0, row.pa)) - axis.left)},
            {"height", 14.0}});
  if (row.band && row.band->high_pa > row.band->low_pa) {
    write_level_band(svg,
                     {.from = std::max(axis.left, axis.at(row.band->low_pa)),
                      .to = axis.at(row.band->high_pa),
                      .y = bar + 7.0});
  }
}

void write_limit(Svg& svg, const house::Limit& limit, const LevelAxis& axis, double width_px) {
  const double x = axis.at(limit.pressure_pa);
  const std::string words = fmt::format("limit {:g} Pa", limit.pressure_pa);
  svg.leaf(
      "line",
      {{"class", "line second dashed"}, {"x1", x}, {"y1", 22.0}, {"x2", x}, {"y2", axis.bottom}});
  svg.text("text",
           words,
           {{"class", "small strong halo"},
            {"x", middle_on_sheet(words, x, width_px)},
            {"y", 16.0},
            {"text-anchor", "middle"}});
}

}  // namespace

std::string house_svg(const study::CheckResult& result,
                      const PlotOptions& options,
                      const std::string& id) {
  const auto limit = limit_of(result);
  const std::vector<HouseRow> rows = house_rows(result);
  double highest = limit ? limit->pressure_pa : 0.0;
  for (const HouseRow& row : rows) {
    highest = std::max({highest, row.pa, row.band ? row.band->high_pa : 0.0});
  }
  if (rows.empty() || !(highest > 0.0)) {
    return {};
  }
  constexpr double kRowPx = 46.0;
  constexpr double kTopPx = 34.0;
  const LevelAxis axis{.values = ticks({0.0, highest}, 5),
                       .unit = "Pa",
                       .left = 18.0,
                       .right = options.width_px - 34.0,
                       .top = kTopPx - 6.0,
                       .bottom = kTopPx + kRowPx * static_cast<double>(rows.size()) + 6.0};
  Svg svg({.width_px = options.width_px,
           .height_px = axis.bottom + 30.0,
           .title = "Depressurization of the house",
           .description = house_reading(result),
           .id = id,
           .use = options.use});
  write_level_axis(svg, axis);
  double y = kTopPx + 14.0;
  for (const HouseRow& row : rows) {
    write_house_row(svg, row, axis, y);
    y += kRowPx;
  }
  if (limit) {
    write_limit(svg, *limit, axis, options.width_px);
  }
  return svg.finish();
}

std::string house_reading(const study::CheckResult& result) {
  const auto limit = limit_of(result);
  const result::SpeedResult* worst = nullptr;
  for (const result::SpeedResult& speed : result.speeds) {
    if (speed.house && speed.house->coupled &&
        (worst == nullptr ||
         speed.house->judged_depressurisation_pa > worst->house->judged_depressurisation_pa)) {
      worst = &speed;
    }
  }
  if (worst == nullptr) {
    return {};
  }
  const house::SpeedHouse& at = *worst->house;
  const std::string drawn = fmt::format("Highest house depressurization, at {}: {}",
                                        base::escaped(worst->name),
                                        words::pascal(at.judged_depressurisation_pa));
  return limit
             ? fmt::format("{}{} of {:g} Pa.", drawn, against_limit(at.verdict), limit->pressure_pa)
             : drawn + "; no limit applies.";
}

}  // namespace ductledger::picture
