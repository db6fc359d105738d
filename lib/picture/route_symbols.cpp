#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "picture/route_internal.hpp"

namespace ductledger::picture::route {

void Route::write_run(Svg& svg, const std::vector<Drawn>& drawn) const {
  write_collar(svg, drawn);
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    const Drawn& one = drawn[i];
    const std::string classes = is_costliest(one.row) ? "line run second" : "line run";
    if (one.toward != 0.0) {
      continue;
    }
    if (one.bends) {
      write_bend(svg, one, classes);
    } else if (one.piece->kind == PieceKind::flex) {
      write_flex(svg, one, classes);
    } else {
      stroke(svg, {one.start, one.end}, classes.c_str());
    }
    const bool joint = i > 0 && !one.bends && !drawn[i - 1].bends &&
                       one.piece->kind == PieceKind::straight &&
                       drawn[i - 1].piece->kind == PieceKind::straight;
    if (joint) {
      const SvgPoint across = square_to(unit(plus(one.end, one.start, -1.0)));
      stroke(svg, {plus(one.start, across, 5.0), plus(one.start, across, -5.0)}, "line thin");
    }
  }
  for (const Drawn& one : drawn) {
    write_symbol(svg, one);
  }
  write_outlet(svg, drawn);
}

void Route::write_collar(Svg& svg, const std::vector<Drawn>& drawn) const {
  const SvgPoint u = first_way(drawn);
  const SvgPoint n = square_to(u);
  const SvgPoint at = drawn.front().start;
  const SvgPoint behind = plus(at, u, -17.0);
  svg.leaf(
      "path",
      {{"class", "line paper"},
       {"d",
        svg_path(
            {plus(at, n, 6.0), plus(behind, n, 13.0), plus(behind, n, -13.0), plus(at, n, -6.0)},
            PathEnd::closed)}});
}

void Route::write_bend(Svg& svg, const Drawn& one, const std::string& classes) {
  std::string path = svg_path({one.start});
  if (one.mitred) {
    path = svg_path({one.start, one.corner, one.end});
  } else {
    path += fmt::format("Q{} {} {} {}",
                        svg_number(one.corner.x),
                        svg_number(one.corner.y),
                        svg_number(one.end.x),
                        svg_number(one.end.y));
  }
  svg.leaf("path", {{"class", classes}, {"d", path}});
}

void Route::write_flex(Svg& svg, const Drawn& one, const std::string& classes) const {
  const SvgPoint way = plus(one.end, one.start, -1.0);
  const double length_px = norm(way);
  const SvgPoint u = unit(way);
  const SvgPoint n = square_to(u);
  const int waves = std::max(2, static_cast<int>(length_px / 12.0));
  std::vector<SvgPoint> points{one.start};
  for (int i = 0; i < waves; ++i) {
    const double along = length_px * (i + 0.5) / waves;
    points.push_back(plus(plus(one.start, u, along), n, i % 2 == 0 ? 4.0 : -4.0));
  }
  points.push_back(one.end);
  stroke(svg, points, classes.c_str());
}

void Route::write_symbol(Svg& svg, const Drawn& one) const {
  const SvgPoint c = one.middle();
  const SvgPoint way = plus(one.end, one.start, -1.0);
  const SvgPoint u = unit(way);
  const SvgPoint n = square_to(u);
  const char* line = is_costliest(one.row) ? "line second" : "line";
  const char* face = is_costliest(one.row) ? "line paper second" : "line paper";
  if (one.toward != 0.0) {
    svg.leaf("circle", {{"class", face}, {"cx", c.x}, {"cy", c.y}, {"r", 7.0}});
    if (one.toward > 0.0) {
      svg.leaf("circle", {{"class", "fill"}, {"cx", c.x}, {"cy", c.y}, {"r", 2.2}});
    } else {
      stroke(svg, {{c.x - 5, c.y - 5}, {c.x + 5, c.y + 5}}, "line thin");
      stroke(svg, {{c.x - 5, c.y + 5}, {c.x + 5, c.y - 5}}, "line thin");
    }
    return;
  }
  switch (one.piece->kind) {
    case PieceKind::straight:
    case PieceKind::flex:
    case PieceKind::elbow:
    case PieceKind::cap:
      break;
    case PieceKind::damper:
      stroke(svg, {plus(plus(c, n, 8.0), u, 5.0), plus(plus(c, n, -8.0), u, -5.0)}, line);
      break;
    case PieceKind::transition: {
      const bool wider = one.piece->downstream.area_m2() > one.piece->upstream.area_m2();
      const double before = wider ? 4.0 : 8.0;
      const double after = wider ? 8.0 : 4.0;
      const SvgPoint a = plus(c, u, -7.0);
      const SvgPoint b = plus(c, u, 7.0);
      svg.leaf(
          "path",
          {{"class", face},
           {"d",
            svg_path(
                {plus(a, n, before), plus(b, n, after), plus(b, n, -after), plus(a, n, -before)},
                PathEnd::closed)}});
      break;
    }
    case PieceKind::screen:
    case PieceKind::filter:
      for (const double off : {-3.0, 3.0}) {
        const SvgPoint p = plus(c, u, off);
        stroke(svg,
               {plus(p, n, 8.0), plus(p, n, -8.0)},
               one.piece->kind == PieceKind::screen ? "line thin" : line);
      }
      break;
    case PieceKind::fan:
      svg.leaf("circle", {{"class", face}, {"cx", c.x}, {"cy", c.y}, {"r", 8.0}});
      stroke(svg, {plus(plus(c, u, -4), n, 5), plus(c, u, 6), plus(plus(c, u, -4), n, -5)}, line);
      break;
    case PieceKind::entry:
      stroke(svg, {plus(plus(c, u, -6), n, 8), c, plus(plus(c, u, -6), n, -8)}, line);
      break;
    case PieceKind::junction:
    case PieceKind::loss:
      svg.leaf("path",
               {{"class", face},
                {"d",
                 svg_path({plus(c, u, -7), plus(c, n, 7), plus(c, u, 7), plus(c, n, -7)},
                          PathEnd::closed)}});
      break;
  }
}

void Route::write_outlet(Svg& svg, const std::vector<Drawn>& drawn) const {
  const Drawn& last = drawn.back();
  if (last.toward != 0.0) {
    return;
  }
  const SvgPoint u = last_way(drawn);
  const SvgPoint n = square_to(u);
  const SvgPoint e = last.end;
  const char* line = is_costliest(last.row) ? "line second" : "line";
  if (last.piece->kind == PieceKind::cap) {
    svg.leaf("path",
             {{"class", is_costliest(last.row) ? "line paper second" : "line paper"},
              {"d",
               svg_path({plus(plus(e, u, -8), n, 5),
                         plus(plus(e, u, 2), n, 10),
                         plus(plus(e, u, 2), n, -10),
                         plus(plus(e, u, -8), n, -5)},
                        PathEnd::closed)}});
  }
  const SvgPoint tip = plus(e, u, 20.0);
  stroke(svg, {plus(e, u, 7.0), tip}, line);
  stroke(svg, {plus(plus(tip, u, -5), n, 4), tip, plus(plus(tip, u, -5), n, -4)}, line);
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
              {"y",
               tip.y + (upright        ? -3.0
                        : way.y > 0.1  ? 9.0
                        : way.y < -0.1 ? 2.0
                                       : 4.0)},
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
