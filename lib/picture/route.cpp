#include "picture/route.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>
#include <utility>

#include "picture/route_internal.hpp"

namespace ductledger::picture {
namespace route {

RoutePicture Route::draw() {
  picture_.schematic = !result_.route;
  titles();
  if (picture_.schematic) {
    draw_strip();
  } else {
    draw_in_space();
  }
  return std::move(picture_);
}

void Route::collect_rows() {
  rows_.assign(pieces().size(), nullptr);
  if (!result_.ledger_speed || !result_.speeds[*result_.ledger_speed].ledger) {
    return;
  }
  const solve::Ledger& ledger = *result_.speeds[*result_.ledger_speed].ledger;
  costliest_ = ledger.costliest();
  for (const solve::LedgerRow& row : ledger.rows) {
    if (row.piece_index >= 0 && row.number > 0) {
      rows_[static_cast<std::size_t>(row.piece_index)] = &row;
    }
  }
}

void Route::titles() {
  const char* kind = picture_.schematic                      ? "Schematic"
                     : options_.view == RouteView::plan      ? "Plan"
                     : options_.view == RouteView::elevation ? "Elevation"
                                                             : "Isometric drawing";
  picture_.title = fmt::format("{} of the run", kind);
  std::string way = fmt::format("{} pieces from the collar", pieces().size());
  if (result_.route) {
    way += fmt::format(", {} along the centerline, ending {}",
                       show(result_.route->length_m, Dimension::length),
                       rise_words());
  } else {
    way += "; headings are not known, so directions and lengths are not drawn";
  }
  if (costliest_ != nullptr && costliest_->number > 0) {
    way += fmt::format("; largest loss: {}, {}",
                       words::row_name(*costliest_),
                       show(costliest_->share, Dimension::ratio));
  }
  picture_.reading = way + ".";
}

Eye Route::eye_for(RouteView view) const {
  const double c = std::cos(std::numbers::pi / 6.0);
  const double s = std::sin(std::numbers::pi / 6.0);
  switch (view) {
    case RouteView::plan:
      return {{1, 0}, {0, -1}, {0, 0}};
    case RouteView::elevation: {
      // From the front, or from the right side where that shows more.
      double across_m = 0.0;
      double deep_m = 0.0;
      for (const layout::PlacedPiece& placed : result_.route->pieces) {
        across_m = std::max(across_m, std::abs(placed.end[0]));
        deep_m = std::max(deep_m, std::abs(placed.end[1]));
      }
      return across_m >= deep_m ? Eye{{1, 0}, {0, 0}, {0, -1}} : Eye{{0, 0}, {1, 0}, {0, -1}};
    }
    case RouteView::isometric:
      break;
  }
  const Eye from_right{{c, s}, {c, -s}, {0, -1}};
  const Eye from_left{{c, -s}, {-c, -s}, {0, -1}};
  eye_ = from_right;
  const int right = crossings(1.0);
  eye_ = from_left;
  return crossings(1.0) < right ? from_left : from_right;
}

std::vector<Drawn> Route::laid_out(const Scale& px_of, double room_px) const {
  std::vector<Drawn> all;
  SvgPoint at{0.0, 0.0};
  for (const layout::PlacedPiece& placed : result_.route->pieces) {
    const Piece& piece = pieces()[placed.piece];
    Drawn drawn;
    drawn.piece = &piece;
    drawn.row = rows_[placed.piece];
    drawn.number = layout::piece_number(placed.piece);
    drawn.start = at;
    const SvgPoint in = projected(placed.heading_in, eye_);
    const SvgPoint out = projected(placed.heading_out, eye_);
    if (piece.kind == PieceKind::elbow) {
      drawn.bends = true;
      const auto& make = piece.as<layout::Elbow>().make;
      drawn.mitred = make == fitting::Make::mitered || make == fitting::Make::vaned;
      drawn.corner = plus(at, in, px_of(placed.legs_m[0]));
      at = plus(drawn.corner, out, px_of(placed.legs_m[1]));
    } else {
      const double length_m = piece.length_m.value_or(0.0);
      if (norm(in) < kSeenPx) {
        drawn.toward = toward_reader(placed.heading_in);
      } else if (length_m > 0.0) {
        at = plus(at, in, px_of(length_m));
      } else {
        at = plus(at, unit(in), room_px);
      }
      drawn.corner = drawn.start;
    }
    drawn.end = at;
    all.push_back(drawn);
  }
  return all;
}

double Route::toward_reader(const layout::Direction& heading) const {
  // Seen from above a rising duct comes toward the reader; from the front or the right side one
  // that heads that way.
  if (options_.view == RouteView::plan) {
    return heading[2] > 0.0 ? 1.0 : -1.0;
  }
  return norm(eye_.back) < kSeenPx ? (heading[1] < 0.0 ? 1.0 : -1.0)
                                   : (heading[0] > 0.0 ? 1.0 : -1.0);
}

template <class Lay>
double Route::fitted(const Lay& lay, double most, double width_px, double height_px) {
  double low = 0.0;
  double high = most;
  for (int i = 0; i < 40; ++i) {
    const double middle = i == 0 ? most : (low + high) / 2.0;
    const LabelBox box = extent(lay(middle));
    if (box.right - box.left <= width_px && box.bottom - box.top <= height_px) {
      low = middle;
      if (i == 0) {
        break;
      }
    } else {
      high = middle;
    }
  }
  return low;
}

std::vector<Drawn> Route::scaled() {
  const double width_px = options_.width_px - (narrow_ ? 90.0 : 260.0);
  // A long list of pieces needs room for its labels.
  const double many = std::min(12.0, std::max(0.0, static_cast<double>(pieces().size()) - 8.0));
  const double height_px = (narrow_ ? 300.0 : 330.0) + 16.0 * many;
  const auto to_scale = [&](double px_per_m) {
    return laid_out([px_per_m](double m) { return px_per_m * m; }, kFittingPx);
  };
  px_per_m_ = fitted(to_scale, 150.0, width_px, height_px);
  picture_.to_scale = true;
  for (const layout::PlacedPiece& placed : result_.route->pieces) {
    const Piece& piece = pieces()[placed.piece];
    const double seen = norm(projected(placed.heading_in, eye_));
    const double length_m = piece.length_m.value_or(0.0);
    if (length_m > 0.0 && seen > kSeenPx && px_per_m_ * length_m * seen < kShortestPx) {
      picture_.to_scale = false;
    }
  }
  if (picture_.to_scale) {
    return to_scale(px_per_m_);
  }
  const auto free = [&](double px_per_root_m) {
    return laid_out(
        [px_per_root_m](double m) {
          return m > 0.0 ? kShortestPx / 2.0 + px_per_root_m * std::sqrt(m) : 0.0;
        },
        kFittingPx);
  };
  const double px_per_root_m = fitted(free, 60.0, width_px, height_px);
  return free(std::max(px_per_root_m, 16.0));
}

void Route::draw_in_space() {
  eye_ = eye_for(options_.view);
  std::vector<Drawn> drawn = scaled();
  for (std::size_t i = 0; i < pieces().size() && !first_length_; ++i) {
    if (pieces()[i].length_m.value_or(0.0) > 0.0) {
      first_length_ = i;
    }
  }
  LabelScene scene;
  scene.lines = segments_of(drawn);
  scene.symbols = symbol_boxes(drawn);
  const LabelBox run = extent(drawn);
  const double margin_px = narrow_ ? 34.0 : 128.0;
  scene.area = {run.left - margin_px, run.top - 46.0, run.right + margin_px, run.bottom + 46.0};

  std::vector<LabelText> texts;
  std::vector<LabelWanted> wanted;
  const auto want = [&](LabelText text, const SvgPoint& anchor) {
    LabelWanted label;
    label.anchor = anchor;
    label.width_px = width_of(text);
    label.height_px = height_of(text);
    wanted.push_back(label);
    texts.push_back(std::move(text));
  };
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    LabelText text = label_of(drawn[i], i);
    if (text.number > 0 || !text.lines.empty()) {
      want(std::move(text), drawn[i].middle());
    }
  }
  want(collar_label(), collar_middle(drawn));
  const std::vector<LabelPlaced> placed = place_labels(scene, wanted);

  // The paper: all of it, the footer below.
  LabelBox whole = run;
  const auto take = [&whole](const LabelBox& box) {
    whole.left = std::min(whole.left, box.left);
    whole.right = std::max(whole.right, box.right);
    whole.top = std::min(whole.top, box.top);
    whole.bottom = std::max(whole.bottom, box.bottom);
  };
  for (const LabelPlaced& place : placed) {
    take(place.box);
  }
  for (const LabelBox& symbol : scene.symbols) {
    take(symbol);
  }
  constexpr double kMarginPx = 12.0;
  const double wide = whole.right - whole.left + 2.0 * kMarginPx;
  const double paper_px = std::max(options_.width_px, wide);
  const SvgPoint shift{(paper_px - wide) / 2.0 + kMarginPx - whole.left, kMarginPx - whole.top};
  const double footer_top = whole.bottom + shift.y + 14.0;
  const std::vector<std::string> notes = footer_notes();
  const double footer_px =
      std::max(86.0, 22.0 + 17.0 * static_cast<double>(notes.size()) + (narrow_ ? 70.0 : 0.0));

  Svg svg({.width_px = paper_px,
           .height_px = footer_top + footer_px,
           .title = picture_.title,
           .description = picture_.reading,
           .id = options_.id,
           .use = options_.use});
  for (Drawn& one : drawn) {
    one.start = plus(one.start, shift);
    one.corner = plus(one.corner, shift);
    one.end = plus(one.end, shift);
  }
  write_leaders(svg, placed, shift);
  write_run(svg, drawn);
  write_labels(svg, placed, texts, shift);
  write_footer(svg, {14.0, footer_top}, notes, paper_px);
  picture_.svg = svg.finish();
  picture_.lines = segments_of(drawn);
}

SvgPoint Route::first_way(const std::vector<Drawn>& drawn) {
  for (const Drawn& one : drawn) {
    const SvgPoint& to =
        one.bends && norm(plus(one.corner, one.start, -1.0)) > 1e-6 ? one.corner : one.end;
    const SvgPoint way = plus(to, one.start, -1.0);
    if (norm(way) > 1e-6) {
      return unit(way);
    }
  }
  return {0.0, -1.0};
}

SvgPoint Route::last_way(const std::vector<Drawn>& drawn) {
  for (auto one = drawn.rbegin(); one != drawn.rend(); ++one) {
    const SvgPoint& from =
        one->bends && norm(plus(one->end, one->corner, -1.0)) > 1e-6 ? one->corner : one->start;
    const SvgPoint way = plus(one->end, from, -1.0);
    if (norm(way) > 1e-6) {
      return unit(way);
    }
  }
  return {0.0, -1.0};
}

void Route::write_labels(Svg& svg,
                         const std::vector<LabelPlaced>& placed,
                         const std::vector<LabelText>& texts,
                         const SvgPoint& shift) {
  for (std::size_t i = 0; i < placed.size(); ++i) {
    LabelBox box = placed[i].box;
    box = {box.left + shift.x, box.top + shift.y, box.right + shift.x, box.bottom + shift.y};
    picture_.labels.push_back(box);
    write_label(svg, texts[i], box, placed[i].box.right <= placed[i].leader.from.x);
  }
}

void Route::write_footer(Svg& svg,
                         const SvgPoint& at,
                         const std::vector<std::string>& notes,
                         double paper_px) const {
  svg.leaf("path", {{"class", "rule"}, {"d", svg_path({{at.x, at.y}, {paper_px - 14.0, at.y}})}});
  write_axes(svg, {at.x + 34.0, at.y + 44.0});
  double x = at.x + 110.0;
  if (picture_.to_scale) {
    x += write_scale_bar(svg, {x, at.y + 30.0});
  }
  double y = at.y + 22.0;
  if (narrow_) {
    x = at.x;
    y = at.y + 90.0;
  }
  for (const std::string& note : notes) {
    svg.text("text", note, {{"class", "small quiet"}, {"x", x}, {"y", y}});
    y += 17.0;
  }
}

}  // namespace route

RoutePicture route_picture(const study::CheckResult& result, const RouteOptions& options) {
  return route::Route(result, options).draw();
}

}  // namespace ductledger::picture
