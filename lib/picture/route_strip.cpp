#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "picture/route_internal.hpp"

namespace ductledger::picture::route {

Route::Strip Route::strip() const {
  constexpr double kFirstPx = 62.0;  // after the collar
  constexpr double kMarginPx = 34.0;
  const double line_px = narrow_ ? 70.0 : 112.0;
  Strip strip{.drawn = {}, .texts = {}, .right_px = options_.width_px};
  SvgPoint at{kFirstPx, 52.0};
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    Drawn one;
    one.piece = &pieces()[i];
    one.row = rows_[i];
    one.index = static_cast<int>(i);
    one.number = layout::piece_number(i);
    LabelText text = label_of(one);
    if (narrow_) {
      text.lines.clear();
    }
    const double width_px = std::max(std::max(2.0 * kBalloonPx, widest_line(text)) + 16.0, 46.0);
    if (at.x + width_px > options_.width_px - kMarginPx && at.x > kFirstPx) {
      at = {kMarginPx, at.y + line_px};
    }
    one.start = at;
    one.corner = at;
    one.end = {at.x + width_px, at.y};
    at = one.end;
    strip.right_px = std::max(strip.right_px, one.end.x + kMarginPx);
    strip.drawn.push_back(one);
    strip.texts.push_back(std::move(text));
  }
  strip.bottom_px = at.y - 52.0 + line_px + 16.0;
  return strip;
}

void Route::draw_strip() {
  const Strip strip = this->strip();
  keyed_.assign(pieces().size() + 1, narrow_ ? 1 : 0);
  keyed_.back() = 0;
  const Key key = this->key(strip.drawn, options_.width_px);
  picture_.width_px = strip.right_px;
  picture_.height_px = strip.bottom_px + 28.0 + key.height_px;
  Svg svg = paper();
  write_strip_lines(svg, strip.drawn);
  for (std::size_t i = 0; i < strip.drawn.size(); ++i) {
    write_strip_texts(svg, strip.texts[i], strip.drawn[i]);
  }
  write_key(svg, key, {8.0, strip.bottom_px});
  svg.text("text",
           narrow_ || !subject_.exhaust
               ? "schematic, not to scale"
               : "schematic, not to scale: the layout states no headings for all of the run",
           {{"class", "small quiet"}, {"x", 14.0}, {"y", picture_.height_px - 10.0}});
  picture_.svg = svg.finish();
  picture_.lines = segments_of(strip.drawn);
}

/// The strip goes to the right whatever the run does, so no way is down.
SignPlace Route::strip_place(const Drawn& one, const SvgPoint& at) const {
  return {
      .at = at, .flow = {1.0, 0.0}, .downward = std::nullopt, .emphasized = is_costliest(one.row)};
}

void Route::write_strip_lines(Svg& svg, const std::vector<Drawn>& drawn) const {
  const SvgPoint begin = drawn.front().start;
  if (subject_.exhaust) {
    svg.leaf("path",
             {{"class", "line paper"},
              {"d",
               svg_path({{begin.x, begin.y + 6.0},
                         {begin.x - 17.0, begin.y + 13.0},
                         {begin.x - 17.0, begin.y - 13.0},
                         {begin.x, begin.y - 6.0}},
                        PathEnd::closed)}});
  }
  if (!narrow_) {
    svg.text("text",
             subject_.exhaust ? "collar" : "outdoors",
             {{"class", "small quiet"}, {"x", 8.0}, {"y", begin.y - 20}});
  }
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    const Drawn& one = drawn[i];
    if (one.piece->kind == PieceKind::flex) {
      write_flex(svg, one);
    } else {
      stroke(svg, {one.start, one.end}, run_class(one));
    }
    if (one.piece->kind == PieceKind::elbow) {
      const SvgPoint c = one.middle();
      svg.leaf("path",
               {{"class", is_costliest(one.row) ? "line second" : "line"},
                {"d",
                 fmt::format("M{0} {1}Q{2} {1} {2} {3}",
                             svg_number(c.x - 9.0),
                             svg_number(c.y - 4.0),
                             svg_number(c.x),
                             svg_number(c.y - 13.0))}});
    } else if (one.piece->kind == PieceKind::cap) {
      write_sign(svg, *one.piece, strip_place(one, one.end));
    } else {
      const bool first = one.piece->kind == PieceKind::entry && i == 0;
      write_sign(svg, *one.piece, strip_place(one, first ? one.start : one.middle()));
    }
    // Where a row ends and another follows, both ends are open.
    if (i + 1 < drawn.size() && drawn[i + 1].start.y != one.end.y) {
      stroke(svg, {one.end, plus(one.end, {1.0, 0.0}, 14.0)}, "line run dotted");
      stroke(svg,
             {plus(drawn[i + 1].start, {1.0, 0.0}, -14.0), drawn[i + 1].start},
             "line run dotted");
    }
  }
  const Drawn& last = drawn.back();
  write_outflow(svg, outflow_sign(last), strip_place(last, last.end));
}

void Route::write_strip_texts(Svg& svg, const LabelText& text, const Drawn& drawn) {
  const SvgPoint c = drawn.middle();
  if (!text.mark.empty()) {
    const double y = c.y - 28.0;
    write_balloon(svg, text, {c.x, y});
    picture_.labels.push_back(around({c.x, y}, kBalloonPx));
  }
  double y = c.y + 28.0;
  for (std::size_t i = 0; i < text.lines.size(); ++i) {
    const bool first = i == 0;
    svg.text("text",
             text.lines[i],
             {{"class", first ? (text.strong ? "label strong second" : "label") : "small quiet"},
              {"x", c.x},
              {"y", y},
              {"text-anchor", "middle"}});
    const double half = text_width_px(text.lines[i], first ? kLabelPx : kSmallPx) / 2.0;
    picture_.labels.push_back({c.x - half, y - 12.0, c.x + half, y + 3.0});
    y += 16.0;
  }
}

}  // namespace ductledger::picture::route
