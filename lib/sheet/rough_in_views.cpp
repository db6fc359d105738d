#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

#include "base/text.hpp"
#include "duct/section.hpp"
#include "layout/direction.hpp"
#include "layout/piece_number.hpp"
#include "picture/placement.hpp"
#include "sheet/dimensions.hpp"
#include "sheet/rough_in_internal.hpp"

namespace ductledger::sheet {
namespace {

using layout::PieceKind;
using layout::PlacedPiece;
using units::Dimension;

constexpr double kSame_m = 0.002;  ///< levels nearer to each other are one
constexpr double kNoteMm = 2.2;
constexpr double kFarthestMm = 26.0;         ///< of a label from what it speaks of
constexpr std::size_t kMostInConflict = 12;  ///< labels, until a drawing counts as too crowded
constexpr double kLabelPxPerMm = 4.0;        ///< labels are placed in pixels of this size

double norm(const Point& p) { return std::hypot(p.x, p.y); }
Point plus(const Point& a, const Point& b, double times = 1.0) {
  return {a.x + times * b.x, a.y + times * b.y};
}

/// Half of what a section takes across its course, as seen from there. @param side in space, square
/// to the heading
double half_m(const duct::Section& section,
              const layout::Direction& heading,
              const layout::Direction& width,
              const layout::Direction& side) {
  const double half_w = section.width_m() / 2.0;
  const double half_h = section.height_m() / 2.0;
  if (section.shape() == duct::Shape::round) {
    return half_w;
  }
  const double along_w = std::abs(layout::dot(width, side));
  if (section.shape() == duct::Shape::flat_oval) {
    return half_h + (half_w - half_h) * along_w;
  }
  return half_w * along_w + half_h * std::abs(layout::dot(layout::cross(heading, width), side));
}

/// The outline of a section in its own plane, the middle at the origin.
std::vector<std::array<double, 2>> face_of(const duct::Section& section) {
  const double w = section.width_m() / 2.0;
  const double h = section.height_m() / 2.0;
  if (section.shape() == duct::Shape::rectangular) {
    return {{-w, -h}, {w, -h}, {w, h}, {-w, h}};
  }
  constexpr int kSteps = 24;
  std::vector<std::array<double, 2>> points;
  for (int i = 0; i < kSteps; ++i) {
    const double angle = 2.0 * std::numbers::pi * (i + 0.5) / kSteps;
    const double shift = std::cos(angle) > 0.0 ? w - h : h - w;
    points.push_back({shift + h * std::cos(angle), h * std::sin(angle)});
  }
  return points;
}

/// What is named in a view by where leaders may end; one label for those at one place.
struct Named {
  std::vector<Point> anchors;
  std::vector<std::string> names;
  std::string one = "{}";              ///< what is said, the name in it
  std::string more = "{}";             ///< of several
  std::vector<std::size_t> numbers{};  ///< of holes

  [[nodiscard]] bool same_place(const Named& other) const {
    return one == other.one &&
           std::ranges::equal(anchors, other.anchors, [](const Point& a, const Point& b) {
             return norm(plus(a, b, -1.0)) < kSame_m;
           });
  }
  [[nodiscard]] std::string text() const {
    constexpr std::size_t kMost = 3;
    std::string all;
    if (numbers.size() >= kMost && numbers.back() - numbers.front() + 1 == numbers.size()) {
      all = names.front() + " to " + names.back();
    } else if (names.size() > kMost) {
      all = fmt::format("{}, {} and {} more", names[0], names[1], names.size() - 2);
    } else {
      all = base::joined(names, "and");
    }
    return fmt::format(fmt::runtime(names.size() == 1 ? one : more), all);
  }
};

class View {
 public:
  View(const Subject& subject, const Sight& sight, double scale)
      : subject_(subject), sight_(sight) {
    drawing_.scale = scale;
  }

  Drawing draw(Labels labels) {
    for (const PlacedPiece& placed : subject_.route.pieces) {
      write(placed);
    }
    for (const Stub& stub : subject_.stubs) {
      write(stub);
    }
    write_holes();
    const Box ducts = extent(drawing_);
    if (subject_.is_makeup()) {
      write_air();
    } else if (!subject_.is_branch()) {
      write_appliance();
    }
    edge_ = extent(drawing_);
    // A branch or a makeup duct may lie far from what its places are counted from.
    const double across = sight_.breaks.drawn(sight_.across, subject_.datum_m(sight_.across));
    const double up = sight_.breaks.drawn(sight_.up, subject_.datum_m(sight_.up));
    edge_ = {{std::min(edge_.low.x, across), std::min(edge_.low.y, up)},
             {std::max(edge_.high.x, across), std::max(edge_.high.y, up)}};
    write_building(ducts);
    write_measures();
    if (labels == Labels::placed) {
      write_labels();
    }
    write_title();
    return std::move(drawing_);
  }

 private:
  [[nodiscard]] std::string show(double length_m) const {
    return units::display(length_m, Dimension::length, subject_.system);
  }
  [[nodiscard]] const layout::Piece& piece_of(const PlacedPiece& placed) const {
    return subject_.parts.layout.run.pieces[placed.piece];
  }
  [[nodiscard]] const layout::StartPlace& start() const { return subject_.start(); }
  void line(Layer layer, std::vector<Point> points, Stroke stroke = Stroke::solid) {
    drawing_.lines.push_back({.layer = layer, .points = std::move(points), .stroke = stroke});
  }

  // --- the duct ------------------------------------------------------------------------------

  /// Of an elbow the arc between its ends, of a mitered one its corner.
  [[nodiscard]] std::vector<layout::Point> course_of(const PlacedPiece& placed) const {
    const layout::Piece& piece = piece_of(placed);
    if (piece.kind != PieceKind::elbow) {
      return {placed.start, placed.end};
    }
    const auto& make = piece.as<layout::Elbow>().make;
    if (make == fitting::Make::mitered || make == fitting::Make::vaned) {
      return {placed.start, placed.corner, placed.end};
    }
    constexpr int kSteps = 12;
    const double weight = std::cos(piece.as<layout::Elbow>().angle_rad / 2.0);
    std::vector<layout::Point> points;
    for (int i = 0; i <= kSteps; ++i) {
      const double t = static_cast<double>(i) / kSteps;
      const double a = (1.0 - t) * (1.0 - t);
      const double b = 2.0 * weight * t * (1.0 - t);
      const double c = t * t;
      layout::Point p{};
      for (std::size_t k = 0; k < 3; ++k) {
        p[k] = (a * placed.start[k] + b * placed.corner[k] + c * placed.end[k]) / (a + b + c);
      }
      points.push_back(p);
    }
    return points;
  }

  void write(const PlacedPiece& placed) {
    const layout::Piece& piece = piece_of(placed);
    std::vector<Point> course;
    for (const layout::Point& p : course_of(placed)) {
      const Point at = sight_.of(p);
      if (course.empty() || norm(plus(at, course.back(), -1.0)) > 1e-4) {
        course.push_back(at);
      }
    }
    const Point in = sight_.way_of(placed.heading_in);
    if (norm(in) < 0.2) {
      write_face(piece.upstream, placed.heading_in, placed.width_in, placed.start, Layer::duct);
    }
    if (course.size() < 2) {
      if (norm(in) >= 0.2) {
        across(placed, reach_of(piece));
      }
      return;
    }
    if (const std::vector<Break> breaks = breaks_in(placed); !breaks.empty()) {
      write_broken(placed, breaks);
      return;
    }
    line(Layer::center, course, Stroke::chain);
    write_sides(placed, course);
    if (piece.kind == PieceKind::elbow && norm(sight_.way_of(placed.heading_out)) < 0.2) {
      write_face(piece.downstream, placed.heading_out, placed.width_out, placed.end, Layer::duct);
    }
  }

  /// What is left out of a straight in this view, in its own order.
  [[nodiscard]] std::vector<Break> breaks_in(const PlacedPiece& placed) const {
    std::vector<Break> found;
    for (const std::size_t axis : {sight_.across, sight_.up}) {
      const auto [low, high] = std::minmax(placed.start[axis], placed.end[axis]);
      for (const Break& one : sight_.breaks.along(axis)) {
        if (piece_of(placed).kind == PieceKind::straight && one.from_m > low && one.to_m < high) {
          found.push_back(one);
        }
      }
      if (placed.start[axis] > placed.end[axis]) {
        std::ranges::reverse(found);
      }
    }
    return found;
  }

  void write_broken(const PlacedPiece& placed, const std::vector<Break>& breaks) {
    const std::size_t axis =
        std::abs(placed.heading_in[sight_.across]) > 0.5 ? sight_.across : sight_.up;
    const bool onward = placed.heading_in[axis] > 0.0;
    const double half = half_at(placed, false).value_or(0.0);
    layout::Point from = placed.start;
    const auto stretch = [&](const layout::Point& to) {
      const Point a = sight_.of(from);
      const Point b = sight_.of(to);
      line(Layer::center, {a, b}, Stroke::chain);
      for (const double hand : {half, -half}) {
        const Point way = plus(b, a, -1.0);
        const Point n{-way.y / norm(way), way.x / norm(way)};
        owners_.emplace_back(drawing_.lines.size(), static_cast<int>(placed.piece));
        line(Layer::duct, {plus(a, n, hand), plus(b, n, hand)});
      }
      from = to;
    };
    const Point way = sight_.way_of(placed.heading_in);
    for (const Break& one : breaks) {
      layout::Point to = placed.start;
      to[axis] = onward ? one.from_m : one.to_m;
      stretch(to);
      mark_break(sight_.of(from), way, half);
      from[axis] = onward ? one.to_m : one.from_m;
      mark_break(sight_.of(from), way, half);
    }
    stretch(placed.end);
    joint(sight_.of(placed.start), plus(sight_.of(placed.start), way), half);
    joint(sight_.of(placed.end), plus(sight_.of(placed.end), way), half);
  }
  /// Across a duct that goes on: a line with a kink. @param way of length 1
  void mark_break(const Point& at, const Point& way, double half) {
    const Point n{-way.y, way.x};
    const double reach = half + drawing_.paper_m(1.5);
    const double kink = drawing_.paper_m(0.9);
    const double low = std::min(0.4 * half, 1.2 * kink);
    line(Layer::note,
         {plus(at, n, reach),
          plus(at, n, low),
          plus(plus(at, n, low / 3.0), way, kink),
          plus(plus(at, n, -low / 3.0), way, -kink),
          plus(at, n, -low),
          plus(at, n, -reach)});
    measured_.emplace_back(plus(at, n, reach), plus(at, n, -reach));
  }

  /// The first of a duct of another sheet, dashed.
  void write(const Stub& stub) {
    const Point from = plus(sight_.of(stub.at), sight_.way_of(stub.way), stub.begins_m);
    const Point way = sight_.way_of(stub.way);
    if (norm(way) < 0.2) {
      write_face(stub.section, stub.way, stub.width, stub.at, Layer::duct);
      name(stub, around(sight_.of(stub.at), half_diagonal(stub.section)));
      return;
    }
    layout::Direction side{};
    side[sight_.across] = -way.y / norm(way);
    side[sight_.up] = way.x / norm(way);
    const double half = half_m(stub.section, stub.way, stub.width, side);
    const Point n = sight_.way_of(side);
    const Point to = plus(from, way, stub_reach_m(stub, drawing_.scale));
    for (const double hand : {half, -half}) {
      line(Layer::duct, {plus(from, n, hand), plus(to, n, hand)}, Stroke::dashed);
    }
    mark_break(to, {way.x / norm(way), way.y / norm(way)}, half);
    const Point middle = plus(from, plus(to, from, -1.0), 0.6);
    name(stub, {plus(middle, n, half), plus(middle, n, -half)});
  }
  void name(const Stub& stub, std::vector<Point> anchors) {
    if (!stub.branch.empty()) {
      name({.anchors = std::move(anchors),
            .names = {stub.branch},
            .one = "branch {}",
            .more = "branches {}"});
    } else if (!stub.name.empty()) {
      name({.anchors = std::move(anchors), .names = {stub.name}});
    }
  }
  void name(Named named) {
    const auto there =
        std::ranges::find_if(named_, [&](const Named& other) { return other.same_place(named); });
    if (there == named_.end()) {
      named_.push_back(std::move(named));
      return;
    }
    there->names.push_back(named.names.front());
    there->numbers.insert(there->numbers.end(), named.numbers.begin(), named.numbers.end());
  }

  // --- makeup air ----------------------------------------------------------------------------

  /// Which way the air goes: in from outdoors at the one end, into the room at the other.
  void write_air() {
    for (const PlacedPiece& placed : subject_.route.pieces) {
      const PieceKind kind = piece_of(placed).kind;
      if ((kind == PieceKind::straight || kind == PieceKind::flex) && breaks_in(placed).empty()) {
        write_course_arrow(placed);
      }
    }
    const PlacedPiece& first = subject_.route.pieces.front();
    write_air_at({sight_.of(first.start), first.heading_in, piece_of(first).upstream},
                 -1.0,
                 "outside air in");
    if (!subject_.is_branch()) {
      const PlacedPiece& last = subject_.route.pieces.back();
      write_air_at(
          {sight_.of(last.end), last.heading_out, piece_of(last).downstream}, 1.0, "into the room");
    }
  }
  /// A head alone, on the centerline.
  void write_course_arrow(const PlacedPiece& placed) {
    const Point from = sight_.of(placed.start);
    const Point way = plus(sight_.of(placed.end), from, -1.0);
    if (norm(way) >= drawing_.paper_m(8.0)) {
      write_head(plus(from, way, 0.4), {way.x / norm(way), way.y / norm(way)}, Layer::center);
    }
  }
  /// @param way of length 1
  void write_head(const Point& tip, const Point& way, Layer layer) {
    const double size = drawing_.paper_m(2.2);
    const Point back = plus(tip, way, -size);
    const Point n{-way.y, way.x};
    line(layer, {plus(back, n, 0.4 * size), tip, plus(back, n, -0.4 * size)});
  }
  struct AirEnd {
    Point at;
    layout::Direction heading;
    duct::Section section;
  };
  /// An arrow with the air beyond an end of the duct. Seen end-on it is a dot where the air comes
  /// toward the reader, a cross where it goes away. @param side -1 before the end, 1 behind it
  void write_air_at(const AirEnd& end, double side, const char* words) {
    const Point course = sight_.way_of(end.heading);
    if (norm(course) < 0.2) {
      write_end_on(end.at, sight_.comes_toward(end.heading));
      name({.anchors = around(end.at, half_diagonal(end.section)), .names = {words}});
      return;
    }
    const Point way{course.x / norm(course), course.y / norm(course)};
    const double gap = drawing_.paper_m(1.5);
    const double length = drawing_.paper_m(8.0);
    const Point tail = plus(end.at, way, side < 0.0 ? -gap - length : gap);
    const Point tip = plus(tail, way, length);
    line(Layer::note, {tail, tip});
    write_head(tip, way, Layer::note);
    measured_.emplace_back(tail, tip);
    const Point n{-way.y, way.x};
    const Point middle = plus(tail, way, 0.5 * length);
    const double beside = drawing_.paper_m(1.0);
    name({.anchors = {plus(middle, n, beside), plus(middle, n, -beside)}, .names = {words}});
  }
  void write_end_on(const Point& at, bool toward) {
    if (toward) {
      drawing_.circles.push_back({Layer::note, at, drawing_.paper_m(0.7)});
      return;
    }
    const double reach = drawing_.paper_m(1.6);
    line(Layer::note, {plus(at, {reach, reach}), plus(at, {-reach, -reach})});
    line(Layer::note, {plus(at, {reach, -reach}), plus(at, {-reach, reach})});
  }

  /// Where the duct ends in the open the piece is drawn wider than the duct.
  [[nodiscard]] double reach_of(const layout::Piece& piece) const {
    return piece.kind == PieceKind::cap || (piece.kind == PieceKind::entry && subject_.is_makeup())
               ? 1.4
               : 1.0;
  }

  /// Half its width as seen, at its start or end; nothing where it is seen end-on there.
  [[nodiscard]] std::optional<double> half_at(const PlacedPiece& placed, bool end) const {
    const layout::Piece& piece = piece_of(placed);
    const layout::Direction& heading = end ? placed.heading_out : placed.heading_in;
    const Point way = sight_.way_of(heading);
    if (norm(way) < 0.2) {
      return std::nullopt;
    }
    layout::Direction side{};
    side[sight_.across] = -way.y / norm(way);
    side[sight_.up] = way.x / norm(way);
    return half_m(end ? piece.downstream : piece.upstream,
                  heading,
                  end ? placed.width_out : placed.width_in,
                  side);
  }

  void write_sides(const PlacedPiece& placed, const std::vector<Point>& course) {
    const auto first = half_at(placed, false);
    const auto last = half_at(placed, true);
    if (!first && !last) {
      return;
    }
    // Square to the duct at its ends, where an arc's first and last chord are not.
    const Point in = sight_.way_of(placed.heading_in);
    const Point out = sight_.way_of(placed.heading_out);
    const double from = first.value_or(last.value_or(0.0));
    const double to = last.value_or(from);
    double whole = 0.0;
    for (std::size_t i = 0; i + 1 < course.size(); ++i) {
      whole += norm(plus(course[i + 1], course[i], -1.0));
    }
    for (const double hand : {1.0, -1.0}) {
      std::vector<Point> side;
      double gone = 0.0;
      for (std::size_t i = 0; i < course.size(); ++i) {
        const bool ends = i + 1 == course.size();
        const Point before = i > 0 ? plus(course[i], course[i - 1], -1.0) : Point{};
        const Point after = ends ? Point{} : plus(course[i + 1], course[i], -1.0);
        gone += norm(before);
        const auto normal = [](const Point& way) {
          const double n = norm(way);
          return n > 0.0 ? Point{-way.y / n, way.x / n} : Point{};
        };
        const Point came = i > 0 ? before : first ? in : after;
        const Point goes = !ends ? after : last ? out : before;
        const Point a = normal(ends ? goes : came);
        const Point b = normal(i == 0 ? came : goes);
        const Point sum = plus(a, b);
        // Along the bisector, as far as both sides ask for; never far beyond a sharp corner.
        const double reach = 2.0 / std::max(1.0, sum.x * sum.x + sum.y * sum.y);
        const double half = from + (to - from) * gone / whole;
        side.push_back(plus(course[i], sum, hand * half * reach));
      }
      owners_.emplace_back(drawing_.lines.size(), static_cast<int>(placed.piece));
      line(Layer::duct, std::move(side));
    }
    if (first) {
      joint(course.front(), plus(course.front(), in), from);
    }
    if (last) {
      joint(course.back(), plus(course.back(), out), to);
    }
  }
  void joint(const Point& at, const Point& next, double half) {
    const Point way = plus(next, at, -1.0);
    const Point n{-way.y / norm(way), way.x / norm(way)};
    line(Layer::duct, {plus(at, n, half), plus(at, n, -half)});
  }
  /// A piece without a length: a line across the duct.
  void across(const PlacedPiece& placed, double times) {
    const Point way = sight_.way_of(placed.heading_in);
    const double half = times * half_at(placed, false).value_or(0.0);
    const Point at = sight_.of(placed.start);
    owners_.emplace_back(drawing_.lines.size(), static_cast<int>(placed.piece));
    joint(at, plus(at, way), half);
  }

  void write_face(const duct::Section& section,
                  const layout::Direction& heading,
                  const layout::Direction& width,
                  const layout::Point& middle,
                  Layer layer) {
    const Point at = sight_.of(middle);
    if (section.shape() == duct::Shape::round) {
      drawing_.circles.push_back({layer, at, section.width_m() / 2.0});
      return;
    }
    const Point w = sight_.way_of(width);
    const Point h = sight_.way_of(layout::cross(heading, width));
    std::vector<Point> outline;
    for (const auto& p : face_of(section)) {
      outline.push_back(plus(plus(at, w, p[0]), h, p[1]));
    }
    drawing_.lines.push_back({.layer = layer, .points = std::move(outline), .closed = true});
  }

  // --- holes, appliance, building ------------------------------------------------------------

  [[nodiscard]] const PlacedPiece* placed_of(const build::Hole& hole) const {
    const auto found = std::ranges::find_if(subject_.route.pieces, [&](const PlacedPiece& one) {
      return layout::piece_number(one.piece) == hole.piece;
    });
    return found == subject_.route.pieces.end() ? nullptr : &*found;
  }

  void write_holes() {
    for (std::size_t i = 0; i < subject_.parts.holes.size(); ++i) {
      const build::Hole& hole = subject_.parts.holes[i];
      const PlacedPiece* placed = hole.centre ? placed_of(hole) : nullptr;
      if (placed == nullptr) {
        continue;
      }
      const Point at = sight_.of(hole.centre->at_m);
      layout::Direction normal{};
      normal[hole.centre->across] = 1.0;
      if (hole.centre->across == sight_.depth()) {
        if (hole.stretched_m) {
          write_cut(hole, *placed);
        } else {
          write_face(hole.size, normal, placed->width_in, hole.centre->at_m, Layer::hole);
        }
        const double reach =
            0.5 * std::max(hole.size.width_m(), hole.size.height_m()) + drawing_.paper_m(2.0);
        line(Layer::center, {plus(at, {reach, 0.0}), plus(at, {-reach, 0.0})}, Stroke::chain);
        line(Layer::center, {plus(at, {0.0, reach}), plus(at, {0.0, -reach})}, Stroke::chain);
        name(named(i, around(at, half_diagonal(hole.size))));
        continue;
      }
      // Seen from the side: the surface on both sides of the opening.
      const bool level = hole.centre->across == sight_.up;
      layout::Direction side{};
      side[level ? sight_.across : sight_.up] = 1.0;
      const bool slants = std::abs(layout::dot(placed->heading_in, side)) > 0.1;
      const double half = hole.stretched_m && slants
                              ? *hole.stretched_m / 2.0
                              : half_m(hole.size, normal, placed->width_in, side);
      const double reach = half + drawing_.paper_m(9.0);
      const Point way = level ? Point{1.0, 0.0} : Point{0.0, 1.0};
      const Point thick =
          level ? Point{0.0, drawing_.paper_m(0.9)} : Point{drawing_.paper_m(0.9), 0.0};
      for (const double hand : {1.0, -1.0}) {
        const Point inner = plus(at, way, hand * half);
        const Point outer = plus(at, way, hand * reach);
        line(Layer::building, {plus(inner, thick), plus(outer, thick)});
        line(Layer::building, {plus(inner, thick, -1.0), plus(outer, thick, -1.0)});
        line(Layer::hole, {plus(inner, thick), plus(inner, thick, -1.0)});
      }
      name(named(i, {plus(at, way, reach), plus(at, way, -reach)}));
    }
  }
  /// Where a slanting duct of the hole's size cuts the surface, around the hole's center.
  [[nodiscard]] static std::vector<layout::Direction> cut_of(const build::Hole& hole,
                                                             const PlacedPiece& placed) {
    const layout::Direction& heading = placed.heading_in;
    const layout::Direction height = layout::cross(heading, placed.width_in);
    const std::size_t across = hole.centre->across;
    std::vector<layout::Direction> points;
    for (const auto& p : face_of(hole.size)) {
      layout::Direction point{};
      for (std::size_t k = 0; k < 3; ++k) {
        point[k] = p[0] * placed.width_in[k] + p[1] * height[k];
      }
      const double onward = point[across] / heading[across];
      for (std::size_t k = 0; k < 3; ++k) {
        point[k] -= onward * heading[k];
      }
      points.push_back(point);
    }
    return points;
  }
  void write_cut(const build::Hole& hole, const PlacedPiece& placed) {
    std::vector<Point> outline;
    for (const layout::Direction& point : cut_of(hole, placed)) {
      outline.push_back(plus(sight_.of(hole.centre->at_m), sight_.way_of(point)));
    }
    drawing_.lines.push_back({.layer = Layer::hole, .points = std::move(outline), .closed = true});
  }
  [[nodiscard]] std::string number_of(std::size_t hole) const {
    return fmt::format("H{}", subject_.first_hole + hole);
  }
  /// `H1 ceiling, 9 in round`
  [[nodiscard]] Named named(std::size_t hole, std::vector<Point> anchors) const {
    const build::Hole& one = subject_.parts.holes[hole];
    std::string text =
        fmt::format("{{}} {}, {}", one.through, duct::to_text(one.size, subject_.system));
    if (one.stretched_m) {
      text += fmt::format(", {} along the slant", show(*one.stretched_m));
    }
    return {.anchors = std::move(anchors),
            .names = {number_of(hole)},
            .one = text,
            .more = text,
            .numbers = {hole}};
  }

  void write_appliance() {
    const Reach reach = appliance_reach(subject_);
    const auto drawn = [&](std::size_t axis) {
      return std::array{sight_.breaks.drawn(axis, reach[axis][0]),
                        sight_.breaks.drawn(axis, reach[axis][1])};
    };
    const auto a = drawn(sight_.across);
    const auto b = drawn(sight_.up);
    drawing_.lines.push_back({.layer = Layer::appliance,
                              .points = {{a[0], b[0]}, {a[1], b[0]}, {a[1], b[1]}, {a[0], b[1]}},
                              .closed = true,
                              .stroke = Stroke::dashed});
    name({.anchors = {{(a[0] + a[1]) / 2.0, b[0]}, {a[0], b[0]}, {a[1], b[0]}},
          .names = {"appliance"}});
  }

  void write_building(const Box& ducts) {
    const double beyond = drawing_.paper_m(6.0);
    const double end = edge_.high.x + beyond;
    const auto say = [&](const Point& at, Anchor anchor, const char* words) {
      drawing_.texts.push_back({.layer = Layer::building,
                                .at = at,
                                .height_mm = kNoteMm,
                                .text = words,
                                .anchor = anchor});
    };
    if (sight_.up == 2 && start().above_floor_m) {
      const double floor = sight_.breaks.drawn(2, subject_.datum_m(2));
      line(Layer::building, {{edge_.low.x - beyond, floor}, {end, floor}});
      say({end + drawing_.paper_m(1.0), floor - drawing_.paper_m(kNoteMm / 2.0)},
          Anchor::start,
          "finished floor");
    }
    if (start().from_wall_m) {
      const char* const name = subject_.is_makeup() ? "wall behind the appliance" : "wall behind";
      const double wall = sight_.breaks.drawn(1, subject_.datum_m(1));
      if (sight_.across == 1) {
        const double top = std::max(ducts.high.y, edge_.high.y) + drawing_.paper_m(3.0);
        line(Layer::building, {{wall, edge_.low.y}, {wall, top}}, Stroke::dashed);
        say({wall, top + drawing_.paper_m(1.0)}, Anchor::middle, name);
      } else if (sight_.up == 1) {
        line(Layer::building, {{edge_.low.x - beyond, wall}, {end, wall}}, Stroke::dashed);
        say({end + drawing_.paper_m(1.0), wall - drawing_.paper_m(kNoteMm / 2.0)},
            Anchor::start,
            name);
      }
    }
    // The appliance's center line.
    if (sight_.across == 0 && start().from_center_m) {
      const double center = sight_.breaks.drawn(0, subject_.datum_m(0));
      line(Layer::center,
           {{center, edge_.low.y}, {center, edge_.high.y + drawing_.paper_m(4.0)}},
           Stroke::chain);
    }
  }

  // --- dimensions ----------------------------------------------------------------------------

  /// Levels along an axis of the sheet with what lies there, each once.
  struct Level {
    double at = 0.0;
    Point point;
    std::vector<std::string> names{};
    std::vector<std::string> junctions{};  ///< their numbers
    std::vector<std::string> elbows{};
    /// `H1 and collar`; junctions and elbows, which are seen to lie there, only where nothing else
    /// does.
    [[nodiscard]] std::string text() const {
      const std::vector<std::string>& own = junctions.empty() ? elbows : junctions;
      return !names.empty() ? base::joined(names, "and")
                            : fmt::format("{}{} {}",
                                          junctions.empty() ? "elbow" : "junction",
                                          own.size() == 1 ? "" : "s",
                                          base::joined(own, "and"));
    }
  };
  [[nodiscard]] std::vector<Level> levels(std::size_t axis) const {
    std::vector<Level> all;
    const auto level = [&](const layout::Point& p) -> Level& {
      const auto same = std::ranges::find_if(
          all, [&](const Level& one) { return std::abs(one.at - p[axis]) < kSame_m; });
      return same != all.end() ? *same
                               : all.emplace_back(Level{.at = p[axis], .point = sight_.of(p)});
    };
    for (std::size_t i = 0; i < subject_.parts.holes.size(); ++i) {
      const build::Hole& hole = subject_.parts.holes[i];
      if (hole.centre && hole.centre->across != axis) {
        level(hole.centre->at_m).names.push_back(number_of(i));
      }
    }
    for (const Node& node : nodes_of(subject_)) {
      Level& at = level(node.at);
      (node.kind == Node::Kind::elbow      ? at.elbows
       : node.kind == Node::Kind::junction ? at.junctions
                                           : at.names)
          .push_back(node.kind == Node::Kind::end ? node.mark : fmt::format("{}", node.piece));
    }
    return all;
  }

  void write_measures() {
    // Across: from the appliance's center line, or from the wall behind it.
    if (sight_.measured_across) {
      measure(sight_.across, Side::below, edge_.low.y);
    }
    measure(sight_.up, Side::left, edge_.low.x);
  }

  /// What lies at the datum; what begins there itself is named by its level.
  [[nodiscard]] std::string zero_text(std::size_t axis) const {
    const bool makeup = subject_.is_makeup();
    if (axis == 0 && start().from_center_m) {
      return makeup ? "0 appliance's center line" : "0 center line";
    }
    if (axis == 1 && start().from_wall_m) {
      return "0 wall behind";
    }
    if (axis == 2 && start().above_floor_m) {
      return "0 finished floor";
    }
    return !subject_.is_branch() ? "0" : makeup ? "0 main intake" : "0 collar";
  }

  void measure(std::size_t axis, Side side, double edge_m) {
    const double datum = subject_.datum_m(axis);
    Point from;
    (side == Side::below ? from.x : from.y) = sight_.breaks.drawn(axis, datum);
    (side == Side::below ? from.y : from.x) = edge_m;
    std::string zero = zero_text(axis);
    std::vector<Measured> measures;
    for (const Level& level : levels(axis)) {
      if (std::abs(level.at - datum) >= kSame_m) {
        measures.push_back({level.point, show(std::abs(level.at - datum)) + " " + level.text()});
      } else {
        zero += (zero == "0" ? " " : ": ") + level.text();
      }
    }
    if (measures.empty()) {
      return;  // all of it lies there
    }
    measures.push_back({from, zero});
    std::vector<std::array<double, 2>> gaps;
    for (const Break& one : sight_.breaks.along(axis)) {
      gaps.push_back({sight_.breaks.drawn(axis, one.from_m), sight_.breaks.drawn(axis, one.to_m)});
    }
    const auto [low, high] = add_dimensions(
        drawing_,
        {.side = side, .at_m = sight_.breaks.drawn(axis, datum), .edge_m = edge_m, .gaps = gaps},
        std::move(measures));
    measured_.emplace_back(low, high);
  }

  // --- labels --------------------------------------------------------------------------------

  [[nodiscard]] picture::SvgPoint px(const Point& p) const {
    const double per_m = 1000.0 / drawing_.scale * kLabelPxPerMm;
    return {p.x * per_m, -p.y * per_m};
  }
  [[nodiscard]] Point from_px(const picture::SvgPoint& p) const {
    const double per_m = 1000.0 / drawing_.scale * kLabelPxPerMm;
    return {p.x / per_m, -p.y / per_m};
  }

  struct Label {
    std::string balloon;
    std::string text;
  };

  static double half_diagonal(const duct::Section& section) {
    return section.shape() == duct::Shape::rectangular
               ? std::hypot(section.width_m(), section.height_m()) / 2.0
               : std::max(section.width_m(), section.height_m()) / 2.0;
  }
  static std::vector<Point> around(const Point& middle, double radius) {
    const double r = radius / std::numbers::sqrt2;
    return {
        plus(middle, {r, r}), plus(middle, {-r, r}), plus(middle, {-r, -r}), plus(middle, {r, -r})};
  }
  /// Where leaders may end on a piece: on both its sides, or around it where it is seen end-on.
  [[nodiscard]] std::vector<Point> rim_of(const PlacedPiece& placed) const {
    const layout::Piece& piece = piece_of(placed);
    const Point start = sight_.of(placed.start);
    const Point way = plus(sight_.of(placed.end), start, -1.0);
    const auto half = half_at(placed, false);
    if (norm(way) < 1e-4 && !half) {
      return around(start, half_diagonal(piece.upstream));
    }
    const Point course = norm(way) < 1e-4 ? sight_.way_of(placed.heading_in) : way;
    const Point n{-course.y / norm(course), course.x / norm(course)};
    const double reach = half.value_or(half_at(placed, true).value_or(0.0)) * reach_of(piece);
    std::vector<Point> rim;
    const bool broken = !breaks_in(placed).empty();
    for (const double share : broken ? std::array{0.2, 0.1, 0.8} : std::array{0.5, 0.3, 0.7}) {
      Point at = plus(start, way, share);
      if (piece.kind == PieceKind::elbow) {
        at = plus(at, plus(sight_.of(placed.corner), at, -1.0), 0.4);
      }
      rim.push_back(plus(at, n, reach));
      rim.push_back(plus(at, n, -reach));
    }
    return rim;
  }

  /// On the labels' paper, where up is less.
  [[nodiscard]] picture::LabelBox box_px(const Box& box) const {
    const picture::SvgPoint a = px(box.low);
    const picture::SvgPoint b = px(box.high);
    return {a.x, b.y, b.x, a.y};
  }

  /// What labels must leave visible; thin lines may pass below them.
  [[nodiscard]] picture::LabelScene label_scene() const {
    picture::LabelScene scene;
    for (std::size_t i = 0; i < drawing_.lines.size(); ++i) {
      const Line& one = drawing_.lines[i];
      if (one.layer != Layer::duct && one.layer != Layer::hole && one.layer != Layer::building) {
        continue;
      }
      const auto owner = std::ranges::find(owners_, i, &std::pair<std::size_t, int>::first);
      for (std::size_t k = 0; k + (one.closed ? 0 : 1) < one.points.size(); ++k) {
        scene.lines.push_back({px(one.points[k]),
                               px(one.points[(k + 1) % one.points.size()]),
                               owner == owners_.end() ? -1 : owner->second});
      }
    }
    for (const Circle& circle : drawing_.circles) {
      if (circle.layer == Layer::dimension) {
        continue;
      }
      const picture::SvgPoint c = px(circle.center);
      const double r = px({circle.radius_m, 0.0}).x;
      scene.symbols.push_back({{c.x - r, c.y - r, c.x + r, c.y + r}, -1});
    }
    Drawing one;
    one.scale = drawing_.scale;
    for (const Text& text : drawing_.texts) {
      one.texts = {text};
      scene.symbols.push_back({box_px(extent(one)), -1});
    }
    scene.area = box_px(extent(drawing_));
    for (const auto& [low, high] : measured_) {
      scene.lines.push_back({px(low), px(high), -1});
    }
    scene.farthest_px = kLabelPxPerMm * kFarthestMm;
    scene.most_in_conflict = kMostInConflict;
    return scene;
  }

  [[nodiscard]] picture::LabelWanted wanted(const Label& label,
                                            const std::vector<Point>& anchors) const {
    const double balloon = label.balloon.empty() ? 0.0 : 2.0 * Balloon{}.radius_mm + 0.8;
    picture::LabelWanted out;
    for (const Point& p : anchors) {
      out.anchors.push_back(px(p));
    }
    out.width_px =
        kLabelPxPerMm * (balloon + (label.text.empty() ? 0.0 : text_width_mm(label.text, kNoteMm)));
    out.height_px = kLabelPxPerMm * std::max(label.balloon.empty() ? 0.0 : 4.6, kNoteMm + 0.8);
    return out;
  }

  /// Whether a piece is seen end-on where another has a number already: the other view has its own.
  bool stands_behind(const PlacedPiece& placed) {
    const Point at = sight_.of(placed.start);
    if (norm(plus(sight_.of(placed.end), at, -1.0)) > 1e-4 || half_at(placed, false)) {
      return false;
    }
    const bool behind = std::ranges::any_of(
        end_on_, [&](const Point& other) { return norm(plus(at, other, -1.0)) < kSame_m; });
    end_on_.push_back(at);
    return behind;
  }

  void write_labels() {
    std::vector<Label> labels;
    std::vector<picture::LabelWanted> all;
    for (const Named& one : named_) {
      all.push_back(
          wanted(labels.emplace_back(Label{.balloon = {}, .text = one.text()}), one.anchors));
    }
    std::optional<duct::Section> section;
    for (const PlacedPiece& placed : subject_.route.pieces) {
      const layout::Piece& piece = piece_of(placed);
      Label label{.balloon = fmt::format("{}", layout::piece_number(placed.piece)), .text = {}};
      const bool duct = piece.kind == PieceKind::straight || piece.kind == PieceKind::flex;
      if (duct && !(section && *section == piece.upstream)) {
        label.text = duct::to_text(piece.upstream, subject_.system);
        section = piece.upstream;
      }
      if (!breaks_in(placed).empty()) {
        label.text += (label.text.empty() ? "" : ", ") + show(piece.length_m.value_or(0.0));
      }
      if (stands_behind(placed) && label.text.empty()) {
        continue;
      }
      all.push_back(wanted(labels.emplace_back(std::move(label)), rim_of(placed)));
    }
    const picture::LabelScene scene = label_scene();
    const std::vector<picture::LabelPlaced> placed = picture::place_labels(scene, all);
    const std::vector<std::size_t> covering = picture::covering(scene, all, placed);
    for (std::size_t i = 0; i < placed.size(); ++i) {
      if (std::ranges::binary_search(covering, i)) {
        no_room_.push_back(labels[i].balloon.empty() ? labels[i].text : labels[i].balloon);
      } else {
        put(labels[i], placed[i]);
      }
    }
  }

  void put(const Label& label, const picture::LabelPlaced& place) {
    const Point low = from_px({place.box.left, place.box.bottom});
    const Point high = from_px({place.box.right, place.box.top});
    const double middle = (low.y + high.y) / 2.0;
    double x = low.x;
    if (!label.balloon.empty()) {
      const double r = drawing_.paper_m(Balloon{}.radius_mm);
      drawing_.balloons.push_back({.center = {x + r, middle}, .text = label.balloon});
      x += 2.0 * r + drawing_.paper_m(0.8);
    }
    if (!label.text.empty()) {
      drawing_.texts.push_back({.layer = Layer::note,
                                .at = {x, middle - drawing_.paper_m(kNoteMm / 2.0)},
                                .height_mm = kNoteMm,
                                .text = label.text});
    }
    line(Layer::note, {from_px(place.leader.from), from_px(place.leader.to)});
  }

  void write_title() {
    const Box box = extent(drawing_);
    drawing_.texts.push_back({.layer = Layer::note,
                              .at = {box.low.x, box.low.y - drawing_.paper_m(4.5)},
                              .height_mm = 2.8,
                              .text = sight_.name});
    if (no_room_.empty()) {
      return;
    }
    constexpr std::size_t kMost = 8;
    const std::size_t more = no_room_.size() > kMost ? no_room_.size() - kMost : 0;
    no_room_.resize(no_room_.size() - more);
    drawing_.texts.push_back(
        {.layer = Layer::note,
         .at = {box.low.x, box.low.y - drawing_.paper_m(8.5)},
         .height_mm = kNoteMm,
         .text = "no room here for the label of " +
                 (more > 0 ? fmt::format("{} and {} more", fmt::join(no_room_, ", "), more)
                           : base::joined(no_room_, "and"))});
  }

  const Subject& subject_;
  const Sight& sight_;
  Drawing drawing_;
  Box edge_;
  std::vector<Point> end_on_;                        ///< pieces seen so
  std::vector<std::pair<Point, Point>> measured_;    ///< dimension lines
  std::vector<std::pair<std::size_t, int>> owners_;  ///< of a line's index its piece
  std::vector<Named> named_;
  std::vector<std::string> no_room_;  ///< the labels left out
};

}  // namespace

/// As wide as the cooktop where that is stated, from the wall to as far before the collar; its own
/// size is not known.
Reach appliance_reach(const Subject& subject) {
  const layout::Appliance& appliance = subject.parts.layout.appliance;
  const duct::Section& size =
      appliance.collar ? *appliance.collar : subject.parts.layout.run.first_section;
  const double wide = appliance.cooking && appliance.cooking->width_m
                          ? *appliance.cooking->width_m / 2.0
                          : size.width_m();
  const double deep =
      std::max(size.height_m() / 2.0, appliance.collar_at.from_wall_m.value_or(size.height_m()));
  const layout::Direction& way = subject.route.pieces.front().heading_in;
  const double tall = 2.0 * size.height_m();
  Reach reach{{{-wide, wide}, {-deep, deep}, {-tall / 2.0, tall / 2.0}}};
  for (std::size_t k = 0; k < 3; ++k) {
    if (std::abs(way[k]) > 0.7) {
      const double whole = reach[k][1] - reach[k][0];
      reach[k] = way[k] > 0.0 ? std::array{-whole, 0.0} : std::array{0.0, whole};
    }
  }
  return reach;
}

Drawing drawn_view(const Subject& subject, const Sight& sight, double scale, Labels labels) {
  return View(subject, sight, scale).draw(labels);
}

}  // namespace ductledger::sheet
