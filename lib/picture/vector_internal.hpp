#pragma once

#include <cmath>

#include "layout/direction.hpp"
#include "layout/geometry.hpp"
#include "picture/svg.hpp"

/// Points and directions, on the paper and in space.
namespace ductledger::picture {

[[nodiscard]] inline SvgPoint plus(const SvgPoint& a, const SvgPoint& b, double times = 1.0) {
  return {a.x + times * b.x, a.y + times * b.y};
}
[[nodiscard]] inline double norm(const SvgPoint& a) { return std::hypot(a.x, a.y); }
[[nodiscard]] inline SvgPoint unit(const SvgPoint& a) {
  const double n = norm(a);
  return n > 1e-9 ? SvgPoint{a.x / n, a.y / n} : SvgPoint{1.0, 0.0};
}
/// The same, and zero where there is no direction.
[[nodiscard]] inline SvgPoint unit_or_nothing(const SvgPoint& a) {
  return norm(a) > 0.2 ? unit(a) : SvgPoint{};
}
[[nodiscard]] inline SvgPoint square_to(const SvgPoint& a) { return {-a.y, a.x}; }

[[nodiscard]] inline layout::Point along(const layout::Point& from,
                                         const layout::Direction& way,
                                         double times) {
  return {from[0] + times * way[0], from[1] + times * way[1], from[2] + times * way[2]};
}

/// Where the three axes point on the paper. An axis of length zero is seen end-on.
struct Eye {
  SvgPoint right;
  SvgPoint back;
  SvgPoint up;
};
[[nodiscard]] inline SvgPoint projected(const layout::Point& d, const Eye& eye) {
  return {d[0] * eye.right.x + d[1] * eye.back.x + d[2] * eye.up.x,
          d[0] * eye.right.y + d[1] * eye.back.y + d[2] * eye.up.y};
}

/// From what is seen to the reader: what the projection takes to a point; unit length.
[[nodiscard]] inline layout::Direction toward_reader(const Eye& eye) {
  const layout::Direction x{eye.right.x, eye.back.x, eye.up.x};
  const layout::Direction y{eye.right.y, eye.back.y, eye.up.y};
  layout::Direction way = layout::normalised(layout::cross(x, y));
  // The reader stands in front of, above or to the right of the run.
  const double sign = -3.0 * way[1] + 2.0 * way[2] + way[0];
  if (sign < 0.0) {
    way = {-way[0], -way[1], -way[2]};
  }
  return way;
}

}  // namespace ductledger::picture
