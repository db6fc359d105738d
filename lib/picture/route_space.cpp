#include <algorithm>
#include <cmath>
#include <tuple>

#include "picture/route_internal.hpp"

namespace ductledger::picture::route {
namespace {

constexpr double kPi = std::numbers::pi;

/// Between the lines that two directions are drawn along, whichever way they go [rad].
double between(const SvgPoint& a, const SvgPoint& b) {
  const double cross = std::abs(a.x * b.y - a.y * b.x);
  const double dot = std::abs(a.x * b.x + a.y * b.y);
  return std::atan2(cross, dot);
}

bool parallel(const layout::Direction& a, const layout::Direction& b) {
  return std::abs(layout::dot(a, b)) > 1.0 - 1e-6;
}

constexpr std::array<layout::Direction, 3> kAxes{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};

bool is_axis(const layout::Direction& d) {
  return std::ranges::any_of(kAxes, [&](const auto& axis) { return parallel(axis, d); });
}

/// All axes at full length: right and back rise or fall by these angles from the level.
Eye axonometric(double right_rad, double back_rad, bool from_right) {
  const Eye eye{{std::cos(right_rad), std::sin(right_rad)},
                {std::cos(back_rad), -std::sin(back_rad)},
                {0, -1}};
  return from_right ? eye : Eye{{eye.right.x, -eye.right.y}, {-eye.back.x, eye.back.y}, eye.up};
}

}  // namespace

layout::Point Drawn::space_at(double share) const {
  const auto& [a, c, b] = space;
  layout::Point at{};
  for (std::size_t k = 0; k < 3; ++k) {
    if (!bends) {
      at[k] = a[k] + share * (b[k] - a[k]);
    } else if (mitred) {
      at[k] = share < 0.5 ? a[k] + 2.0 * share * (c[k] - a[k])
                          : c[k] + (2.0 * share - 1.0) * (b[k] - c[k]);
    } else {
      const double rest = 1.0 - share;
      at[k] = rest * rest * a[k] + 2.0 * rest * share * c[k] + share * share * b[k];
    }
  }
  return at;
}

SvgPoint Drawn::at(double share) const {
  const auto mix = [share, this](double a, double c, double b) {
    if (!bends) {
      return a + share * (b - a);
    }
    if (mitred) {
      return share < 0.5 ? a + 2.0 * share * (c - a) : c + (2.0 * share - 1.0) * (b - c);
    }
    const double rest = 1.0 - share;
    return rest * rest * a + 2.0 * rest * share * c + share * share * b;
  };
  return {mix(start.x, corner.x, end.x), mix(start.y, corner.y, end.y)};
}

std::vector<double> Drawn::shares() const {
  if (!bends) {
    return {0.0, 1.0};
  }
  return mitred ? std::vector<double>{0.0, 0.5, 1.0}
                : std::vector<double>{0.0, 0.25, 0.5, 0.75, 1.0};
}

std::vector<layout::Direction> Route::headings() const {
  std::vector<layout::Direction> all;
  const auto add = [&all](const layout::Direction& heading) {
    if (std::ranges::none_of(all, [&](const auto& one) { return parallel(one, heading); })) {
      all.push_back(heading);
    }
  };
  for (const layout::PlacedPiece& placed : result_.route->pieces) {
    add(placed.heading_in);
    add(placed.heading_out);
  }
  return all;
}

/// Whether a slanting heading is drawn clear of the axes and of the run's other headings.
bool Route::tells_apart(const layout::Direction& heading, const Eye& eye) const {
  const SvgPoint way = projected(heading, eye);
  if (norm(way) < 0.3) {
    return false;
  }
  const auto clear_of = [&](const layout::Direction& other) {
    const SvgPoint drawn = projected(other, eye);
    return parallel(other, heading) || norm(drawn) < kSeenPx ||
           between(way, drawn) >= kTellApartRad;
  };
  return std::ranges::all_of(kAxes, clear_of) && std::ranges::all_of(headings(), clear_of);
}

Eye Route::elevation_eye() const {
  // From the front, or from the right side where that shows more.
  double across_m = 0.0;
  double deep_m = 0.0;
  for (const layout::PlacedPiece& placed : result_.route->pieces) {
    across_m = std::max(across_m, std::abs(placed.end[0]));
    deep_m = std::max(deep_m, std::abs(placed.end[1]));
  }
  return across_m >= deep_m ? Eye{{1, 0}, {0, 0}, {0, -1}} : Eye{{0, 0}, {1, 0}, {0, -1}};
}

Eye Route::best_eye() const {
  std::vector<layout::Direction> slanting;
  for (const layout::Direction& heading : headings()) {
    if (!is_axis(heading)) {
      slanting.push_back(heading);
    }
  }
  using Cost = std::tuple<int, Tangle, int>;
  std::optional<std::pair<Cost, Eye>> best;
  const auto consider = [&](const Eye& eye, int order) {
    const auto hidden = std::ranges::count_if(
        slanting, [&](const auto& heading) { return !tells_apart(heading, eye); });
    const Lay lay = laid_out(evenly(40.0), eye);
    const Cost cost{static_cast<int>(hidden), tangle(lay, eye), order};
    if (!best || cost < best->first) {
      best.emplace(cost, eye);
    }
  };
  int order = 0;
  for (const auto& [right_deg, back_deg] : {std::pair{30.0, 30.0},
                                            std::pair{0.0, 30.0},
                                            std::pair{5.0, 30.0},
                                            std::pair{0.0, 35.0},
                                            std::pair{10.0, 25.0},
                                            std::pair{0.0, 40.0},
                                            std::pair{30.0, 5.0},
                                            std::pair{20.0, 45.0},
                                            std::pair{15.0, 50.0}}) {
    for (const bool from_right : {true, false}) {
      consider(axonometric(right_deg * kPi / 180.0, back_deg * kPi / 180.0, from_right), order++);
    }
    const bool clear = std::get<0>(best->first) == 0 && std::get<1>(best->first) == Tangle{};
    if (clear) {
      break;  // the first that shows all is the most familiar
    }
  }
  return best->second;
}

Route::Measures Route::evenly(double px_per_m) {
  const Scale scale = [px_per_m](double m) { return px_per_m * m; };
  return {.length_px = scale, .leg_px = scale};
}

Route::Lay Route::laid_out(const Measures& measures, const Eye& eye) const {
  Lay all;
  layout::Point at{};
  const layout::Direction reader = toward_reader(eye);
  for (const layout::PlacedPiece& placed : result_.route->pieces) {
    const Piece& piece = pieces()[placed.piece];
    Drawn drawn;
    drawn.piece = &piece;
    drawn.row = rows_[placed.piece];
    drawn.index = static_cast<int>(placed.piece);
    drawn.number = layout::piece_number(placed.piece);
    drawn.heading_in = placed.heading_in;
    drawn.heading_out = placed.heading_out;
    drawn.width = placed.width_in;
    drawn.space[0] = at;
    drawn.space[1] = at;
    const double seen = norm(projected(placed.heading_in, eye));
    if (piece.kind == PieceKind::elbow) {
      drawn.bends = true;
      const auto& make = piece.as<layout::Elbow>().make;
      drawn.mitred = make == fitting::Make::mitered || make == fitting::Make::vaned;
      drawn.space[1] = along(at, placed.heading_in, measures.leg_px(placed.legs_m[0]));
      at = along(drawn.space[1], placed.heading_out, measures.leg_px(placed.legs_m[1]));
    } else {
      const double length_m = piece.length_m.value_or(0.0);
      double length_px = length_m > 0.0 ? measures.length_px(length_m) : 0.0;
      if (seen < kSeenPx) {
        drawn.toward = layout::dot(placed.heading_in, reader) > 0.0 ? 1.0 : -1.0;
      } else if (length_m <= 0.0) {
        length_px = roomier_ * kFittingPx / seen;
      }
      at = along(at, placed.heading_in, length_px);
    }
    drawn.space[2] = at;
    drawn.start = projected(drawn.space[0], eye);
    drawn.corner = projected(drawn.space[1], eye);
    drawn.end = projected(drawn.space[2], eye);
    drawn.hatched = !drawn.bends && drawn.toward == 0.0 && options_.view == RouteView::isometric &&
                    !is_axis(placed.heading_in) && !tells_apart(placed.heading_in, eye);
    all.push_back(drawn);
  }
  return all;
}

namespace {

struct Stroke {
  SvgPoint a;
  SvgPoint b;
  layout::Point from{};
  layout::Point to{};
  std::size_t piece = 0;
};

std::vector<Stroke> strokes_of(const std::vector<Drawn>& drawn) {
  std::vector<Stroke> all;
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    const std::vector<double> shares = drawn[i].shares();
    for (std::size_t k = 0; k + 1 < shares.size(); ++k) {
      const Stroke stroke{drawn[i].at(shares[k]),
                          drawn[i].at(shares[k + 1]),
                          drawn[i].space_at(shares[k]),
                          drawn[i].space_at(shares[k + 1]),
                          i};
      if (norm(plus(stroke.b, stroke.a, -1.0)) > 1e-6) {
        all.push_back(stroke);
      }
    }
  }
  return all;
}

/// Shares of two strokes where they cross.
std::optional<std::pair<double, double>> meeting(const Stroke& p, const Stroke& q) {
  const SvgPoint u = plus(p.b, p.a, -1.0);
  const SvgPoint v = plus(q.b, q.a, -1.0);
  const SvgPoint w = plus(q.a, p.a, -1.0);
  const double cross = u.x * v.y - u.y * v.x;
  if (std::abs(cross) < 1e-9 * norm(u) * norm(v)) {
    return std::nullopt;
  }
  const double s = (w.x * v.y - w.y * v.x) / cross;
  const double t = (w.x * u.y - w.y * u.x) / cross;
  if (s < 0.0 || s > 1.0 || t < 0.0 || t > 1.0) {
    return std::nullopt;
  }
  return std::pair{s, t};
}

double depth(const Stroke& stroke, double share, const layout::Direction& reader) {
  double sum = 0.0;
  for (std::size_t k = 0; k < 3; ++k) {
    sum += reader[k] * (stroke.from[k] + share * (stroke.to[k] - stroke.from[k]));
  }
  return sum;
}

}  // namespace

std::vector<Over> Route::overs(const Lay& drawn, const Eye& eye) const {
  const layout::Direction reader = toward_reader(eye);
  const std::vector<Stroke> strokes = strokes_of(drawn);
  std::vector<Over> all;
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    for (std::size_t j = i + 1; j < strokes.size(); ++j) {
      const auto met = meeting(strokes[i], strokes[j]);
      if (!met || strokes[i].piece == strokes[j].piece) {
        continue;
      }
      const double first = depth(strokes[i], met->first, reader);
      const double second = depth(strokes[j], met->second, reader);
      if (std::abs(first - second) < 1.0) {
        continue;  // the ends of neighbours, or a clash
      }
      const Stroke& near = first > second ? strokes[i] : strokes[j];
      const double share = first > second ? met->first : met->second;
      const SvgPoint way = plus(near.b, near.a, -1.0);
      const SvgPoint at = plus(near.a, way, share);
      const auto ends_there = [&](std::size_t piece) {
        return std::min(norm(plus(at, drawn[piece].start, -1.0)),
                        norm(plus(at, drawn[piece].end, -1.0))) < 2.0;
      };
      if (ends_there(strokes[i].piece) && ends_there(strokes[j].piece)) {
        continue;  // what leads from one to the other is seen end-on
      }
      all.push_back({at, near.piece, unit(way)});
    }
  }
  return all;
}

Route::Tangle Route::tangle(const Lay& drawn, const Eye& eye) const {
  const std::vector<Stroke> strokes = strokes_of(drawn);
  Tangle found;
  found.across = static_cast<int>(overs(drawn, eye).size());
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    for (std::size_t j = i + 1; j < strokes.size(); ++j) {
      const SvgPoint u = plus(strokes[i].b, strokes[i].a, -1.0);
      const SvgPoint v = plus(strokes[j].b, strokes[j].a, -1.0);
      if (strokes[i].piece == strokes[j].piece || between(u, v) > 0.05) {
        continue;
      }
      // Side by side nearer than a line's width: the shared length along the first.
      const double length = norm(u);
      const SvgPoint e = unit(u);
      const SvgPoint n = square_to(e);
      const auto place = [&](const SvgPoint& p) {
        const SvgPoint w = plus(p, strokes[i].a, -1.0);
        return SvgPoint{w.x * e.x + w.y * e.y, w.x * n.x + w.y * n.y};
      };
      const SvgPoint a = place(strokes[j].a);
      const SvgPoint b = place(strokes[j].b);
      const double shared =
          std::min(length, std::max(a.x, b.x)) - std::max(0.0, std::min(a.x, b.x));
      found.along += shared > 3.0 && std::min(std::abs(a.y), std::abs(b.y)) < 6.0 ? 1 : 0;
    }
  }
  return found;
}

LabelBox Route::extent(const Lay& drawn) {
  LabelBox box;
  for (const Drawn& one : drawn) {
    for (const SvgPoint& p : {one.start, one.corner, one.end}) {
      box = united(box, p);
    }
  }
  return box;
}

std::vector<LabelSegment> Route::segments_of(const Lay& drawn) {
  std::vector<LabelSegment> lines;
  for (const Stroke& stroke : strokes_of(drawn)) {
    lines.push_back({stroke.a, stroke.b, drawn[stroke.piece].index});
  }
  return lines;
}

template <class LayOut>
double Route::fitted(const LayOut& lay, double most, double width_px, double height_px) {
  double low = 0.0;
  double high = most;
  for (int i = 0; i < 30; ++i) {
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

Route::Lay Route::scaled() {
  const double width_px = roomier_ * (options_.width_px - (narrow_ ? 90.0 : 260.0));
  // A long list of pieces needs room for its labels.
  const double many = std::min(12.0, std::max(0.0, static_cast<double>(pieces().size()) - 8.0));
  const double height_px = roomier_ * ((narrow_ ? 300.0 : 330.0) + 16.0 * many);
  const auto by_scale = [&](double px_per_m) { return laid_out(evenly(px_per_m), eye_); };
  const double largest = 150.0 * roomier_;
  const double shortest_px = kShortestPx * roomier_;
  px_per_m_ = fitted(by_scale, largest, width_px, height_px);
  picture_.to_scale = true;
  broken_ = false;
  lengthened_ = false;
  double shortest_m = 1e9;
  for (const layout::PlacedPiece& placed : result_.route->pieces) {
    const double seen = norm(projected(placed.heading_in, eye_));
    const double length_m = pieces()[placed.piece].length_m.value_or(0.0) * seen;
    if (length_m > 0.0 && seen > kSeenPx) {
      shortest_m = std::min(shortest_m, length_m);
    }
  }
  if (px_per_m_ * shortest_m >= shortest_px) {
    return by_scale(px_per_m_);
  }
  // A short stub does not cost the scale: the longest straights are broken, and what is shorter
  // than a line's room is drawn at that room.
  const double px_per_m = std::min(largest, shortest_px / shortest_m);
  const auto to_legible = [px_per_m, shortest_px](double m) {
    return m > 0.0 ? std::max(shortest_px, px_per_m * m) : 0.0;
  };
  const double most_leg_px = 30.0 * roomier_;
  const auto leg = [px_per_m, most_leg_px](double m) {
    return std::min(px_per_m * m, most_leg_px);
  };
  const auto broken = [&](double most_px) {
    return laid_out(
        {.length_px = [&](double m) { return std::min(to_legible(m), most_px); }, .leg_px = leg},
        eye_);
  };
  const double most_px = fitted(broken, 600.0, width_px, height_px);
  Lay lay = broken(std::max(most_px, 2.0 * shortest_px));
  px_per_m_ = px_per_m;
  for (Drawn& one : lay) {
    const double length_m = one.piece->length_m.value_or(0.0);
    const double shown_px = std::hypot(one.space[2][0] - one.space[0][0],
                                       one.space[2][1] - one.space[0][1],
                                       one.space[2][2] - one.space[0][2]);
    const bool straight = one.piece->kind == PieceKind::straight && one.toward == 0.0;
    one.broken = straight && length_m * px_per_m > shown_px + 0.5;
    broken_ = broken_ || one.broken;
    lengthened_ = lengthened_ || (straight && length_m * px_per_m < shown_px - 0.5);
  }
  return lay;
}

SignPlace Route::place_of(const Drawn& one, double share) const {
  SignPlace place;
  place.at = one.at(share);
  const SvgPoint way = plus(one.end, one.start, -1.0);
  place.flow = unit(norm(way) > 1e-6 ? way : projected(one.heading_in, eye_));
  if (norm(eye_.up) > kSeenPx) {
    place.downward = SvgPoint{-eye_.up.x, -eye_.up.y};
  }
  place.emphasized = is_costliest(one.row);
  return place;
}

SignPlace Route::outlet_place(const Lay& drawn) const {
  SignPlace place = place_of(drawn.back());
  place.at = drawn.back().end;
  place.flow = unit(projected(drawn.back().heading_out, eye_));
  return place;
}

}  // namespace ductledger::picture::route
