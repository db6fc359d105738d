#include <algorithm>
#include <cmath>

#include "picture/route_internal.hpp"

namespace ductledger::picture::route {
namespace {

SvgPoint to_point(const SvgPoint& origin, const layout::Point& space, const Eye& eye) {
  return plus(origin, projected(space, eye));
}

layout::Direction times(const layout::Direction& way, double times) {
  return along({}, way, times);
}

}  // namespace

void Route::write_run(Svg& svg, const Lay& drawn) const {
  for (const Drawn& one : drawn) {
    if (crosses_plane(one)) {
      write_plane(svg, one);
    }
    if (one.hatched) {
      write_offset(svg, one);
    }
  }
  write_appliance(svg, drawn.front().start);
  for (const Drawn& one : drawn) {
    write_course(svg, one);
  }
  for (const Over& over : overs(drawn, eye_)) {
    const Drawn& near = drawn[over.near];
    constexpr double kHalfPx = 9.0;
    const std::vector<SvgPoint> course{plus(over.at, over.way, -kHalfPx),
                                       plus(over.at, over.way, kHalfPx)};
    stroke(svg, course, "halo gap");
    stroke(svg, course, run_class(near));
  }
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    const Drawn& one = drawn[i];
    const SignPlace place = place_of(one);
    const bool joint = i > 0 && one.piece->kind == PieceKind::straight && one.toward == 0.0 &&
                       drawn[i - 1].piece->kind == PieceKind::straight;
    if (joint) {
      const SvgPoint across = square_to(place.flow);
      stroke(svg, {plus(one.start, across, 5.0), plus(one.start, across, -5.0)}, "line thin");
    }
    if (one.broken) {
      write_break(svg, place_of(one, 0.75));
    }
    if (shows_section(one)) {
      write_section(svg, one);
    }
    if (one.toward != 0.0) {
      (one.toward > 0.0 ? write_toward : write_away)(svg, place);
    } else if (one.piece->kind == PieceKind::cap) {
      write_sign(svg, *one.piece, outlet_place(drawn));
    } else {
      write_sign(svg, *one.piece, place);
    }
  }
  const Drawn& last = drawn.back();
  if (last.toward == 0.0) {
    write_outflow(svg, outflow_sign(last), outlet_place(drawn));
  }
}

/// An arc where the elbow has a radius, a corner where it is mitred.
void Route::write_course(Svg& svg, const Drawn& one) const {
  if (one.toward != 0.0) {
    return;
  }
  if (one.piece->kind == PieceKind::flex) {
    write_flex(svg, one);
  } else if (one.bends && !one.mitred) {
    svg.leaf("path",
             {{"class", run_class(one)},
              {"d",
               svg_path({one.start}) + fmt::format("Q{} {} {} {}",
                                                   svg_number(one.corner.x),
                                                   svg_number(one.corner.y),
                                                   svg_number(one.end.x),
                                                   svg_number(one.end.y))}});
  } else if (one.bends) {
    stroke(svg, {one.start, one.corner, one.end}, run_class(one));
  } else {
    stroke(svg, {one.start, one.end}, run_class(one));
  }
}

double Route::hang_px(const Drawn& one, double share) const {
  const auto* flex = one.piece->if_is<layout::Flex>();
  // A rising or falling duct hangs straight.
  if (flex == nullptr || flex->sag_m <= 0.0 || std::abs(one.heading_in[2]) > 0.9) {
    return 0.0;
  }
  const double most_px = std::clamp(flex->sag_m * px_per_m_, 6.0, 16.0);
  return most_px * std::abs(std::sin(std::numbers::pi * share * std::max(1, flex->dips)));
}

/// A wave along its course; where it sags, the course hangs between its ends.
void Route::write_flex(Svg& svg, const Drawn& one) const {
  const SvgPoint way = plus(one.end, one.start, -1.0);
  const double length_px = norm(way);
  const SvgPoint u = unit(way);
  const SvgPoint n = square_to(u);
  const int waves = std::max(2, static_cast<int>(length_px / 12.0));
  std::vector<SvgPoint> points{one.start};
  for (int i = 0; i < waves; ++i) {
    const double share = (i + 0.5) / waves;
    const double hang = hang_px(one, share);
    SvgPoint at = plus(plus(one.start, u, length_px * share), n, i % 2 == 0 ? 4.0 : -4.0);
    at = plus(at, eye_.up, -hang);
    points.push_back(at);
  }
  points.push_back(one.end);
  stroke(svg, points, run_class(one));
}

/// The triangle between an offset and the axes it leaves, hatched along the first of them: first
/// level, then upright.
void Route::write_offset(Svg& svg, const Drawn& one) const {
  const layout::Direction span{one.space[2][0] - one.space[0][0],
                               one.space[2][1] - one.space[0][1],
                               one.space[2][2] - one.space[0][2]};
  const auto triangle = [&](const SvgPoint& a, const SvgPoint& b, const SvgPoint& c) {
    svg.leaf("path", {{"class", "line hair quiet"}, {"d", svg_path({a, b, c}, PathEnd::closed)}});
    const double longest = std::max(norm(plus(c, a, -1.0)), norm(plus(c, b, -1.0)));
    const int lines = std::max(3, static_cast<int>(longest / 6.0));
    for (int i = 1; i < lines; ++i) {
      const double share = static_cast<double>(i) / lines;
      const SvgPoint from = plus(a, plus(c, a, -1.0), share);
      const SvgPoint to = plus(b, plus(c, b, -1.0), share);
      svg.leaf("path", {{"class", "line hair quiet"}, {"d", svg_path({from, to})}});
    }
  };
  const SvgPoint foot = to_point(one.start, {span[0], span[1], 0.0}, eye_);
  if (std::abs(span[0]) > 1.0 && std::abs(span[1]) > 1.0) {
    triangle(one.start, to_point(one.start, {span[0], 0.0, 0.0}, eye_), foot);
  }
  if (std::abs(span[2]) > 1.0 && std::hypot(span[0], span[1]) > 1.0) {
    triangle(one.start, foot, one.end);
  }
}

bool Route::crosses_plane(const Drawn& one) const {
  const std::string& through = one.piece->around().through;
  return one.piece->kind == PieceKind::straight && one.toward == 0.0 &&
         (through == "wall" || through == "ceiling" || through == "roof");
}

/// A part of the wall, ceiling or roof that a straight passes.
void Route::write_plane(Svg& svg, const Drawn& one) const {
  const layout::Direction& h = one.heading_in;
  const bool across_x = one.piece->around().through == "wall" && std::abs(h[0]) > std::abs(h[1]);
  const layout::Direction a =
      one.piece->around().through == "wall"
          ? (across_x ? layout::Direction{0, 1, 0} : layout::Direction{1, 0, 0})
          : layout::Direction{1, 0, 0};
  const layout::Direction b = one.piece->around().through == "wall" ? layout::Direction{0, 0, 1}
                                                                    : layout::Direction{0, 1, 0};
  constexpr double kHalfPx = 24.0;
  const SvgPoint middle = one.middle();
  std::vector<SvgPoint> corners;
  for (const auto& [i, j] :
       {std::pair{1, 1}, std::pair{-1, 1}, std::pair{-1, -1}, std::pair{1, -1}}) {
    corners.push_back(to_point(middle, along(times(a, i * kHalfPx), b, j * kHalfPx), eye_));
  }
  svg.leaf("path", {{"class", "plane"}, {"d", svg_path(corners, PathEnd::closed)}});
}

bool Route::shows_section(const Drawn& one) const {
  return one.piece->kind == PieceKind::straight && one.toward == 0.0 &&
         one.piece->upstream.shape() != duct::Shape::round &&
         // The shortest that is drawn has one, wherever on the sheet it stands.
         norm(plus(one.end, one.start, -1.0)) >= kShortestPx - 0.1;
}

/// The duct cut square to its course, its two sides as they lie.
void Route::write_section(Svg& svg, const Drawn& one) const {
  const duct::Section& section = one.piece->upstream;
  const double longer = std::max(section.width_m(), section.height_m());
  const double half_width = std::max(3.0, 12.0 * section.width_m() / longer);
  const double half_height = std::max(3.0, 12.0 * section.height_m() / longer);
  const layout::Direction tall = layout::cross(one.heading_in, one.width);
  const SvgPoint middle = one.at(0.25);
  std::vector<SvgPoint> corners;
  if (section.shape() == duct::Shape::flat_oval) {
    constexpr int kSides = 20;
    for (int i = 0; i < kSides; ++i) {
      const double angle = 2.0 * std::numbers::pi * i / kSides;
      corners.push_back(to_point(
          middle,
          along(
              times(one.width, half_width * std::cos(angle)), tall, half_height * std::sin(angle)),
          eye_));
    }
  } else {
    for (const auto& [i, j] :
         {std::pair{1, 1}, std::pair{-1, 1}, std::pair{-1, -1}, std::pair{1, -1}}) {
      corners.push_back(
          to_point(middle, along(times(one.width, i * half_width), tall, j * half_height), eye_));
    }
  }
  svg.leaf("path",
           {{"class", is_costliest(one.row) ? "line thin paper second" : "line thin paper"},
            {"d", svg_path(corners, PathEnd::closed)}});
}

/// A box behind the collar; a hood whose duct rises flares toward the cook. Eight corners, the
/// collar at the origin: the four at the collar first.
std::vector<layout::Point> Route::appliance_corners() const {
  const layout::Direction h = result_.route->pieces.front().heading_in;
  const bool upright = std::abs(h[2]) > 0.7;
  const bool hood =
      upright && h[2] > 0.0 && result_.layout.appliance.kind == layout::ApplianceKind::range_hood;
  const layout::Direction a = upright ? layout::Direction{1, 0, 0} : layout::Direction{0, 0, 1};
  const layout::Direction b =
      upright ? layout::Direction{0, 1, 0} : layout::normalised(layout::cross(h, a));
  const double deep_px = upright ? 18.0 : 26.0;
  std::vector<layout::Point> corners;
  for (const double depth : {0.0, deep_px}) {
    const bool near = depth == 0.0;
    const double half_a = upright ? (hood && near ? 11.0 : 20.0) : 10.0;
    const double half_b = upright ? (hood && near ? 8.0 : 13.0) : 18.0;
    for (const auto& [i, j] :
         {std::pair{1, 1}, std::pair{-1, 1}, std::pair{-1, -1}, std::pair{1, -1}}) {
      corners.push_back(along(along(times(h, -depth), a, i * half_a), b, j * half_b));
    }
  }
  return corners;
}

void Route::write_appliance(Svg& svg, const SvgPoint& collar) const {
  static constexpr std::array<std::array<std::size_t, 4>, 6> kFaces{
      {{0, 1, 2, 3}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}}};
  const std::vector<layout::Point> corners = appliance_corners();
  const layout::Direction reader = toward_reader(eye_);
  layout::Point middle{};
  for (const layout::Point& corner : corners) {
    middle = along(middle, corner, 1.0 / 8.0);
  }
  for (const auto& face : kFaces) {
    layout::Point center{};
    for (const std::size_t k : face) {
      center = along(center, corners[k], 0.25);
    }
    const layout::Direction one = along(corners[face[1]], corners[face[0]], -1.0);
    const layout::Direction two = along(corners[face[2]], corners[face[1]], -1.0);
    layout::Direction out = layout::cross(one, two);
    if (layout::dot(out, along(center, middle, -1.0)) < 0.0) {
      out = times(out, -1.0);
    }
    if (layout::dot(out, reader) < 1e-6) {
      continue;
    }
    std::vector<SvgPoint> shown;
    for (const std::size_t k : face) {
      shown.push_back(to_point(collar, corners[k], eye_));
    }
    svg.leaf("path", {{"class", "line thin paper"}, {"d", svg_path(shown, PathEnd::closed)}});
  }
}

void Route::write_axes(Svg& svg, const SvgPoint& at) const {
  const auto axis = [&](const SvgPoint& way, const char* name) {
    if (norm(way) < kSeenPx) {
      return;
    }
    const SvgPoint tip = plus(at, way, 20.0);
    stroke(svg, {at, tip}, "line thin quiet");
    const bool upright = std::abs(way.x) < kSeenPx;
    svg.text("text",
             name,
             {{"class", "small quiet"},
              {"x",
               tip.x + (upright       ? 0.0
                        : way.x > 0.0 ? 4.0
                                      : -4.0)},
              {"y", tip.y + (upright ? -3.0 : 4.0)},
              {"text-anchor",
               upright       ? "middle"
               : way.x > 0.0 ? "start"
                             : "end"}});
  };
  axis(eye_.right, "right");
  axis(eye_.back, "back");
  axis(eye_.up, "up");
}

double Route::write_scale_bar(Svg& svg, const SvgPoint& at) const {
  const bool ip = options_.system == units::System::ip;
  const double unit_m = ip ? units::kMetresPerFoot : 1.0;
  double bar_m = unit_m;
  for (const double steps : {0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0}) {
    if (ip && steps < 1.0) {
      continue;
    }
    if (steps * unit_m * px_per_m_ <= 110.0 || steps <= (ip ? 1.0 : 0.1)) {
      bar_m = steps * unit_m;
    }
  }
  const double bar_px = bar_m * px_per_m_;
  stroke(svg,
         {{at.x, at.y - 4}, {at.x, at.y}, {at.x + bar_px, at.y}, {at.x + bar_px, at.y - 4}},
         "line thin");
  const std::string text = show(bar_m, Dimension::length);
  svg.text("text",
           text,
           {{"class", "small"},
            {"x", at.x + bar_px / 2.0},
            {"y", at.y - 8.0},
            {"text-anchor", "middle"}});
  return std::max(bar_px, text_width_px(text, kSmallPx)) + 40.0;
}

}  // namespace ductledger::picture::route
