#include "layout/geometry.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "layout/catalogue_query.hpp"
#include "layout/direction.hpp"

namespace ductledger::layout {
namespace {

Point moved(const Point& from, const Direction& along, double way_m) {
  return {from[0] + way_m * along[0], from[1] + way_m * along[1], from[2] + way_m * along[2]};
}

Point difference(const Point& a, const Point& b) { return {a[0] - b[0], a[1] - b[1], a[2] - b[2]}; }

double distance(const Point& a, const Point& b) {
  const Point d = difference(a, b);
  return std::sqrt(dot(d, d));
}

/// A straight part of the centre line.
struct Part {
  Point start{};
  Point end{};
  double begins_m = 0.0;  ///< along the run
  double ends_m = 0.0;
  double size_m = 0.0;  ///< the smaller side of its section
  std::size_t piece = 0;
  int corners_before = 0;
};

std::vector<Part> parts_of(const Layout& layout, const RunGeometry& geometry) {
  std::vector<Part> parts;
  double way_m = 0.0;
  int corners = 0;
  for (const PlacedPiece& placed : geometry.pieces) {
    const Piece& piece = layout.run.pieces[placed.piece];
    const double size_m = std::min(piece.upstream.width_m(), piece.upstream.height_m());
    const auto add = [&](const Point& start, const Point& end) {
      const double length_m = distance(start, end);
      if (length_m > 0.0) {
        parts.push_back({start, end, way_m, way_m + length_m, size_m, placed.piece, corners});
        way_m += length_m;
      }
    };
    if (piece.kind == PieceKind::elbow) {
      add(placed.start, placed.corner);
      ++corners;
      add(placed.corner, placed.end);
    } else {
      add(placed.start, placed.end);
    }
  }
  return parts;
}

/// Distance of two segments: both ends inside [0, 1], found by clamping one after the other.
double distance(const Part& p, const Part& q) {
  const Point u = difference(p.end, p.start);
  const Point v = difference(q.end, q.start);
  const Point w = difference(p.start, q.start);
  const double a = dot(u, u);
  const double b = dot(u, v);
  const double c = dot(v, v);
  const double d = dot(u, w);
  const double e = dot(v, w);
  const double denominator = a * c - b * b;
  double s =
      denominator > 1e-12 * a * c ? std::clamp((b * e - c * d) / denominator, 0.0, 1.0) : 0.0;
  double t = (b * s + e) / c;
  if (t < 0.0 || t > 1.0) {
    t = std::clamp(t, 0.0, 1.0);
    s = std::clamp((b * t - d) / a, 0.0, 1.0);
  }
  return distance(moved(p.start, u, s), moved(q.start, v, t));
}

/// Along the run this many sizes always lie between two places that may clash, so that a short
/// offset is none.
constexpr double kWayBetween = 3.0;
/// A return of two tight elbows puts the ducts side by side, touching.
constexpr double kTouching = 0.98;

/// The least distance over places at least `between_m` apart along the run.
double distance_apart(const Part& p, const Part& q, double between_m) {
  const double missing_m = between_m - (q.begins_m - p.ends_m);
  if (missing_m <= 0.0) {
    return distance(p, q);
  }
  constexpr int kShares = 4;
  const auto shortened = [](Part part, double front_m, double back_m) -> std::optional<Part> {
    const double length_m = part.ends_m - part.begins_m;
    if (front_m + back_m >= length_m) {
      return std::nullopt;
    }
    const Point along = difference(part.end, part.start);
    const Point start = part.start;
    part.start = moved(start, along, front_m / length_m);
    part.end = moved(start, along, 1.0 - back_m / length_m);
    return part;
  };
  double least_m = between_m;
  for (int i = 0; i <= kShares; ++i) {
    const double off_p_m = missing_m * i / kShares;
    const auto short_p = shortened(p, 0.0, off_p_m);
    const auto short_q = shortened(q, missing_m - off_p_m, 0.0);
    if (short_p && short_q) {
      least_m = std::min(least_m, distance(*short_p, *short_q));
    }
  }
  return least_m;
}

/// Where the junction that takes a branch in stands; branches that join branches are no circle
/// (reading refuses it).
std::optional<Point> junction_place(const Layout& layout, std::size_t branch) {
  const auto place_in = [&](const Run& run, const auto& geometry_of) -> std::optional<Point> {
    const auto at = std::ranges::find_if(run.pieces, [&](const Piece& piece) {
      const auto* junction = piece.if_is<Junction>();
      return junction != nullptr && junction->index == branch;
    });
    if (at == run.pieces.end()) {
      return std::nullopt;
    }
    const std::optional<RunGeometry> geometry = geometry_of();
    return geometry ? std::optional(
                          geometry->pieces[static_cast<std::size_t>(at - run.pieces.begin())].start)
                    : std::nullopt;
  };
  if (const auto place = place_in(layout.run, [&] { return run_geometry(layout); })) {
    return place;
  }
  for (std::size_t i = 0; i < layout.branches.size(); ++i) {
    if (i == branch) {
      continue;
    }
    if (const auto place =
            place_in(layout.branches[i].run, [&] { return branch_geometry(layout, i); })) {
      return place;
    }
  }
  return std::nullopt;
}

}  // namespace

std::optional<RunGeometry> run_geometry(const Layout& layout) { return run_geometry(layout.run); }

std::optional<RunGeometry> run_geometry(const Run& run) {
  if (!run.heading || run.pieces.empty()) {
    return std::nullopt;
  }
  RunGeometry geometry;
  Point at{0.0, 0.0, 0.0};
  Direction width = width_axis(*run.heading);
  for (std::size_t i = 0; i < run.pieces.size(); ++i) {
    const Piece& piece = run.pieces[i];
    if (!piece.heading_in || !piece.heading_out) {
      return std::nullopt;
    }
    PlacedPiece placed;
    placed.piece = i;
    placed.start = at;
    placed.corner = at;
    placed.heading_in = *piece.heading_in;
    placed.heading_out = *piece.heading_out;
    placed.width_in = width;
    if (piece.kind == PieceKind::elbow) {
      const Elbow& elbow = piece.as<Elbow>();
      placed.nominal_legs = !piece.states("legs");
      placed.legs_m = elbow.legs_m;
      if (placed.nominal_legs) {
        const double leg_m = nominal_leg_m(elbow);
        placed.legs_m = {leg_m, leg_m};
      }
      placed.corner = moved(at, placed.heading_in, placed.legs_m[0]);
      at = moved(placed.corner, placed.heading_out, placed.legs_m[1]);
      geometry.length_m += placed.legs_m[0] + placed.legs_m[1];
      geometry.nominal_legs = geometry.nominal_legs || placed.nominal_legs;
      width = carried_round(width, {placed.heading_in, placed.heading_out});
    } else {
      const double length_m = piece.length_m.value_or(0.0);
      at = moved(at, placed.heading_in, length_m);
      geometry.length_m += length_m;
      if (piece.kind == PieceKind::transition) {
        width = width_axis(placed.heading_out);
      }
    }
    placed.width_out = width;
    placed.end = at;
    geometry.pieces.push_back(placed);
  }
  geometry.outlet = at;
  geometry.outlet_heading = geometry.pieces.back().heading_out;
  return geometry;
}

std::optional<RunGeometry> branch_geometry(const Layout& layout, std::size_t branch) {
  std::optional<RunGeometry> own = run_geometry(layout.branches[branch].run);
  if (!own) {
    return std::nullopt;
  }
  const std::optional<Point> ends_at = junction_place(layout, branch);
  if (!ends_at) {
    return std::nullopt;
  }
  const Point by = difference(*ends_at, own->outlet);
  for (PlacedPiece& placed : own->pieces) {
    for (Point* point : {&placed.start, &placed.end, &placed.corner}) {
      *point = moved(*point, by, 1.0);
    }
  }
  own->outlet = *ends_at;
  return own;
}

namespace {

/// The parts of a run in boxes, each in a box of twice as many, so that of many parts only those
/// near a place are looked at.
class Boxes {
 public:
  explicit Boxes(const std::vector<Part>& parts) : parts_(parts) {
    while (leaves_ < parts.size()) {
      leaves_ *= 2;
    }
    boxes_.resize(2 * leaves_);
    for (std::size_t i = 0; i < parts.size(); ++i) {
      boxes_[leaves_ + i] = box_of(parts[i]);
    }
    for (std::size_t i = leaves_ - 1; i > 0; --i) {
      Box& box = boxes_[i];
      for (const Box& half : {boxes_[2 * i], boxes_[2 * i + 1]}) {
        box.size_m = std::max(box.size_m, half.size_m);
        for (std::size_t axis = 0; axis < 3; ++axis) {
          box.low[axis] = std::min(box.low[axis], half.low[axis]);
          box.high[axis] = std::max(box.high[axis], half.high[axis]);
        }
      }
    }
  }

  /// The first part before `j` that clashes with it.
  [[nodiscard]] std::optional<Clash> first_before(std::size_t j) const {
    return first_in(1, 0, leaves_, j, box_of(parts_[j]));
  }

 private:
  static constexpr double kFar = std::numeric_limits<double>::infinity();
  struct Box {
    Point low{kFar, kFar, kFar};
    Point high{-kFar, -kFar, -kFar};
    double size_m = 0.0;  ///< the largest in it
  };

  static Box box_of(const Part& part) {
    Box box;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      box.low[axis] = std::min(part.start[axis], part.end[axis]);
      box.high[axis] = std::max(part.start[axis], part.end[axis]);
    }
    box.size_m = part.size_m;
    return box;
  }

  static bool near(const Box& a, const Box& b) {
    double square = 0.0;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const double gap = std::max({a.low[axis] - b.high[axis], b.low[axis] - a.high[axis], 0.0});
      square += gap * gap;
    }
    return std::sqrt(square) <= (a.size_m + b.size_m) / 2.0;
  }

  /// @param node of the parts from `first` on, `count` of them
  [[nodiscard]] std::optional<Clash> first_in(
      std::size_t node, std::size_t first, std::size_t count, std::size_t j, const Box& of) const {
    if (first >= j || !near(boxes_[node], of)) {
      return std::nullopt;
    }
    if (count == 1) {
      return clash(parts_[first], parts_[j]);
    }
    const auto found = first_in(2 * node, first, count / 2, j, of);
    return found ? found : first_in(2 * node + 1, first + count / 2, count / 2, j, of);
  }

  static std::optional<Clash> clash(const Part& p, const Part& q) {
    if (q.corners_before - p.corners_before < 2) {
      return std::nullopt;
    }
    const double needed_m = (p.size_m + q.size_m) / 2.0;
    const double distance_m = distance_apart(p, q, kWayBetween * needed_m);
    if (distance_m >= kTouching * needed_m) {
      return std::nullopt;
    }
    return Clash{p.piece, q.piece, distance_m, needed_m};
  }

  const std::vector<Part>& parts_;
  std::size_t leaves_ = 1;
  std::vector<Box> boxes_;  ///< a tree: node i holds nodes 2 i and 2 i + 1
};

}  // namespace

std::optional<Clash> first_clash(const Layout& layout, const RunGeometry& geometry) {
  const std::vector<Part> parts = parts_of(layout, geometry);
  const Boxes boxes(parts);
  for (std::size_t j = 0; j < parts.size(); ++j) {
    if (auto clash = boxes.first_before(j)) {
      return clash;
    }
  }
  return std::nullopt;
}

}  // namespace ductledger::layout
