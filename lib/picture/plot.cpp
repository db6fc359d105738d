#include "picture/plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <utility>

#include "base/expects.hpp"
#include "picture/plot_internal.hpp"

namespace ductledger::picture {
namespace plot {
namespace {

std::string line_class(Tint tint, Dash dash) {
  const char* dashed = dash == Dash::dashed     ? " dashed"
                       : dash == Dash::dotted   ? " dotted"
                       : dash == Dash::dash_dot ? " dash-dot"
                                                : "";
  return fmt::format("line {}{}", tint_class(tint), dashed);
}

bool starts_at_zero(units::Dimension dimension) {
  switch (dimension) {
    case units::Dimension::length:
    case units::Dimension::area:
    case units::Dimension::airflow:
    case units::Dimension::pressure:
    case units::Dimension::velocity:
      return true;
    default:
      return false;
  }
}

}  // namespace

const char* tint_class(Tint tint) {
  switch (tint) {
    case Tint::ink:
      return "ink";
    case Tint::quiet:
      return "quiet";
    case Tint::first:
      return "first";
    case Tint::second:
      return "second";
  }
  return "ink";
}

Axis::Ends Drawing::ends(const PlotAxis& axis, double PlotPoint::*part) const {
  Axis::Ends ends;
  const auto take = [&](double value) {
    if (std::isfinite(value) && (axis.scale == AxisScale::linear || value > 0.0)) {
      ends.low = std::min(ends.low, value);
      ends.high = std::max(ends.high, value);
    }
  };
  for (const PlotLine& line : plot_->lines) {
    for (const PlotPoint& point : line.points) {
      take(point.*part);
    }
  }
  for (const PlotMarks& marks : plot_->marks) {
    for (const PlotPoint& point : marks.points) {
      take(point.*part);
    }
  }
  for (const PlotBand& band : plot_->bands) {
    for (const PlotBand::At& at : band.points) {
      take(PlotPoint{at.x, at.low}.*part);
      take(PlotPoint{at.x, at.high}.*part);
    }
  }
  DUCTLEDGER_EXPECTS(ends.low <= ends.high);
  if (axis.scale == AxisScale::linear && starts_at_zero(axis.dimension) && ends.low > 0.0) {
    ends.low = 0.0;
  }
  return ends;
}

void Drawing::margins() {
  double widest_tick = 0.0;
  for (const std::string& text : y_.texts()) {
    widest_tick = std::max(widest_tick, text_width_px(text, kSmallPx));
  }
  double widest_label = 0.0;
  for (const PlotLine& line : plot_->lines) {
    widest_label = std::max(widest_label, text_width_px(line.label, kFontPx));
  }
  const bool beside = !narrow_ && widest_label > 0.0 && widest_label < 0.3 * options_->width_px;
  for (const PlotLine& line : plot_->lines) {
    if (!beside && !line.label.empty()) {
      key_.push_back({line.label, &line, nullptr, nullptr});
    }
  }
  for (const PlotBand& band : plot_->bands) {
    if (!band.label.empty()) {
      key_.push_back({band.label, nullptr, &band, nullptr});
    }
  }
  for (const PlotMarks& marks : plot_->marks) {
    if (!marks.label.empty() && (narrow_ || marks.points.size() > 1)) {
      key_.push_back({marks.label, nullptr, nullptr, &marks});
    }
  }
  area_.left = 14.0 + widest_tick + 10.0;
  area_.top = 42.0;
  const double last_tick = text_width_px(x_.texts().back(), kSmallPx) / 2.0;
  area_.right = options_->width_px - (beside ? widest_label + 27.0 : std::max(18.0, last_tick + 8));
  const double most = plot_->lines.size() > 12 ? 340.0 : 280.0;  // their labels stand at one edge
  area_.bottom = area_.top + std::clamp(0.52 * options_->width_px, 200.0, most);
  height_px_ = area_.bottom + 56.0 + kKeyRowPx * static_cast<double>(key_.size()) +
               (key_.empty() ? 0.0 : 6.0);
  x_.place(area_.left, area_.right);
  y_.place(area_.bottom, area_.top);
}

void Drawing::axes(Svg& svg) const {
  const auto with_unit = [](const PlotAxis& axis, const Axis& laid_out) {
    return laid_out.unit().empty() ? axis.title
                                   : fmt::format("{}, {}", axis.title, laid_out.unit());
  };
  svg.open("g", {{"class", "quiet"}});
  for (std::size_t i = 0; i < y_.values().size(); ++i) {
    const double y = y_.at_shown(y_.values()[i]);
    if (i > 0) {
      svg.leaf("line",
               {{"class", "rule"}, {"x1", area_.left}, {"y1", y}, {"x2", area_.right}, {"y2", y}});
    }
    svg.text("text",
             y_.texts()[i],
             {{"class", "small quiet"},
              {"x", area_.left - 8.0},
              {"y", y + 4.0},
              {"text-anchor", "end"}});
  }
  double free_from = -1e9;
  for (std::size_t i = 0; i < x_.values().size(); ++i) {
    const double x = x_.at_shown(x_.values()[i]);
    svg.leaf("line",
             {{"class", "line quiet thin"},
              {"x1", x},
              {"y1", area_.bottom},
              {"x2", x},
              {"y2", area_.bottom + 5.0}});
    const double half = text_width_px(x_.texts()[i], kSmallPx) / 2.0;
    if (x - half < free_from) {
      continue;
    }
    free_from = x + half + 8.0;
    svg.text("text",
             x_.texts()[i],
             {{"class", "small quiet"},
              {"x", x},
              {"y", area_.bottom + 20.0},
              {"text-anchor", "middle"}});
  }
  svg.leaf("line",
           {{"class", "line quiet thin"},
            {"x1", area_.left},
            {"y1", area_.bottom},
            {"x2", area_.right},
            {"y2", area_.bottom}});
  svg.text("text",
           with_unit(plot_->y, y_),
           {{"class", "label quiet"}, {"x", 14.0}, {"y", area_.top - 20.0}});
  svg.text("text",
           with_unit(plot_->x, x_),
           {{"class", "label quiet"},
            {"x", area_.right},
            {"y", area_.bottom + 42.0},
            {"text-anchor", "end"}});
  svg.close();
}

void Drawing::bands(Svg& svg) const {
  for (const PlotBand& band : plot_->bands) {
    std::vector<SvgPoint> outline;
    for (const PlotBand::At& at : band.points) {
      if (can_draw({at.x, at.high})) {
        outline.push_back(pixel({at.x, at.high}));
      }
    }
    for (auto at = band.points.rbegin(); at != band.points.rend(); ++at) {
      if (can_draw({at->x, at->low})) {
        outline.push_back(pixel({at->x, at->low}));
      }
    }
    if (outline.size() > 2) {
      svg.leaf("path",
               {{"class", fmt::format("band {}", tint_class(band.tint))},
                {"d", svg_path(outline, PathEnd::closed)}});
    }
  }
}

void Drawing::lines(Svg& svg) {
  for (const PlotLine& line : plot_->lines) {
    std::vector<SvgPoint> part;
    const auto flush = [&] {
      if (part.size() > 1) {
        svg.leaf("path", {{"class", line_class(line.tint, line.dash)}, {"d", svg_path(part)}});
      }
      drawn_.push_back(std::exchange(part, {}));
    };
    for (const PlotPoint& point : line.points) {
      if (can_draw(point)) {
        part.push_back(pixel(point));
      } else {
        flush();
      }
    }
    flush();
  }
}

// The labels stand beside the ends of their lines, pushed apart where they would overlap.
void Drawing::line_labels(Svg& svg) {
  struct Placed {
    const PlotLine* line;
    double y;
    double x;
  };
  std::vector<Placed> placed;
  for (const PlotLine& line : plot_->lines) {
    const auto in_key = std::any_of(
        key_.begin(), key_.end(), [&line](const KeyRow& row) { return row.line == &line; });
    if (line.label.empty() || in_key) {
      continue;
    }
    for (auto point = line.points.rbegin(); point != line.points.rend(); ++point) {
      if (can_draw(*point)) {
        placed.push_back({&line, pixel(*point).y, pixel(*point).x});
        break;
      }
    }
  }
  std::stable_sort(
      placed.begin(), placed.end(), [](const Placed& a, const Placed& b) { return a.y < b.y; });
  for (std::size_t i = 1; i < placed.size(); ++i) {
    placed[i].y = std::max(placed[i].y, placed[i - 1].y + kLabelGapPx);
  }
  for (std::size_t i = placed.size(); i-- > 0;) {
    const double below = i + 1 < placed.size() ? placed[i + 1].y - kLabelGapPx : area_.bottom;
    placed[i].y = std::min(placed[i].y, below);
  }
  for (const Placed& label : placed) {
    const double width = text_width_px(label.line->label, kFontPx);
    taken_.push_back({label.x + 11.0, label.y - 8.0, label.x + 11.0 + width, label.y + 8.0});
    svg.text("text",
             label.line->label,
             {{"class", fmt::format("label halo {}", tint_class(label.line->tint))},
              {"x", label.x + 11.0},
              {"y", label.y + 4.0}});
  }
}

/// How much of what is drawn a box would cover.
/// Unseen places that a page's script walks through.
void Drawing::readings(Svg& svg) const {
  const auto place = [&](const PlotPoint& point) {
    if (!point.reading.empty() && can_draw(point)) {
      const SvgPoint at = pixel(point);
      svg.leaf("circle",
               {{"class", "reading"},
                {"cx", at.x},
                {"cy", at.y},
                {"r", 9.0},
                {"data-reading", point.reading}});
    }
  };
  for (const PlotLine& line : plot_->lines) {
    std::for_each(line.points.begin(), line.points.end(), place);
  }
  for (const PlotMarks& marks : plot_->marks) {
    std::for_each(marks.points.begin(), marks.points.end(), place);
  }
}

void Drawing::key(Svg& svg) const {
  double y = area_.bottom + 68.0;
  for (const KeyRow& row : key_) {
    const SvgPoint left{14.0, y - 4.0};
    const SvgPoint right{left.x + kKeySamplePx, left.y};
    if (row.line != nullptr) {
      svg.leaf(
          "path",
          {{"class", line_class(row.line->tint, row.line->dash)}, {"d", svg_path({left, right})}});
    } else if (row.band != nullptr) {
      svg.leaf("rect",
               {{"class", fmt::format("band {}", tint_class(row.band->tint))},
                {"x", left.x},
                {"y", left.y - 6.0},
                {"width", kKeySamplePx},
                {"height", 12.0}});
    } else if (row.marks->mark == Mark::none) {
      // It names a line that carries no label of its own.
      svg.leaf(
          "path",
          {{"class", line_class(row.marks->tint, Dash::dashed)}, {"d", svg_path({left, right})}});
    } else {
      mark(svg, {left.x + kKeySamplePx / 2.0, left.y}, row.marks->mark, row.marks->tint);
    }
    svg.text("text", row.label, {{"class", "label"}, {"x", right.x + 10.0}, {"y", y}});
    y += kKeyRowPx;
  }
}

std::string Drawing::svg() {
  Svg svg({.width_px = options_->width_px,
           .height_px = height_px_,
           .title = plot_->title,
           .description = plot_->reading,
           .id = plot_->id,
           .use = options_->use});
  axes(svg);
  bands(svg);
  lines(svg);
  line_labels(svg);
  marks(svg);
  key(svg);
  readings(svg);
  return svg.finish();
}

}  // namespace plot

std::string plot_svg(const Plot& of, const PlotOptions& options) {
  return plot::Drawing(of, options).svg();
}

}  // namespace ductledger::picture
