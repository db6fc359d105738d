#include "picture/placement.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <numbers>
#include <numeric>
#include <optional>
#include <utility>

namespace ductledger::picture {
namespace {

constexpr double kClearPx = 4.0;    ///< between a label and a line
constexpr double kBetweenPx = 4.0;  ///< between labels
/// A conflict of this weight is never accepted while any place without it is known.
constexpr double kForbidden = 1e5;
/// From here a place is moved even where others have to give way.
constexpr double kConflict = 1e4;
constexpr double kNearAnchorPx = 70.0;  ///< so far from anchors other than the first
constexpr int kDirections = 24;
constexpr std::array kDistancesPx{12.0,
                                  17.0,
                                  24.0,
                                  34.0,
                                  46.0,
                                  60.0,
                                  78.0,
                                  100.0,
                                  126.0,
                                  158.0,
                                  196.0,
                                  240.0,
                                  292.0,
                                  354.0,
                                  430.0,
                                  520.0,
                                  640.0,
                                  800.0};
/// Sweeps over all labels, and places tried where others have to give way.
constexpr int kSweeps = 12;
constexpr std::size_t kTried = 12;
constexpr int kThoroughly = 6;  ///< times as many where a scene is searched thoroughly

double cross(const SvgPoint& o, const SvgPoint& a, const SvgPoint& b) {
  return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

bool cross_each_other(const LabelSegment& a, const LabelSegment& b) {
  const double d1 = cross(a.from, a.to, b.from);
  const double d2 = cross(a.from, a.to, b.to);
  const double d3 = cross(b.from, b.to, a.from);
  const double d4 = cross(b.from, b.to, a.to);
  return d1 * d2 < 0.0 && d3 * d4 < 0.0;
}

/// The point of a box nearest to another point.
SvgPoint nearest(const LabelBox& box, const SvgPoint& to) {
  return {std::clamp(to.x, box.left, box.right), std::clamp(to.y, box.top, box.bottom)};
}

/// A leader so close to a line runs along it.
constexpr double kBesidePx = 3.0;

LabelBox around(const LabelSegment& segment, double margin_px) {
  const auto [left, right] = std::minmax(segment.from.x, segment.to.x);
  const auto [top, bottom] = std::minmax(segment.from.y, segment.to.y);
  return grown({left, top, right, bottom}, margin_px);
}

/// Whether a segment may meet a box: its own box does.
bool near(const LabelSegment& segment, const LabelBox& box) {
  return std::min(segment.from.x, segment.to.x) <= box.right &&
         std::max(segment.from.x, segment.to.x) >= box.left &&
         std::min(segment.from.y, segment.to.y) <= box.bottom &&
         std::max(segment.from.y, segment.to.y) >= box.top;
}

/// Whether a leader comes upon a line or runs along it.
bool touches(const LabelSegment& leader, const LabelSegment& line) {
  return cross_each_other(leader, line) || distance(leader.from, line) < kBesidePx ||
         distance(leader.to, line) < kBesidePx || distance(line.from, leader) < kBesidePx ||
         distance(line.to, leader) < kBesidePx;
}

/// A field of cells; what lies beyond it counts as in its outermost ones.
class Cells {
 public:
  explicit Cells(const LabelBox& field) : left_(field.left), top_(field.top) {
    const double across = std::max(1.0, field.right - field.left);
    const double down = std::max(1.0, field.bottom - field.top);
    cell_px_ = std::max(kCellPx, std::sqrt(across * down / kMostCells));
    columns_ = static_cast<std::size_t>(across / cell_px_) + 1;
    rows_ = static_cast<std::size_t>(down / cell_px_) + 1;
  }
  [[nodiscard]] std::size_t count() const noexcept { return columns_ * rows_; }

  /// @param visit of a cell's number; ends the walk where it returns false
  /// @return whether it went on to the end
  template <class Visit>
  bool walk(const LabelBox& box, const Visit& visit) const {
    const std::size_t right = at(box.right - left_, columns_);
    const std::size_t bottom = at(box.bottom - top_, rows_);
    for (std::size_t y = at(box.top - top_, rows_); y <= bottom; ++y) {
      for (std::size_t x = at(box.left - left_, columns_); x <= right; ++x) {
        if (!visit(y * columns_ + x)) {
          return false;
        }
      }
    }
    return true;
  }

 private:
  static constexpr double kCellPx = 32.0;
  static constexpr double kMostCells = 65536.0;
  [[nodiscard]] std::size_t at(double px, std::size_t count) const {
    return px <= 0.0 ? 0 : std::min(static_cast<std::size_t>(px / cell_px_), count - 1);
  }
  double left_;
  double top_;
  double cell_px_ = kCellPx;
  std::size_t columns_ = 1;
  std::size_t rows_ = 1;
};

/// What lies near a place, without a look at all there is: numbers by cells.
class Near {
 public:
  /// @param count the numbers are below it
  Near(const LabelBox& field, std::size_t count)
      : cells_(field), held_(cells_.count()), seen_(count, 0) {}
  void add(const LabelBox& box, std::size_t number) {
    cells_.walk(box, [&](std::size_t cell) {
      held_[cell].push_back(static_cast<std::uint32_t>(number));
      return true;
    });
  }
  void remove(const LabelBox& box, std::size_t number) {
    cells_.walk(box, [&](std::size_t cell) {
      std::erase(held_[cell], static_cast<std::uint32_t>(number));
      return true;
    });
  }
  /// Each once, in no order; some of them may lie in a neighboring cell alone.
  /// @param visit of a number; ends the walk where it returns false
  template <class Visit>
  bool walk(const LabelBox& box, const Visit& visit) const {
    ++walks_;
    return cells_.walk(box, [&](std::size_t cell) {
      return std::ranges::all_of(held_[cell], [&](std::uint32_t number) {
        if (seen_[number] == walks_) {
          return true;
        }
        seen_[number] = walks_;
        return visit(static_cast<std::size_t>(number));
      });
    });
  }
  /// The same, ascending.
  [[nodiscard]] std::vector<std::size_t> at(const LabelBox& box) const {
    std::vector<std::size_t> found;
    walk(box, [&](std::size_t number) {
      found.push_back(number);
      return true;
    });
    std::ranges::sort(found);
    return found;
  }

 private:
  Cells cells_;
  std::vector<std::vector<std::uint32_t>> held_;
  mutable std::vector<std::uint64_t> seen_;  ///< by number: the walk that came upon it last
  mutable std::uint64_t walks_ = 0;
};

/// All that a scene shows.
LabelBox field_of(const LabelScene& scene) {
  LabelBox field = scene.area;
  for (const LabelSegment& line : scene.lines) {
    field = united(field, around(line, 0.0));
  }
  for (const LabelSymbol& symbol : scene.symbols) {
    field = united(field, symbol.box);
  }
  return field;
}

/// A scene by what lies where.
struct Indexed {
  explicit Indexed(const LabelScene& of)
      : scene(of), lines(field_of(of), of.lines.size()), symbols(field_of(of), of.symbols.size()) {
    for (std::size_t i = 0; i < scene.lines.size(); ++i) {
      lines.add(around(scene.lines[i], 0.0), i);
      by_owner[scene.lines[i].owner].push_back(i);
    }
    for (std::size_t i = 0; i < scene.symbols.size(); ++i) {
      symbols.add(scene.symbols[i].box, i);
    }
  }
  const LabelScene& scene;
  Near lines;
  Near symbols;
  std::map<int, std::vector<std::size_t>> by_owner;
};

struct Candidate {
  LabelPlaced place;
  double cost = 0.0;
  LabelBox bounds{};  ///< what label and leader cover
};

/// The box whose side or corner toward the anchor stands at `at`.
LabelBox box_at(const SvgPoint& at, const SvgPoint& way, const LabelWanted& label) {
  const double left = way.x > 0.35    ? at.x
                      : way.x < -0.35 ? at.x - label.width_px
                                      : at.x - label.width_px / 2.0;
  const double top = way.y > 0.35    ? at.y
                     : way.y < -0.35 ? at.y - label.height_px
                                     : at.y - label.height_px / 2.0;
  return {left, top, left + label.width_px, top + label.height_px};
}

double outside(const LabelBox& box, const LabelBox& area) {
  return std::max(0.0, area.left - box.left) + std::max(0.0, box.right - area.right) +
         std::max(0.0, area.top - box.top) + std::max(0.0, box.bottom - area.bottom);
}

SvgPoint at_share(const LabelSegment& segment, double share) {
  return {segment.from.x + share * (segment.to.x - segment.from.x),
          segment.from.y + share * (segment.to.y - segment.from.y)};
}

/// Whether a leader ends nearer to another piece than to its own.
bool strays(const LabelSegment& leader, const Indexed& at, int owner) {
  const auto own = at.by_owner.find(owner);
  double own_px = std::hypot(leader.to.x - leader.from.x, leader.to.y - leader.from.y);
  if (own != at.by_owner.end()) {
    for (const std::size_t i : own->second) {
      own_px = std::min(own_px, distance(leader.to, at.scene.lines[i]));
    }
  }
  const LabelBox reach = around({leader.to, leader.to}, own_px);
  return !at.lines.walk(reach, [&](std::size_t i) {
    const LabelSegment& line = at.scene.lines[i];
    return line.owner == owner || distance(leader.to, line) >= own_px;
  });
}

double cost_alone(const LabelPlaced& place, const Indexed& at, const LabelWanted& label) {
  const LabelBox clear = grown(place.box, kClearPx);
  const LabelSegment& leader = place.leader;
  const double length_px = std::hypot(leader.to.x - leader.from.x, leader.to.y - leader.from.y);
  double cost = 0.5 * length_px;
  const bool covers_nothing = at.symbols.walk(clear, [&](std::size_t i) {
    return !meets(at.scene.symbols[i].box, clear);
  }) && at.lines.walk(clear, [&](std::size_t i) {
    return !near(at.scene.lines[i], clear) || !meets(at.scene.lines[i], clear);
  });
  if (!covers_nothing) {
    return cost + kForbidden;
  }
  // A leader starts on the line and in the sign that it belongs to. A piece seen end-on has no
  // line.
  if (is_shown(leader)) {
    const LabelSegment rest{at_share(leader, kOwnPx / length_px), leader.to};
    const LabelBox beside = around(rest, kBesidePx);
    at.lines.walk(beside, [&](std::size_t i) {
      const LabelSegment& line = at.scene.lines[i];
      cost += near(line, beside) && touches(rest, line) ? kConflict : 0.0;
      return true;
    });
    at.symbols.walk(beside, [&](std::size_t i) {
      // What begins inside a sign has to leave it.
      const LabelSymbol& symbol = at.scene.symbols[i];
      const bool foreign = symbol.owner != label.owner && !holds(symbol.box, leader.from);
      cost += foreign && meets(rest, symbol.box) ? kConflict : 0.0;
      return true;
    });
  }
  cost += label.owner >= 0 && strays(leader, at, label.owner) ? kConflict : 0.0;
  const double beyond_px = outside(place.box, at.scene.area);
  return cost + (beyond_px > 0.0 ? 20.0 + 0.8 * beyond_px : 0.0);
}

/// What a label and its leader cover.
LabelBox bounds(const LabelPlaced& place) { return united(place.box, around(place.leader, 0.0)); }

/// The ways from an anchor.
std::array<SvgPoint, kDirections> ways() {
  std::array<SvgPoint, kDirections> all;
  for (int k = 0; k < kDirections; ++k) {
    const double angle = 2.0 * std::numbers::pi * k / kDirections;
    all.at(static_cast<std::size_t>(k)) = {std::cos(angle), std::sin(angle)};
  }
  return all;
}

std::vector<Candidate> candidates(const LabelWanted& label, const Indexed& scene) {
  static const std::array<SvgPoint, kDirections> kWays = ways();
  std::vector<Candidate> all;
  for (const SvgPoint& anchor : label.anchors) {
    const bool first = &anchor == &label.anchors.front();
    for (const double distance_px : kDistancesPx) {
      if (distance_px >= (first ? scene.scene.farthest_px : kNearAnchorPx)) {
        break;
      }
      for (const SvgPoint& way : kWays) {
        const SvgPoint at{anchor.x + distance_px * way.x, anchor.y + distance_px * way.y};
        LabelPlaced place;
        place.box = box_at(at, way, label);
        place.leader = {anchor, nearest(place.box, anchor)};
        all.push_back(
            {place, cost_alone(place, scene, label) + (first ? 0.0 : 4.0), bounds(place)});
      }
    }
  }
  std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) {
    return a.cost < b.cost;
  });
  return all;
}

double cost_between(const LabelPlaced& a, const LabelPlaced& b) {
  if (!near(a.leader, grown(b.box, 1.0)) && !near(b.leader, grown(a.box, 1.0)) &&
      !near(a.leader, around(b.leader, 0.0)) && !meets(grown(a.box, kBetweenPx), b.box)) {
    return 0.0;
  }
  double cost = meets(grown(a.box, kBetweenPx), b.box) ? kForbidden : 0.0;
  cost += meets(a.leader, grown(b.box, 1.0)) ? kForbidden : 0.0;
  cost += meets(b.leader, grown(a.box, 1.0)) ? kForbidden : 0.0;
  return cost + (cross_each_other(a.leader, b.leader) ? kConflict : 0.0);
}

/// All that labels and leaders may cover.
LabelBox field_of(const std::vector<std::vector<Candidate>>& candidates) {
  std::optional<LabelBox> field;
  for (const std::vector<Candidate>& each : candidates) {
    for (const Candidate& one : each) {
      field = field ? united(*field, one.bounds) : one.bounds;
    }
  }
  return field.value_or(LabelBox{});
}

class Placing {
 public:
  Placing(const LabelScene& scene, std::vector<std::vector<Candidate>> candidates)
      : effort_(scene.thorough ? kThoroughly : 1),
        most_in_conflict_(scene.most_in_conflict),
        candidates_(std::move(candidates)),
        chosen_(candidates_.size(), kNone),
        settled_(candidates_.size()),
        cells_(field_of(candidates_)),
        changed_(cells_.count(), 0),
        placed_(field_of(candidates_), candidates_.size()) {
    for (const std::vector<Candidate>& each : candidates_) {
      LabelBox reach = each.front().bounds;
      for (const Candidate& one : each) {
        reach = united(reach, one.bounds);
      }
      reach_.push_back(grown(reach, kBetweenPx));
    }
  }

  std::vector<LabelPlaced> run() {
    for (const std::size_t i : narrowest_first()) {
      move(i, best(i));
    }
    for (int sweep = 0; sweep < effort_ * kSweeps; ++sweep) {
      if (!improve() && (too_crowded() || !push_aside())) {
        break;
      }
    }
    std::vector<LabelPlaced> places;
    places.reserve(chosen_.size());
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      places.push_back(chosen(i).place);
    }
    return places;
  }

 private:
  static constexpr std::size_t kNone = static_cast<std::size_t>(-1);
  static constexpr double kAny = std::numeric_limits<double>::infinity();

  [[nodiscard]] const Candidate& chosen(std::size_t label) const {
    return candidates_[label][chosen_[label]];
  }
  /// @return what all labels together cost more by it
  double move(std::size_t label, std::size_t candidate) {
    double change = cost(label, candidate);
    if (chosen_[label] != kNone) {
      change -= cost(label, chosen_[label]);
      placed_.remove(chosen(label).bounds, label);
    }
    chosen_[label] = candidate;
    placed_.add(chosen(label).bounds, label);
    return change;
  }

  /// Labels with the fewest good places choose first.
  [[nodiscard]] std::vector<std::size_t> narrowest_first() const {
    std::vector<std::size_t> order(candidates_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::vector<std::ptrdiff_t> good;
    for (const std::vector<Candidate>& each : candidates_) {
      good.push_back(
          std::ranges::count_if(each, [](const Candidate& one) { return one.cost < kConflict; }));
    }
    std::ranges::stable_sort(order, {}, [&good](std::size_t label) { return good[label]; });
    return order;
  }

  /// @param most the count ends where it is no less than that
  [[nodiscard]] double cost(std::size_t label, std::size_t candidate, double most = kAny) const {
    const Candidate& tried = candidates_[label][candidate];
    // What conflicts cost is whole, so that the order in which they are met does not tell.
    double conflicts = 0.0;
    const LabelBox clear = grown(tried.bounds, kBetweenPx);
    placed_.walk(clear, [&](std::size_t other) {
      if (other != label && meets(clear, chosen(other).bounds)) {
        conflicts += cost_between(tried.place, chosen(other).place);
      }
      return tried.cost + conflicts < most;
    });
    return tried.cost + conflicts;
  }

  /// Candidates ascend by their own cost, so the search ends where that alone is too much.
  [[nodiscard]] std::size_t best(std::size_t label) const {
    std::size_t found = 0;
    double least = cost(label, 0);
    for (std::size_t k = 1; k < candidates_[label].size(); ++k) {
      if (candidates_[label][k].cost >= least) {
        break;
      }
      const double tried = cost(label, k, least);
      if (tried < least - 1e-9) {
        least = tried;
        found = k;
      }
    }
    return found;
  }

  // --- what has changed

  /// A label's place was looked for when the clock showed this; 0: never.
  struct Settled {
    std::uint64_t moved_alone = 0;
    std::uint64_t pushed = 0;
  };
  /// Marks what a label held and holds.
  void mark(std::size_t label, const LabelBox& before) {
    ++clock_;
    for (const LabelBox& box : {before, chosen(label).bounds}) {
      cells_.walk(box, [this](std::size_t cell) {
        changed_[cell] = clock_;
        return true;
      });
    }
  }
  /// Whether all that a search looks at is as it was then.
  [[nodiscard]] bool unchanged(const LabelBox& reach, std::uint64_t since) const {
    return since > 0 &&
           cells_.walk(reach, [&](std::size_t cell) { return changed_[cell] <= since; });
  }
  /// What a label reaches by pushing others aside.
  [[nodiscard]] LabelBox wide_reach(std::size_t label) const {
    LabelBox reach = reach_[label];
    for (const LabelBox& other : reach_) {
      reach = meets(other, reach_[label]) ? united(reach, other) : reach;
    }
    return reach;
  }

  [[nodiscard]] bool too_crowded() const {
    std::size_t count = 0;
    for (std::size_t i = 0; i < chosen_.size() && count <= most_in_conflict_; ++i) {
      count += cost(i, chosen_[i], kConflict) >= kConflict ? 1U : 0U;
    }
    return count > most_in_conflict_;
  }

  bool improve() {
    bool moved = false;
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      if (unchanged(reach_[i], settled_[i].moved_alone)) {
        continue;
      }
      const std::size_t better = best(i);
      if (better != chosen_[i] && cost(i, better) < cost(i, chosen_[i]) - 1e-9) {
        const LabelBox before = chosen(i).bounds;
        move(i, better);
        mark(i, before);
        moved = true;
      }
      settled_[i].moved_alone = clock_;
    }
    return moved;
  }

  /// Where moving one label at a time helps no more: a label in conflict takes a place that others
  /// hold, and these look for new ones.
  bool push_aside() {
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      if (unchanged(wide_reach(i), settled_[i].pushed) ||
          cost(i, chosen_[i], kConflict) < kConflict) {
        continue;
      }
      const std::size_t most =
          std::min(static_cast<std::size_t>(effort_) * kTried, candidates_[i].size());
      for (std::size_t k = 0; k < most && candidates_[i][k].cost < kConflict; ++k) {
        if (push_to(i, k)) {
          return true;
        }
      }
      settled_[i].pushed = clock_;
    }
    return false;
  }
  /// @return whether all together cost less by it; else all stand where they did
  bool push_to(std::size_t label, std::size_t candidate) {
    std::vector<std::pair<std::size_t, std::size_t>> before{{label, chosen_[label]}};
    double change = move(label, candidate);
    for (const std::size_t other : placed_.at(grown(chosen(label).bounds, kBetweenPx))) {
      if (other != label && cost_between(chosen(label).place, chosen(other).place) >= kForbidden) {
        before.emplace_back(other, chosen_[other]);
        change += move(other, best(other));
      }
    }
    if (change < -1e-9) {
      for (const auto& [moved, was] : before) {
        mark(moved, candidates_[moved][was].bounds);
      }
      return true;
    }
    for (auto each = before.rbegin(); each != before.rend(); ++each) {
      move(each->first, each->second);
    }
    return false;
  }

  int effort_;
  std::size_t most_in_conflict_;
  std::vector<std::vector<Candidate>> candidates_;
  std::vector<std::size_t> chosen_;
  std::vector<LabelBox> reach_;  ///< by label: all that its places cover, and what is beside them
  std::vector<Settled> settled_;
  std::uint64_t clock_ = 1;
  Cells cells_;
  std::vector<std::uint64_t> changed_;  ///< by cell: when a label there moved last
  Near placed_;
};

}  // namespace

double distance(const SvgPoint& from, const LabelSegment& to) {
  const double dx = to.to.x - to.from.x;
  const double dy = to.to.y - to.from.y;
  const double squared = dx * dx + dy * dy;
  const double t =
      squared > 0.0
          ? std::clamp(((from.x - to.from.x) * dx + (from.y - to.from.y) * dy) / squared, 0.0, 1.0)
          : 0.0;
  const double x = from.x - to.from.x - t * dx;
  const double y = from.y - to.from.y - t * dy;
  return std::sqrt(x * x + y * y);
}

bool holds(const LabelBox& box, const SvgPoint& point) {
  return point.x >= box.left && point.x <= box.right && point.y >= box.top && point.y <= box.bottom;
}

bool meets(const LabelBox& a, const LabelBox& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

LabelBox united(const LabelBox& a, const LabelBox& b) {
  return {std::min(a.left, b.left),
          std::min(a.top, b.top),
          std::max(a.right, b.right),
          std::max(a.bottom, b.bottom)};
}

LabelBox united(const LabelBox& box, const SvgPoint& point) {
  return united(box, LabelBox{point.x, point.y, point.x, point.y});
}

LabelBox grown(const LabelBox& box, double margin_px) {
  return {box.left - margin_px, box.top - margin_px, box.right + margin_px, box.bottom + margin_px};
}

bool meets(const LabelSegment& segment, const LabelBox& box) {
  // Clipped against each side in turn; what is left lies inside.
  double enters = 0.0;
  double leaves = 1.0;
  const double dx = segment.to.x - segment.from.x;
  const double dy = segment.to.y - segment.from.y;
  const auto clip = [&](double along, double room) {
    if (along == 0.0) {
      return room > 0.0;
    }
    const double t = room / along;
    if (along > 0.0) {
      leaves = std::min(leaves, t);
    } else {
      enters = std::max(enters, t);
    }
    return enters < leaves;
  };
  return clip(-dx, segment.from.x - box.left) && clip(dx, box.right - segment.from.x) &&
         clip(-dy, segment.from.y - box.top) && clip(dy, box.bottom - segment.from.y);
}

std::vector<LabelPlaced> place_labels(const LabelScene& scene,
                                      const std::vector<LabelWanted>& wanted) {
  const Indexed indexed(scene);
  std::vector<std::vector<Candidate>> all;
  all.reserve(wanted.size());
  for (const LabelWanted& label : wanted) {
    all.push_back(candidates(label, indexed));
  }
  return Placing(scene, std::move(all)).run();
}

bool is_shown(const LabelSegment& leader) {
  return std::hypot(leader.to.x - leader.from.x, leader.to.y - leader.from.y) >= kShownPx;
}

std::vector<std::size_t> conflicts(const LabelScene& scene,
                                   const std::vector<LabelWanted>& wanted,
                                   const std::vector<LabelPlaced>& placed) {
  const Indexed indexed(scene);
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < placed.size(); ++i) {
    double cost = cost_alone(placed[i], indexed, wanted[i]);
    for (std::size_t j = 0; j < placed.size(); ++j) {
      cost += i != j ? cost_between(placed[i], placed[j]) : 0.0;
    }
    if (cost >= kConflict) {
      found.push_back(i);
    }
  }
  return found;
}

std::vector<std::size_t> covering(const LabelScene& scene,
                                  const std::vector<LabelWanted>& wanted,
                                  const std::vector<LabelPlaced>& placed) {
  const Indexed indexed(scene);
  std::vector<std::size_t> out;
  std::vector<std::size_t> stand;
  for (std::size_t i = 0; i < placed.size(); ++i) {
    const bool covers = cost_alone(placed[i], indexed, wanted[i]) >= kForbidden ||
                        std::ranges::any_of(stand, [&](std::size_t other) {
                          return cost_between(placed[i], placed[other]) >= kForbidden;
                        });
    (covers ? out : stand).push_back(i);
  }
  return out;
}

}  // namespace ductledger::picture
