#include "picture/placement.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <numeric>

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

double cost_alone(const LabelPlaced& place, const LabelScene& scene, const LabelWanted& label) {
  const LabelBox clear = grown(place.box, kClearPx);
  const LabelSegment& leader = place.leader;
  const double length_px = std::hypot(leader.to.x - leader.from.x, leader.to.y - leader.from.y);
  double cost = 0.5 * length_px;
  for (const LabelSymbol& symbol : scene.symbols) {
    if (meets(symbol.box, clear)) {
      return cost + kForbidden;
    }
  }
  // A leader starts on the line and in the sign that it belongs to.
  const bool shown = is_shown(leader);
  const LabelSegment rest{at_share(leader, shown ? kOwnPx / length_px : 1.0), leader.to};
  for (const LabelSegment& line : scene.lines) {
    if (near(line, clear) && meets(line, clear)) {
      return cost + kForbidden;
    }
  }
  // A piece seen end-on has no line.
  double own_px = length_px;
  double other_px = 1e9;
  const LabelBox beside = around(rest, kBesidePx);
  for (const LabelSegment& line : scene.lines) {
    double& nearest_px = line.owner == label.owner ? own_px : other_px;
    nearest_px = std::min(nearest_px, distance(leader.to, line));
    cost += shown && near(line, beside) && touches(rest, line) ? kConflict : 0.0;
  }
  cost += label.owner >= 0 && own_px > other_px ? kConflict : 0.0;
  for (const LabelSymbol& symbol : scene.symbols) {
    // What begins inside a sign has to leave it.
    const bool foreign = symbol.owner != label.owner && !holds(symbol.box, leader.from);
    cost += shown && foreign && meets(rest, symbol.box) ? kConflict : 0.0;
  }
  const double beyond_px = outside(place.box, scene.area);
  return cost + (beyond_px > 0.0 ? 20.0 + 0.8 * beyond_px : 0.0);
}

std::vector<Candidate> candidates(const LabelWanted& label, const LabelScene& scene) {
  std::vector<Candidate> all;
  for (const SvgPoint& anchor : label.anchors) {
    const bool first = &anchor == &label.anchors.front();
    for (const double distance_px : kDistancesPx) {
      const bool near = distance_px < (first ? scene.farthest_px : kNearAnchorPx);
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

class Placing {
 public:
  Placing(const LabelScene& scene, const std::vector<LabelWanted>& wanted)
      : effort_(scene.thorough ? kThoroughly : 1) {
    for (const LabelWanted& label : wanted) {
      candidates_.push_back(candidates(label, scene));
    }
    chosen_.assign(wanted.size(), 0);
    placed_.assign(wanted.size(), 0);
  }

  std::vector<LabelPlaced> run() {
    for (const std::size_t i : narrowest_first()) {
      chosen_[i] = best(i);
      placed_[i] = 1;
    }
    for (int sweep = 0; sweep < effort_ * kSweeps && (improve() || push_aside()); ++sweep) {
    }
    std::vector<LabelPlaced> places;
    places.reserve(chosen_.size());
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      places.push_back(candidates_[i][chosen_[i]].place);
    }
    return places;
  }

 private:
  /// Labels with the fewest good places choose first.
  [[nodiscard]] std::vector<std::size_t> narrowest_first() const {
    std::vector<std::size_t> order(candidates_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto good = [this](std::size_t label) {
      return std::ranges::count_if(candidates_[label],
                                   [](const Candidate& one) { return one.cost < kConflict; });
    };
    std::ranges::stable_sort(order, {}, good);
    return order;
  }

  [[nodiscard]] double cost(std::size_t label, std::size_t candidate) const {
    const Candidate& tried = candidates_[label][candidate];
    double sum = tried.cost;
    for (std::size_t other = 0; other < chosen_.size(); ++other) {
      if (other != label && placed_[other] != 0) {
        sum += cost_between(tried.place, candidates_[other][chosen_[other]].place);
      }
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
        chosen_[i] = better;
        moved = true;
      }
    }
    return moved;
  }

  [[nodiscard]] double total() const {
    double sum = 0.0;
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      sum += candidates_[i][chosen_[i]].cost + cost(i, chosen_[i]);
    }
    return sum / 2.0;
  }

  /// Where moving one label at a time helps no more: a label in conflict takes a place that others
  /// hold, and these look for new ones.
  bool push_aside() {
    const double before = total();
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      if (cost(i, chosen_[i]) < kConflict) {
        continue;
      }
      const std::vector<std::size_t> kept = chosen_;
      for (std::size_t k = 0;
           k < std::min(static_cast<std::size_t>(effort_) * kTried, candidates_[i].size());
           ++k) {
        if (candidates_[i][k].cost >= kConflict) {
          break;
        }
        chosen_[i] = k;
        for (std::size_t other = 0; other < chosen_.size(); ++other) {
          if (other != i && cost_between(candidates_[i][k].place,
                                         candidates_[other][chosen_[other]].place) >= kForbidden) {
            chosen_[other] = best(other);
          }
        }
        if (total() < before - 1e-9) {
          return true;
        }
        chosen_ = kept;
      }
    }
    return false;
  }

  int effort_;
  std::vector<std::vector<Candidate>> candidates_;
  std::vector<std::size_t> chosen_;
  std::vector<char> placed_;
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
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < placed.size(); ++i) {
    double cost = cost_alone(placed[i], scene, wanted[i]);
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
