#include "picture/plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <utility>

#include "base/expects.hpp"
#include "units/quantity.hpp"

namespace ductledger::picture {
namespace {

constexpr double kNarrowPx = 520.0;
constexpr double kFontPx = 13.0;
constexpr double kSmallPx = 12.0;
constexpr double kLabelGapPx = 17.0;
constexpr double kMarkPx = 4.5;
constexpr double kKeySamplePx = 30.0;
constexpr double kKeyRowPx = 20.0;

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

std::string line_class(Tint tint, Dash dash) {
  const char* dashed = dash == Dash::dashed     ? " dashed"
                       : dash == Dash::dotted   ? " dotted"
                       : dash == Dash::dash_dot ? " dash-dot"
                                                : "";
  return fmt::format("line {}{}", tint_class(tint), dashed);
}

/// An axis laid out: from SI to pixels, with its ticks.
class Axis {
 public:
  struct Ends {
    double low = std::numeric_limits<double>::infinity();
    double high = -std::numeric_limits<double>::infinity();
  };

  Axis(const PlotAxis& axis, Ends si, units::System system, int about)
      : logarithmic_(axis.scale == AxisScale::logarithmic),
        unit_(axis_unit(axis.dimension, system, {std::max(std::abs(si.low), std::abs(si.high))})) {
    si.low = axis.lowest.value_or(si.low);
    si.high = axis.highest.value_or(si.high);
    double low = shown(si.low);
    double high = shown(si.high);
    if (logarithmic_) {
      decades(low, high);
    } else {
      if (!(high > low)) {
        const double half = low == 0.0 ? 1.0 : 0.5 * std::abs(low);
        low -= half;
        high += half;
      }
      // An end that passes a tick by less than a pixel or two needs no further interval.
      const double hair = 0.005 * (high - low);
      values_ = ticks({low + hair, high - hair}, about);
      texts_ = tick_texts(values_);
    }
    low_ = values_.front();
    high_ = values_.back();
  }

  void place(double low_px, double high_px) {
    low_px_ = low_px;
    high_px_ = high_px;
  }
  [[nodiscard]] bool can_draw(double si) const {
    return std::isfinite(si) && (!logarithmic_ || shown(si) > 0.0);
  }
  [[nodiscard]] double at(double si) const { return at_shown(shown(si)); }
  [[nodiscard]] double at_shown(double value) const {
    const double share = logarithmic_ ? std::log(value / low_) / std::log(high_ / low_)
                                      : (value - low_) / (high_ - low_);
    return low_px_ + share * (high_px_ - low_px_);
  }
  [[nodiscard]] const std::vector<double>& values() const { return values_; }
  [[nodiscard]] const std::vector<std::string>& texts() const { return texts_; }
  [[nodiscard]] const std::string& unit() const { return unit_.name; }

 private:
  [[nodiscard]] double shown(double si) const { return (si - unit_.offset_si) / unit_.si_per_unit; }

  // Ticks at 1, 2 and 5 of each decade, or the powers of ten alone where they are many.
  void decades(double low, double high) {
    const int first = static_cast<int>(std::floor(std::log10(low) + 1e-9));
    const int last = static_cast<int>(std::ceil(std::log10(high) - 1e-9));
    const bool fine = last - first <= 3;
    std::vector<double> all;
    for (int decade = first; decade <= last; ++decade) {
      for (const double step : {1.0, 2.0, 5.0}) {
        if (fine || step == 1.0) {
          all.push_back(step * std::pow(10.0, decade));
        }
      }
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
      const bool below = i + 1 < all.size() && all[i + 1] <= low * (1.0 + 1e-9);
      const bool above = i > 0 && all[i - 1] >= high * (1.0 - 1e-9);
      if (!below && !above) {
        values_.push_back(all[i]);
        texts_.push_back(
            fmt::format("{:.{}f}",
                        all[i],
                        std::max(0, -static_cast<int>(std::floor(std::log10(all[i]) + 1e-9)))));
      }
    }
    if (values_.size() == 1) {
      values_.push_back(values_.front() * 10.0);
      texts_.push_back(fmt::format("{:g}", values_.back()));
    }
  }

  bool logarithmic_;
  AxisUnit unit_;
  double low_ = 0.0;
  double high_ = 1.0;
  double low_px_ = 0.0;
  double high_px_ = 1.0;
  std::vector<double> values_;
  std::vector<std::string> texts_;
};

struct Box {
  double left = 0.0;
  double top = 0.0;
  double right = 0.0;
  double bottom = 0.0;
  [[nodiscard]] bool meets(const Box& other) const {
    return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
  }
  [[nodiscard]] bool holds(const SvgPoint& p) const {
    return p.x > left && p.x < right && p.y > top && p.y < bottom;
  }
};

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

/// The plot in the making.
class Drawing {
 public:
  Drawing(const Plot& plot, const PlotOptions& options)
      : plot_(&plot),
        options_(&options),
        narrow_(options.width_px < kNarrowPx),
        x_(plot.x, ends(plot.x, &PlotPoint::x), options.system, narrow_ ? 4 : 7),
        y_(plot.y, ends(plot.y, &PlotPoint::y), options.system, 5) {
    margins();
  }

  std::string svg();

 private:
  struct KeyRow {
    std::string label;
    const PlotLine* line = nullptr;
    const PlotBand* band = nullptr;
    const PlotMarks* marks = nullptr;
  };

  [[nodiscard]] Axis::Ends ends(const PlotAxis& axis, double PlotPoint::*part) const;
  void margins();
  void axes(Svg& svg) const;
  void bands(Svg& svg) const;
  void lines(Svg& svg);
  void line_labels(Svg& svg);
  void marks(Svg& svg);
  void key(Svg& svg) const;
  void readings(Svg& svg) const;
  void mark(Svg& svg, const SvgPoint& at, Mark shape, Tint tint) const;
  void mark_label(Svg& svg, const SvgPoint& at, const std::string& label);
  [[nodiscard]] SvgPoint pixel(const PlotPoint& p) const { return {x_.at(p.x), y_.at(p.y)}; }
  [[nodiscard]] bool can_draw(const PlotPoint& p) const {
    return x_.can_draw(p.x) && y_.can_draw(p.y);
  }
  [[nodiscard]] double clutter(const Box& box) const;

  const Plot* plot_;
  const PlotOptions* options_;
  bool narrow_;
  Axis x_;
  Axis y_;
  Box area_;
  double height_px_ = 0.0;
  std::vector<KeyRow> key_;
  std::vector<std::vector<SvgPoint>> drawn_;  ///< lines in pixels
  std::vector<Box> taken_;                    ///< labels and marks
};

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
  area_.bottom = area_.top + std::clamp(0.52 * options_->width_px, 200.0, 340.0);
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

void Drawing::mark(Svg& svg, const SvgPoint& at, Mark shape, Tint tint) const {
  const double r = kMarkPx;
  const std::string filled = fmt::format("fill {}", tint_class(tint));
  const std::string outlined = fmt::format("line paper {}", tint_class(tint));
  switch (shape) {
    case Mark::none:
      break;
    case Mark::dot:
      svg.leaf("circle", {{"class", filled}, {"cx", at.x}, {"cy", at.y}, {"r", r}});
      break;
    case Mark::ring:
      svg.leaf("circle", {{"class", outlined}, {"cx", at.x}, {"cy", at.y}, {"r", r}});
      break;
    case Mark::square:
      svg.leaf("rect",
               {{"class", filled},
                {"x", at.x - r},
                {"y", at.y - r},
                {"width", 2.0 * r},
                {"height", 2.0 * r}});
      break;
    case Mark::diamond:
      svg.leaf("path",
               {{"class", filled},
                {"d",
                 svg_path({{at.x, at.y - 1.3 * r},
                           {at.x + 1.3 * r, at.y},
                           {at.x, at.y + 1.3 * r},
                           {at.x - 1.3 * r, at.y}},
                          PathEnd::closed)}});
      break;
    case Mark::triangle:
      svg.leaf(
          "path",
          {{"class", outlined},
           {"d",
            svg_path(
                {{at.x, at.y - 1.2 * r}, {at.x + 1.2 * r, at.y + r}, {at.x - 1.2 * r, at.y + r}},
                PathEnd::closed)}});
      break;
    case Mark::cross:
      svg.leaf("path",
               {{"class", fmt::format("line {}", tint_class(tint))},
                {"d",
                 svg_path({{at.x - r, at.y - r}, {at.x + r, at.y + r}}) +
                     svg_path({{at.x - r, at.y + r}, {at.x + r, at.y - r}})}});
      break;
  }
}

/// How much of what is drawn a box would cover.
double Drawing::clutter(const Box& box) const {
  double sum = 0.0;
  for (const std::vector<SvgPoint>& line : drawn_) {
    for (std::size_t i = 1; i < line.size(); ++i) {
      constexpr int kSteps = 8;
      const SvgPoint& a = line[i - 1];
      const SvgPoint& b = line[i];
      const double step = std::hypot(b.x - a.x, b.y - a.y) / kSteps;
      for (int k = 0; k <= kSteps; ++k) {
        const double t = static_cast<double>(k) / kSteps;
        sum += box.holds({a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)}) ? step + 1.0 : 0.0;
      }
    }
  }
  for (const Box& other : taken_) {
    sum += box.meets(other) ? 200.0 : 0.0;
  }
  const bool inside = box.left >= area_.left && box.right <= options_->width_px - 6.0 &&
                      box.top >= area_.top - 10.0 && box.bottom <= area_.bottom;
  return sum + (inside ? 0.0 : 1000.0);
}

void Drawing::mark_label(Svg& svg, const SvgPoint& at, const std::string& label) {
  const double width = text_width_px(label, kFontPx) + 4.0;
  const double half = 9.0;
  struct Candidate {
    SvgPoint middle_left;
    double cost;
  };
  std::optional<Candidate> best;
  for (const double away : {12.0, 26.0, 44.0, 66.0}) {
    const std::array<SvgPoint, 6> places{{{at.x + away, at.y - away},
                                          {at.x - away - width, at.y + away},
                                          {at.x + away, at.y + away},
                                          {at.x - away - width, at.y - away},
                                          {at.x - width / 2.0, at.y - away - half},
                                          {at.x - width / 2.0, at.y + away + half}}};
    for (const SvgPoint& place : places) {
      const Box box{place.x - 3.0, place.y - half, place.x + width, place.y + half};
      const double cost = clutter(box) + 0.1 * away;
      if (!best || cost < best->cost - 1e-9) {
        best = Candidate{place, cost};
      }
    }
  }
  const SvgPoint place = best->middle_left;
  taken_.push_back({place.x, place.y - half, place.x + width, place.y + half});
  svg.text("text", label, {{"class", "label strong halo"}, {"x", place.x}, {"y", place.y + 4.5}});
}

void Drawing::marks(Svg& svg) {
  for (const PlotMarks& marks : plot_->marks) {
    for (const PlotPoint& point : marks.points) {
      if (can_draw(point)) {
        const SvgPoint at = pixel(point);
        mark(svg, at, marks.mark, marks.tint);
        taken_.push_back({at.x - 7.0, at.y - 7.0, at.x + 7.0, at.y + 7.0});
      }
    }
  }
  for (const PlotMarks& marks : plot_->marks) {
    if (!narrow_ && marks.points.size() == 1 && !marks.label.empty() &&
        can_draw(marks.points.front())) {
      mark_label(svg, pixel(marks.points.front()), marks.label);
    }
  }
}

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

}  // namespace

std::vector<double> ticks(const TickRange& range, int about) {
  DUCTLEDGER_EXPECTS(range.high > range.low && std::isfinite(range.high - range.low) && about > 1);
  const double raw = (range.high - range.low) / about;
  const double power = std::pow(10.0, std::floor(std::log10(raw)));
  const double part = raw / power;
  const double step = power * (part <= 1.0 + 1e-9   ? 1.0
                               : part <= 2.0 + 1e-9 ? 2.0
                               : part <= 5.0 + 1e-9 ? 5.0
                                                    : 10.0);
  const double first = std::floor(range.low / step + 1e-9);
  const double last = std::ceil(range.high / step - 1e-9);
  std::vector<double> values;
  for (double k = first; k <= last + 0.5; k += 1.0) {
    values.push_back(k == 0.0 ? 0.0 : k * step);
  }
  return values;
}

std::vector<std::string> tick_texts(const std::vector<double>& values) {
  std::vector<std::string> texts;
  const double step = values.size() > 1 ? values[1] - values[0] : 1.0;
  const int decimals = std::max(0, -static_cast<int>(std::floor(std::log10(step) + 1e-9)));
  texts.reserve(values.size());
  for (const double value : values) {
    texts.push_back(value == 0.0 ? "0" : fmt::format("{:.{}f}", value, decimals));
  }
  return texts;
}

AxisUnit axis_unit(units::Dimension dimension, units::System system, const LengthScale& scale) {
  units::Scale shown = units::scale_of(dimension, system);
  if (dimension == units::Dimension::length && scale.greatest_si <= 1.0) {
    const units::Unit* small = units::unit_named(system == units::System::ip ? "in" : "mm");
    shown = {.unit = small->name, .scale = small->scale};
  }
  return {shown.scale, shown.offset, std::string(shown.unit)};
}

std::string plot_svg(const Plot& plot, const PlotOptions& options) {
  return Drawing(plot, options).svg();
}

}  // namespace ductledger::picture
