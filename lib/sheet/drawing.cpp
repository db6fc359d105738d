#include "sheet/drawing.hpp"

#include <algorithm>

#include "picture/svg.hpp"

namespace ductledger::sheet {

void move(Drawing& drawing, const Point& by) {
  const auto shift = [&by](Point& p) { p = {p.x + by.x, p.y + by.y}; };
  for (Line& line : drawing.lines) {
    std::ranges::for_each(line.points, shift);
  }
  for (Circle& circle : drawing.circles) {
    shift(circle.center);
  }
  for (Text& text : drawing.texts) {
    shift(text.at);
  }
  for (Balloon& balloon : drawing.balloons) {
    shift(balloon.center);
  }
}

Box extent(const Drawing& drawing) {
  Box box{{1e9, 1e9}, {-1e9, -1e9}};
  const auto take = [&box](double x, double y) {
    box.low = {std::min(box.low.x, x), std::min(box.low.y, y)};
    box.high = {std::max(box.high.x, x), std::max(box.high.y, y)};
  };
  for (const Line& line : drawing.lines) {
    for (const Point& p : line.points) {
      take(p.x, p.y);
    }
  }
  for (const Circle& circle : drawing.circles) {
    take(circle.center.x - circle.radius_m, circle.center.y - circle.radius_m);
    take(circle.center.x + circle.radius_m, circle.center.y + circle.radius_m);
  }
  for (const Text& text : drawing.texts) {
    const double width = drawing.paper_m(text_width_mm(text.text, text.height_mm));
    const double before = text.anchor == Anchor::start ? 0.0
                          : text.anchor == Anchor::end ? width
                                                       : width / 2.0;
    const double height = drawing.paper_m(text.height_mm);
    take(text.at.x - before, text.at.y);
    take(text.at.x - before + width, text.at.y + height);
  }
  for (const Balloon& balloon : drawing.balloons) {
    const double radius = drawing.paper_m(balloon.radius_mm);
    take(balloon.center.x - radius, balloon.center.y - radius);
    take(balloon.center.x + radius, balloon.center.y + radius);
  }
  return box;
}

double text_width_mm(const std::string& text, double height_mm) {
  // A font's size is its capitals' height over 0.72.
  return 1.08 * picture::text_width_px(text, height_mm / 0.72);
}

}  // namespace ductledger::sheet
