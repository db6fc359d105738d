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

LabelText Route::label_of(const Drawn& drawn, std::size_t index) const {
  LabelText label;
  label.number = drawn.number;
  label.strong = is_costliest(drawn.row);
  if (narrow_) {
    return label;
  }
  label.lines.push_back(name_of(*drawn.piece, drawn.row));
  std::string second;
  const bool new_section =
      drawn.piece->kind == PieceKind::straight || drawn.piece->kind == PieceKind::flex;
  if (new_section && (index == 0 || !(pieces()[index - 1].upstream == drawn.piece->upstream) ||
                      first_length_ == index)) {
    second = section(drawn.piece->upstream);
  }
  if (drawn.row != nullptr && drawn.number > 0) {
    const std::string share = show(drawn.row->share, Dimension::ratio);
    second += (second.empty() ? "" : ", ") + share + (label.strong ? " of the loss" : "");
  }
  if (!second.empty()) {
    label.lines.push_back(second);
  }
  if (drawn.piece->kind == PieceKind::cap || index + 1 == pieces().size()) {
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

int Route::crossings(double px_per_m) const {
  std::vector<Drawn> drawn = laid_out([px_per_m](double m) { return px_per_m * m; }, 0.0);
  const std::vector<LabelSegment> lines = segments_of(drawn);
  int count = 0;
  for (std::size_t j = 0; j < lines.size(); ++j) {
    for (std::size_t i = 0; i + 1 < j; ++i) {
      const LabelBox at{lines[i].from.x - 0.02,
                        lines[i].from.y - 0.02,
                        lines[i].from.x + 0.02,
                        lines[i].from.y + 0.02};
      count += crossed(lines[i], lines[j]) || meets(lines[j], at) ? 1 : 0;
    }
  }
  return count;
}

bool Route::crossed(const LabelSegment& a, const LabelSegment& b) {
  const auto side = [](const LabelSegment& s, const SvgPoint& p) {
    return (s.to.x - s.from.x) * (p.y - s.from.y) - (s.to.y - s.from.y) * (p.x - s.from.x);
  };
  return side(a, b.from) * side(a, b.to) <= 0.0 && side(b, a.from) * side(b, a.to) <= 0.0;
}

LabelBox Route::extent(const std::vector<Drawn>& drawn) {
  LabelBox box;
  const auto take = [&box](const SvgPoint& p) {
    box.left = std::min(box.left, p.x);
    box.right = std::max(box.right, p.x);
    box.top = std::min(box.top, p.y);
    box.bottom = std::max(box.bottom, p.y);
  };
  for (const Drawn& one : drawn) {
    take(one.start);
    take(one.corner);
    take(one.end);
  }
  return box;
}

std::vector<LabelSegment> Route::segments_of(const std::vector<Drawn>& drawn) {
  std::vector<LabelSegment> lines;
  const auto add = [&lines](const SvgPoint& a, const SvgPoint& b) {
    if (std::hypot(b.x - a.x, b.y - a.y) > 1e-6) {
      lines.push_back({a, b});
    }
  };
  for (const Drawn& one : drawn) {
    if (one.bends) {
      add(one.start, one.corner);
      add(one.corner, one.end);
    } else {
      add(one.start, one.end);
    }
  }
  return lines;
}

LabelText Route::collar_label() const {
  LabelText label;
  const auto& appliance = result_.layout.appliance;
  label.lines.push_back(narrow_                 ? "collar"
                        : appliance.kind_stated ? hyphenless(layout::word(appliance.kind))
                                                : std::string("appliance"));
  if (!narrow_) {
    label.lines.push_back("collar " + section(appliance.collar ? *appliance.collar
                                                               : result_.layout.run.first_section));
  }
  return label;
}

std::vector<LabelBox> Route::symbol_boxes(const std::vector<Drawn>& drawn) const {
  std::vector<LabelBox> boxes;
  boxes.push_back(around(collar_middle(drawn), 13.0));
  for (const Drawn& one : drawn) {
    const bool has_symbol =
        one.piece->kind != PieceKind::straight && one.piece->kind != PieceKind::elbow;
    if (has_symbol || one.toward != 0.0) {
      boxes.push_back(around(one.middle(), 9.0));
    }
  }
  if (drawn.back().toward == 0.0) {
    boxes.push_back(around(plus(drawn.back().end, last_way(drawn), 12.0), 10.0));
  }
  return boxes;
}

double Route::width_of(const LabelText& text) const {
  double widest = 0.0;
  for (std::size_t i = 0; i < text.lines.size(); ++i) {
    widest = std::max(widest, text_width_px(text.lines[i], i == 0 ? kLabelPx : kSmallPx));
  }
  const double balloon = text.number > 0 ? 2.0 * kBalloonPx : 0.0;
  const double gap = balloon > 0.0 && widest > 0.0 ? 6.0 : 0.0;
  // Fonts differ from what was estimated.
  return balloon + gap + 1.08 * widest;
}

void Route::write_leaders(Svg& svg, const std::vector<LabelPlaced>& placed, const SvgPoint& shift) {
  for (const LabelPlaced& place : placed) {
    const LabelSegment leader{plus(place.leader.from, shift), plus(place.leader.to, shift)};
    picture_.leaders.push_back(leader);
    const SvgPoint way = plus(leader.to, leader.from, -1.0);
    if (norm(way) < 10.0) {
      continue;  // close enough to speak for itself
    }
    svg.leaf(
        "path",
        {{"class", "line thin quiet"},
         {"d", svg_path({plus(leader.from, unit(way), 4.0), plus(leader.to, unit(way), -3.0)})}});
  }
}

void Route::write_label(Svg& svg,
                        const LabelText& text,
                        const LabelBox& box,
                        const bool ends_there) {
  double x = ends_there ? box.right : box.left;
  if (text.number > 0) {
    const SvgPoint middle{ends_there ? box.right - kBalloonPx : box.left + kBalloonPx,
                          box.top + kBalloonPx};
    svg.leaf("circle",
             {{"class", text.strong ? "line thin paper second" : "line thin paper"},
              {"cx", middle.x},
              {"cy", middle.y},
              {"r", kBalloonPx - 0.6}});
    svg.text("text",
             fmt::format("{}", text.number),
             {{"class", text.strong ? "small strong second" : "small"},
              {"x", middle.x},
              {"y", middle.y + 4.2},
              {"text-anchor", "middle"}});
    x += (ends_there ? -1.0 : 1.0) * (2.0 * kBalloonPx + 6.0);
  }
  double y = box.top + 14.5;
  for (std::size_t i = 0; i < text.lines.size(); ++i) {
    const bool first = i == 0;
    svg.text("text",
             text.lines[i],
             {{"class", first ? (text.strong ? "label strong second" : "label") : "small quiet"},
              {"x", x},
              {"y", y},
              {"text-anchor", ends_there ? "end" : "start"}});
    y += 16.0;
  }
}

}  // namespace ductledger::picture::route
