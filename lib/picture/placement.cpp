#include "picture/placement.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <numbers>
#include <numeric>
#include <unordered_map>
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

/// What lies near a place, without a look at all there is: numbers by the cells of a grid.
class Near {
 public:
  void add(const LabelBox& box, std::size_t number) {
    for_cells(box, [&](std::uint64_t cell) { cells_[cell].push_back(number); });
  }
  void remove(const LabelBox& box, std::size_t number) {
    for_cells(box, [&](std::uint64_t cell) { std::erase(cells_[cell], number); });
  }
  /// Ascending, each once; some of them may lie in a neighboring cell alone.
  [[nodiscard]] std::vector<std::size_t> at(const LabelBox& box) const {
    std::vector<std::size_t> found;
    for_cells(box, [&](std::uint64_t cell) {
      if (const auto held = cells_.find(cell); held != cells_.end()) {
        found.insert(found.end(), held->second.begin(), held->second.end());
      }
    });
    std::ranges::sort(found);
    found.erase(std::ranges::unique(found).begin(), found.end());
    return found;
  }

 private:
  static constexpr double kCellPx = 64.0;
  template <class Visit>
  static void for_cells(const LabelBox& box, const Visit& visit) {
    const auto cell = [](double px) { return static_cast<std::int32_t>(std::floor(px / kCellPx)); };
    for (std::int32_t x = cell(box.left); x <= cell(box.right); ++x) {
      for (std::int32_t y = cell(box.top); y <= cell(box.bottom); ++y) {
        visit((static_cast<std::uint64_t>(static_cast<std::uint32_t>(x)) << 32U) |
              static_cast<std::uint32_t>(y));
      }
    }
  }
  std::unordered_map<std::uint64_t, std::vector<std::size_t>> cells_;
};

/// A scene by what lies where.
struct Indexed {
  explicit Indexed(const LabelScene& of) : scene(of) {
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
  return std::ranges::any_of(at.lines.at(reach), [&](std::size_t i) {
    const LabelSegment& line = at.scene.lines[i];
    return line.owner != owner && distance(leader.to, line) < own_px;
  });
}

double cost_alone(const LabelPlaced& place, const Indexed& at, const LabelWanted& label) {
  const LabelBox clear = grown(place.box, kClearPx);
  const LabelSegment& leader = place.leader;
  const double length_px = std::hypot(leader.to.x - leader.from.x, leader.to.y - leader.from.y);
  double cost = 0.5 * length_px;
  for (const std::size_t i : at.symbols.at(clear)) {
    if (meets(at.scene.symbols[i].box, clear)) {
      return cost + kForbidden;
    }
  }
  for (const std::size_t i : at.lines.at(clear)) {
    if (near(at.scene.lines[i], clear) && meets(at.scene.lines[i], clear)) {
      return cost + kForbidden;
    }
  }
  // A leader starts on the line and in the sign that it belongs to. A piece seen end-on has no
  // line.
  if (is_shown(leader)) {
    const LabelSegment rest{at_share(leader, kOwnPx / length_px), leader.to};
    const LabelBox beside = around(rest, kBesidePx);
    for (const std::size_t i : at.lines.at(beside)) {
      const LabelSegment& line = at.scene.lines[i];
      cost += near(line, beside) && touches(rest, line) ? kConflict : 0.0;
    }
    for (const std::size_t i : at.symbols.at(beside)) {
      // What begins inside a sign has to leave it.
      const LabelSymbol& symbol = at.scene.symbols[i];
      const bool foreign = symbol.owner != label.owner && !holds(symbol.box, leader.from);
      cost += foreign && meets(rest, symbol.box) ? kConflict : 0.0;
    }
  }
  cost += label.owner >= 0 && strays(leader, at, label.owner) ? kConflict : 0.0;
  const double beyond_px = outside(place.box, at.scene.area);
  return cost + (beyond_px > 0.0 ? 20.0 + 0.8 * beyond_px : 0.0);
}

std::vector<Candidate> candidates(const LabelWanted& label, const Indexed& scene) {
  std::vector<Candidate> all;
  for (const SvgPoint& anchor : label.anchors) {
    const bool first = &anchor == &label.anchors.front();
    for (const double distance_px : kDistancesPx) {
      const bool near = distance_px < (first ? scene.scene.farthest_px : kNearAnchorPx);
      for (int k = 0; k < kDirections && near; ++k) {
        const double angle = 2.0 * std::numbers::pi * k / kDirections;
        const SvgPoint way{std::cos(angle), std::sin(angle)};
        const SvgPoint at{anchor.x + distance_px * way.x, anchor.y + distance_px * way.y};
        LabelPlaced place;
        place.box = box_at(at, way, label);
        place.leader = {anchor, nearest(place.box, anchor)};
        all.push_back({place, cost_alone(place, scene, label) + (first ? 0.0 : 4.0)});
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

/// What a label and its leader cover.
LabelBox bounds(const LabelPlaced& place) { return united(place.box, around(place.leader, 0.0)); }

class Placing {
 public:
  Placing(const LabelScene& scene, const std::vector<LabelWanted>& wanted)
      : effort_(scene.thorough ? kThoroughly : 1) {
    const Indexed indexed(scene);
    for (const LabelWanted& label : wanted) {
      candidates_.push_back(candidates(label, indexed));
    }
    chosen_.assign(wanted.size(), kNone);
  }

  std::vector<LabelPlaced> run() {
    for (const std::size_t i : narrowest_first()) {
      move(i, best(i));
    }
    for (int sweep = 0; sweep < effort_ * kSweeps && (improve() || push_aside()); ++sweep) {
    }
    std::vector<LabelPlaced> places;
    places.reserve(chosen_.size());
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      places.push_back(place_of(i));
    }
    return places;
  }

 private:
  static constexpr std::size_t kNone = static_cast<std::size_t>(-1);

  [[nodiscard]] const LabelPlaced& place_of(std::size_t label) const {
    return candidates_[label][chosen_[label]].place;
  }
  /// Placed labels that a place may come upon.
  [[nodiscard]] std::vector<std::size_t> beside(const LabelPlaced& place) const {
    return placed_.at(grown(bounds(place), kBetweenPx));
  }
  /// @return what all labels together cost more by it
  double move(std::size_t label, std::size_t candidate) {
    double change = cost(label, candidate);
    if (chosen_[label] != kNone) {
      change -= cost(label, chosen_[label]);
      placed_.remove(bounds(place_of(label)), label);
    }
    chosen_[label] = candidate;
    placed_.add(bounds(place_of(label)), label);
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

  [[nodiscard]] double cost(std::size_t label, std::size_t candidate) const {
    const Candidate& tried = candidates_[label][candidate];
    double sum = tried.cost;
    for (const std::size_t other : beside(tried.place)) {
      sum += other != label ? cost_between(tried.place, place_of(other)) : 0.0;
    }
    return sum;
  }

  /// Candidates ascend by their own cost, so the search ends where that alone is too much.
  [[nodiscard]] std::size_t best(std::size_t label) const {
    std::size_t found = 0;
    double least = cost(label, 0);
    for (std::size_t k = 1; k < candidates_[label].size(); ++k) {
      if (candidates_[label][k].cost >= least) {
        break;
      }
      const double tried = cost(label, k);
      if (tried < least - 1e-9) {
        least = tried;
        found = k;
      }
    }
    return found;
  }

  bool improve() {
    bool moved = false;
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      const std::size_t better = best(i);
      if (better != chosen_[i] && cost(i, better) < cost(i, chosen_[i]) - 1e-9) {
        move(i, better);
        moved = true;
      }
    }
    return moved;
  }

  /// Where moving one label at a time helps no more: a label in conflict takes a place that others
  /// hold, and these look for new ones.
  bool push_aside() {
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      if (cost(i, chosen_[i]) < kConflict) {
        continue;
      }
      const std::size_t most =
          std::min(static_cast<std::size_t>(effort_) * kTried, candidates_[i].size());
      for (std::size_t k = 0; k < most && candidates_[i][k].cost < kConflict; ++k) {
        std::vector<std::pair<std::size_t, std::size_t>> before{{i, chosen_[i]}};
        double change = move(i, k);
        for (const std::size_t other : beside(place_of(i))) {
          if (other != i && cost_between(place_of(i), place_of(other)) >= kForbidden) {
            before.emplace_back(other, chosen_[other]);
            change += move(other, best(other));
          }
        }
        if (change < -1e-9) {
          return true;
        }
        for (auto each = before.rbegin(); each != before.rend(); ++each) {
          move(each->first, each->second);
        }
      }
    }
    return false;
  }

  int effort_;
  std::vector<std::vector<Candidate>> candidates_;
  std::vector<std::size_t> chosen_;
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
  return Placing(scene, wanted).run();
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

}  // namespace ductledger::picture
