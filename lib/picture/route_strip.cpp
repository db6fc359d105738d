#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "picture/route_internal.hpp"

namespace ductledger::picture::route {

std::vector<std::string> Route::footer_notes() const {
  std::vector<std::string> notes;
  if (picture_.to_scale) {
    bool room = false;
    for (const Piece& piece : pieces()) {
      room = room || (piece.kind != PieceKind::elbow && piece.length_m.value_or(0.0) <= 0.0);
    }
    notes.emplace_back(options_.view == RouteView::isometric ? "lengths to scale along the axes"
                                                             : "lengths to scale");
    if (room) {
      notes.emplace_back("pieces without a length: room for their sign");
    }
  } else {
    notes.emplace_back("not to scale");
  }
  if (result_.route->nominal_legs) {
    notes.emplace_back("elbow legs not stated: drawn by their radius");
  }
  return notes;
}

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
      first_length_ = i;
    }
  }
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    Drawn drawn;
    drawn.piece = &pieces()[i];
    drawn.row = rows_[i];
    drawn.number = layout::piece_number(i);
    Cell cell;
    cell.text = label_of(drawn, i);
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
  const double height_px = line_px * static_cast<double>(line + 1) + 44.0;
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
  std::vector<Drawn> drawn;
  for (const Cell& cell : cells) {
    Drawn one;
    one.piece = &pieces()[cell.piece];
    one.row = rows_[cell.piece];
    one.number = cell.text.number;
    const double y = 52.0 + line_px * static_cast<double>(cell.line);
    one.start = {cell.left, y};
    one.end = {cell.left + cell.width_px, y};
    one.corner = one.start;
    drawn.push_back(one);
  }
  write_strip_lines(svg, drawn);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    write_strip_texts(svg, cells[i].text, drawn[i]);
  }
  svg.text("text",
           narrow_ ? "schematic: no headings, not to scale"
                   : "schematic, not to scale: the layout states no headings for all of the run",
           {{"class", "small quiet"}, {"x", 14.0}, {"y", height_px - 14.0}});
  picture_.svg = svg.finish();
  picture_.lines = segments_of(drawn);
}

void Route::write_strip_lines(Svg& svg, const std::vector<Drawn>& drawn) const {
  write_collar(svg, drawn);
  const std::string collar = narrow_ ? "" : "collar";
  if (!collar.empty()) {
    svg.text("text", collar, {{"class", "small quiet"}, {"x", 14.0}, {"y", drawn[0].start.y - 20}});
  }
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    const Drawn& one = drawn[i];
    const std::string classes = is_costliest(one.row) ? "line run second" : "line run";
    if (one.piece->kind == PieceKind::flex) {
      write_flex(svg, one, classes);
    } else {
      stroke(svg, {one.start, one.end}, classes.c_str());
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
    } else {
      write_symbol(svg, one);
    }
    // Where a row ends and another follows, both ends are open.
    if (i + 1 < drawn.size() && drawn[i + 1].start.y != one.end.y) {
      stroke(svg, {one.end, plus(one.end, {1.0, 0.0}, 14.0)}, "line run dotted");
      stroke(svg,
             {plus(drawn[i + 1].start, {1.0, 0.0}, -14.0), drawn[i + 1].start},
             "line run dotted");
    }
  }
  write_outlet(svg, drawn);
}

void Route::write_strip_texts(Svg& svg, const LabelText& text, const Drawn& drawn) {
  const SvgPoint c = drawn.middle();
  if (text.number > 0) {
    const double y = c.y - 28.0;
    svg.leaf("circle",
             {{"class", text.strong ? "line thin paper second" : "line thin paper"},
              {"cx", c.x},
              {"cy", y},
              {"r", kBalloonPx - 0.6}});
    svg.text("text",
             fmt::format("{}", text.number),
             {{"class", text.strong ? "small strong second" : "small"},
              {"x", c.x},
              {"y", y + 4.2},
              {"text-anchor", "middle"}});
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
