#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "picture/route_internal.hpp"

namespace ductledger::picture::route {

void Route::draw_strip() {
  struct Cell {
    LabelText text;
    double width_px = 0.0;
    double left = 0.0;
    std::size_t line = 0;
    std::size_t piece = 0;
  };
  std::vector<Cell> cells;
  double x = 62.0;
  std::size_t line = 0;
  for (std::size_t i = 0; i < pieces().size() && !first_length_; ++i) {
    if (pieces()[i].length_m.value_or(0.0) > 0.0) {
      first_length_ = static_cast<int>(i);
    }
  }
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    Drawn drawn;
    drawn.piece = &pieces()[i];
    drawn.row = rows_[i];
    drawn.index = static_cast<int>(i);
    drawn.number = layout::piece_number(i);
    Cell cell;
    cell.text = label_of(drawn);
    if (narrow_) {
      cell.text.lines.clear();
    }
    cell.piece = i;
    double widest = 2.0 * kBalloonPx;
    for (std::size_t k = 0; k < cell.text.lines.size(); ++k) {
      widest = std::max(widest, text_width_px(cell.text.lines[k], k == 0 ? kLabelPx : kSmallPx));
    }
    cell.width_px = std::max(widest + 16.0, 46.0);
    if (x + cell.width_px > options_.width_px - 34.0 && x > 62.0) {
      ++line;
      x = 34.0;
    }
    cell.left = x;
    cell.line = line;
    x += cell.width_px;
    cells.push_back(std::move(cell));
  }
  const double line_px = narrow_ ? 70.0 : 112.0;
  const double foot_px = line_px * static_cast<double>(line + 1) + 16.0;
  std::vector<Drawn> drawn;
  for (const Cell& cell : cells) {
    Drawn one;
    one.piece = &pieces()[cell.piece];
    one.row = rows_[cell.piece];
    one.index = static_cast<int>(cell.piece);
    one.number = layout::piece_number(cell.piece);
    const double y = 52.0 + line_px * static_cast<double>(cell.line);
    one.start = {cell.left, y};
    one.end = {cell.left + cell.width_px, y};
    one.corner = one.start;
    drawn.push_back(one);
  }
  keyed_.assign(pieces().size() + 1, narrow_ ? 1 : 0);
  keyed_.back() = 0;
  const Key key = this->key(drawn, options_.width_px);
  const double height_px = foot_px + 28.0 + key.height_px;
  double paper_px = options_.width_px;
  for (const Cell& cell : cells) {
    paper_px = std::max(paper_px, cell.left + cell.width_px + 34.0);
  }
  Svg svg({.width_px = paper_px,
           .height_px = height_px,
           .title = picture_.title,
           .description = picture_.reading,
           .id = options_.id,
           .use = options_.use});
  write_strip_lines(svg, drawn);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    write_strip_texts(svg, cells[i].text, drawn[i]);
  }
  const char* const note =
      narrow_ ? "schematic, not to scale"
      : subject_.exhaust
          ? "schematic, not to scale: the layout states no headings for all of the run"
          : "schematic, not to scale";
  write_key(svg, key, {8.0, foot_px});
  svg.text("text", note, {{"class", "small quiet"}, {"x", 14.0}, {"y", height_px - 10.0}});
  picture_.svg = svg.finish();
  picture_.lines = segments_of(drawn);
  picture_.width_px = paper_px;
  picture_.height_px = height_px;
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
