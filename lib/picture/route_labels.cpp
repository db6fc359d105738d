#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "picture/route_internal.hpp"

namespace ductledger::picture::route {

std::string Route::name_of(const Piece& piece, const solve::LedgerRow* row) const {
  const std::string kind = layout::word(piece.kind);
  const std::string type = row != nullptr && !row->type.empty() ? row->type : piece.known_type();
  switch (piece.kind) {
    case PieceKind::straight: {
      const std::string length = show(piece.length_m.value_or(0.0), Dimension::length);
      return piece.around().through.empty() ? length
                                            : length + ", " + hyphenless(piece.around().through);
    }
    case PieceKind::flex:
      return "flex " + show(piece.length_m.value_or(0.0), Dimension::length);
    case PieceKind::elbow:
      return fmt::format(
          "{} elbow",
          units::display(piece.as<layout::Elbow>().angle_rad, Dimension::angle, options_.system));
    case PieceKind::transition:
      return "to " + section(piece.downstream);
    case PieceKind::loss:
      return piece.note.empty() ? kind : shortened_note(piece.note);
    default:
      return words::piece_name(kind, type);
  }
}

std::string Route::shortened_note(const std::string& note) {
  constexpr std::size_t kMost = 24;
  const std::string text = base::escaped(note);
  return base::character_count(text) <= kMost ? text : text.substr(0, kMost - 3) + "...";
}

/// Which way a flat duct lies: `width left-right`.
std::string Route::lies(const Drawn& drawn) const {
  if (picture_.schematic || drawn.piece->upstream.shape() == duct::Shape::round ||
      drawn.piece->upstream.width_m() == drawn.piece->upstream.height_m()) {
    return {};
  }
  const layout::Direction& w = drawn.width;
  const double most = std::max({std::abs(w[0]), std::abs(w[1]), std::abs(w[2])});
  if (most < 0.99) {
    return ", width aslant";
  }
  return std::abs(w[0]) == most   ? ", width left-right"
         : std::abs(w[1]) == most ? ", width front-back"
                                  : ", width up-down";
}

LabelText Route::label_of(const Drawn& drawn) const {
  LabelText label;
  label.mark = drawn.number > 0 ? fmt::format("{}", drawn.number) : std::string();
  label.strong = is_costliest(drawn.row);
  label.lines.push_back(name_of(*drawn.piece, drawn.row));
  const auto index = static_cast<std::size_t>(drawn.index);
  const bool has_length =
      drawn.piece->kind == PieceKind::straight || drawn.piece->kind == PieceKind::flex;
  const bool new_section = index == 0 || !(pieces()[index - 1].upstream == drawn.piece->upstream) ||
                           first_length_ == drawn.index;
  const bool flat = drawn.piece->upstream.shape() != duct::Shape::round && !picture_.schematic;
  if (has_length && (new_section || flat)) {
    label.lines.push_back(section(drawn.piece->upstream) + lies(drawn));
  }
  if (drawn.row != nullptr && drawn.number > 0) {
    const std::string share =
        show(drawn.row->share, Dimension::ratio) + (label.strong ? " of the loss" : "");
    if (label.lines.size() > 1 && label.lines.back().size() < 16) {
      label.lines.back() += ", " + share;
    } else {
      label.lines.push_back(share);
    }
  }
  if (subject_.exhaust && (drawn.piece->kind == PieceKind::cap || index + 1 == pieces().size())) {
    if (const std::string rise = rise_words(); !rise.empty()) {
      label.lines.push_back(rise);
    }
  }
  return label;
}

std::string Route::rise_words() const {
  if (!result_.route) {
    return {};
  }
  const double rise_m = result_.route->outlet[2];
  if (std::abs(rise_m) < 0.005) {
    return "level with the collar";
  }
  return show(std::abs(rise_m), Dimension::length) +
         (rise_m > 0.0 ? " above the collar" : " below the collar");
}

LabelText Route::collar_label() const {
  LabelText label;
  const auto& appliance = result_.layout.appliance;
  label.lines.push_back(appliance.kind_stated ? hyphenless(layout::word(appliance.kind))
                                              : std::string("appliance"));
  if (!narrow_) {
    label.lines.push_back("collar " + section(appliance.collar ? *appliance.collar
                                                               : result_.layout.run.first_section));
  }
  return label;
}

std::vector<LabelSymbol> Route::symbol_boxes(const Lay& drawn) const {
  std::vector<LabelSymbol> boxes;
  LabelBox body = around(drawn.front().start, 1.0);
  for (const layout::Point& corner : appliance_corners()) {
    body = united(body, plus(drawn.front().start, projected(corner, eye_)));
  }
  boxes.push_back({body, -1});
  const auto add = [&boxes](const std::vector<LabelBox>& more, int owner) {
    for (const LabelBox& box : more) {
      boxes.push_back({box, owner});
    }
  };
  for (const Drawn& one : drawn) {
    if (one.toward != 0.0) {
      boxes.push_back({around(one.middle(), 8.0), one.index});
      continue;
    }
    const bool cap = one.piece->kind == PieceKind::cap;
    add(sign_boxes(*one.piece, cap ? outlet_place(drawn) : place_of(one)), one.index);
    if (one.piece->kind == PieceKind::flex) {
      for (const double share : {0.15, 0.3, 0.5, 0.7, 0.85}) {
        const double hang = hang_px(one, share);
        boxes.push_back({around(plus(one.at(share), eye_.up, -hang), 6.0), one.index});
      }
    }
    if (one.broken) {
      boxes.push_back({around(one.at(0.75), 9.0), one.index});
    }
    if (shows_section(one)) {
      boxes.push_back({around(one.at(0.25), 12.0), one.index});
    }
  }
  if (drawn.back().toward == 0.0) {
    add(outflow_boxes(outflow_sign(drawn.back()), outlet_place(drawn)), drawn.back().index);
  }
  return boxes;
}

double Route::widest_line(const LabelText& text) {
  double widest = 0.0;
  for (std::size_t i = 0; i < text.lines.size(); ++i) {
    widest = std::max(widest, text_width_px(text.lines[i], i == 0 ? kLabelPx : kSmallPx));
  }
  return widest;
}

double Route::width_of(const LabelText& text) const {
  const double widest = widest_line(text);
  if (!text.more.empty()) {
    const auto count = static_cast<double>(std::min(kMarksInRow, text.more.size() + 1));
    return count * kMarkApartPx - 2.0;
  }
  const double balloon = !text.mark.empty() ? 2.0 * kBalloonPx : 0.0;
  const double gap = balloon > 0.0 && widest > 0.0 ? 6.0 : 0.0;
  // Fonts differ from what was estimated.
  return balloon + gap + 1.08 * widest;
}

double Route::height_of(const LabelText& text) {
  const std::size_t rows = text.more.size() / kMarksInRow + 1;
  return std::max(static_cast<double>(rows) * kMarkApartPx - 2.0,
                  16.0 * static_cast<double>(text.lines.size()) + 2.0);
}

void Route::write_leaders(Svg& svg, const std::vector<LabelPlaced>& placed, const SvgPoint& shift) {
  for (const LabelPlaced& place : placed) {
    const LabelSegment leader{plus(place.leader.from, shift), plus(place.leader.to, shift)};
    picture_.leaders.push_back(leader);
    const SvgPoint way = plus(leader.to, leader.from, -1.0);
    if (!is_shown(leader)) {
      continue;
    }
    svg.leaf(
        "path",
        {{"class", "line thin quiet"},
         {"d", svg_path({plus(leader.from, unit(way), 6.0), plus(leader.to, unit(way), -2.0)})}});
  }
}

void Route::write_balloon(Svg& svg, const LabelText& text, const SvgPoint& middle) {
  svg.leaf("circle",
           {{"class", text.strong ? "line thin paper second" : "line thin paper"},
            {"cx", middle.x},
            {"cy", middle.y},
            {"r", kBalloonPx - 0.6}});
  svg.text("text",
           text.mark,
           {{"class", text.strong ? "small strong second" : "small"},
            {"x", middle.x},
            {"y", middle.y + 4.2},
            {"text-anchor", "middle"}});
}

void Route::write_label(Svg& svg, const LabelText& text, const LabelBox& box, bool ends_there) {
  if (!text.more.empty()) {
    for (std::size_t i = 0; i <= text.more.size(); ++i) {
      const auto column = static_cast<double>(i % kMarksInRow);
      const auto row = static_cast<double>(i / kMarksInRow);
      write_balloon(svg,
                    i == 0 ? text : text.more[i - 1],
                    {box.left + kBalloonPx + kMarkApartPx * column,
                     box.top + kBalloonPx + kMarkApartPx * row});
    }
    return;
  }
  double x = ends_there ? box.right : box.left;
  if (!text.mark.empty()) {
    const double middle = ends_there ? box.right - kBalloonPx : box.left + kBalloonPx;
    write_balloon(svg, text, {middle, box.top + kBalloonPx});
    x += (ends_there ? -1.0 : 1.0) * (2.0 * kBalloonPx + 6.0);
  }
  double y = box.top + 14.5;
  for (std::size_t i = 0; i < text.lines.size(); ++i) {
    const bool first = i == 0;
    svg.text(
        "text",
        text.lines[i],
        {{"class",
          first ? (text.strong ? "label strong second halo" : "label halo") : "small quiet halo"},
         {"x", x},
         {"y", y},
         {"text-anchor", ends_there ? "end" : "start"}});
    y += 16.0;
  }
}

// --- the key -----------------------------------------------------------------------------------

Route::Key Route::key(const Lay& drawn, double paper_px) const {
  constexpr double kColumnPx = 320.0;
  const double room_px = paper_px - 28.0;
  const auto columns = static_cast<std::size_t>(std::max(1.0, std::floor(room_px / kColumnPx)));
  Key key;
  key.column_px = room_px / static_cast<double>(columns);
  std::vector<LabelText> entries;
  const auto add = [&](LabelText text) {
    // One line where it fits beside its mark, else one below the other.
    std::vector<std::string> lines;
    for (const std::string& part : text.lines) {
      if (!lines.empty() &&
          1.08 * text_width_px(lines.back() + ", " + part, kSmallPx) <= key.column_px - 36.0) {
        lines.back() += ", " + part;
      } else {
        lines.push_back(part);
      }
    }
    text.lines = std::move(lines);
    entries.push_back(std::move(text));
  };
  if (keyed_.back() != 0) {
    LabelText appliance = collar_label();
    appliance.mark = kApplianceMark;
    add(std::move(appliance));
  }
  for (const Drawn& one : drawn) {
    if (keyed_[static_cast<std::size_t>(one.index)] != 0) {
      add(label_of(one));
    }
  }
  const std::size_t rows = (entries.size() + columns - 1) / columns;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    if (i % rows == 0) {
      key.columns.emplace_back();
    }
    key.columns.back().push_back(std::move(entries[i]));
  }
  for (const auto& column : key.columns) {
    double height_px = 8.0;
    for (const LabelText& text : column) {
      height_px += key_row_px(text);
    }
    key.height_px = std::max(key.height_px, height_px);
  }
  return key;
}

void Route::write_key(Svg& svg, const Key& key, const SvgPoint& at) {
  double x = at.x;
  for (const auto& column : key.columns) {
    double y = at.y + 8.0;
    for (const LabelText& text : column) {
      write_balloon(svg, text, {x + kBalloonPx, y + kBalloonPx});
      double line = y + 14.0;
      for (const std::string& part : text.lines) {
        svg.text("text",
                 part,
                 {{"class", text.strong ? "small strong second" : "small"},
                  {"x", x + 2.0 * kBalloonPx + 8.0},
                  {"y", line}});
        line += 16.0;
      }
      y += key_row_px(text);
    }
    x += key.column_px;
  }
}

}  // namespace ductledger::picture::route
