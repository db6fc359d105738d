#include <algorithm>
#include <cmath>
#include <utility>

#include "picture/plot_internal.hpp"

namespace ductledger::picture::plot {

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

/// From a mark to its label, where that stands farther than next to it; else of one point.
std::vector<SvgPoint> Drawing::leader(const SvgPoint& at, const Box& label) {
  constexpr double kNextPx = 22.0;
  const SvgPoint end{std::clamp(at.x, label.left, label.right),
                     std::clamp(at.y, label.top + 3.0, label.bottom - 3.0)};
  const double length = std::hypot(end.x - at.x, end.y - at.y);
  if (length <= kNextPx) {
    return {end};
  }
  const double begin = (kMarkPx + 3.0) / length;
  return {{at.x + begin * (end.x - at.x), at.y + begin * (end.y - at.y)}, end};
}

/// What a leader would go through: labels and marks.
double Drawing::crossed(const std::vector<SvgPoint>& leader) const {
  constexpr int kSteps = 16;
  double sum = 0.0;
  for (const Box& other : taken_) {
    for (int k = 0; k < kSteps && leader.size() > 1; ++k) {
      const double t = static_cast<double>(k) / kSteps;
      sum += other.holds({leader[0].x + t * (leader[1].x - leader[0].x),
                          leader[0].y + t * (leader[1].y - leader[0].y)})
                 ? 20.0
                 : 0.0;
    }
  }
  return sum;
}

void Drawing::mark_label(Svg& svg, const SvgPoint& at, const std::string& label) {
  const double width = text_width_px(label, kFontPx) + 4.0;
  const double half = 9.0;
  struct Candidate {
    SvgPoint middle_left;
    double cost;
  };
  std::optional<Candidate> best;
  for (const double away : {12.0, 18.0, 26.0, 34.0, 44.0, 55.0, 66.0, 80.0, 95.0}) {
    const std::array<SvgPoint, 10> places{{{at.x + away, at.y - away},
                                           {at.x - away - width, at.y + away},
                                           {at.x + away, at.y + away},
                                           {at.x - away - width, at.y - away},
                                           {at.x - width / 2.0, at.y - away - half},
                                           {at.x - width / 2.0, at.y + away + half},
                                           {at.x, at.y - away - half},
                                           {at.x - width, at.y - away - half},
                                           {at.x, at.y + away + half},
                                           {at.x - width, at.y + away + half}}};
    for (const SvgPoint& place : places) {
      const Box box{place.x - 3.0, place.y - half, place.x + width, place.y + half};
      const double cost = clutter(box) + crossed(leader(at, box)) + 0.1 * away;
      if (!best || cost < best->cost - 1e-9) {
        best = Candidate{place, cost};
      }
    }
  }
  const SvgPoint place = best->middle_left;
  const Box box{place.x, place.y - half, place.x + width, place.y + half};
  taken_.push_back(box);
  if (const std::vector<SvgPoint> line = leader(at, box); line.size() > 1) {
    svg.leaf("path", {{"class", "line thin quiet"}, {"d", svg_path(line)}});
    drawn_.push_back(line);
  }
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

}  // namespace ductledger::picture::plot
