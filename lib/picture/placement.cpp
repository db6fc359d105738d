#include "picture/placement.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace ductledger::picture {
namespace {

constexpr double kClearPx = 4.0;    ///< between a label and a line
constexpr double kBetweenPx = 4.0;  ///< between labels
/// A conflict of this weight is never accepted while any place without it is known.
constexpr double kForbidden = 1e4;
constexpr double kLeaderOverLine = 120.0;
constexpr double kLeadersCross = 160.0;
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
constexpr int kSweeps = 40;

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

double cost_alone(const LabelPlaced& place, const LabelScene& scene, double distance_px) {
  double cost = 0.5 * distance_px;
  const LabelBox clear = grown(place.box, kClearPx);
  // A leader starts on the line it belongs to.
  const LabelSegment rest{{place.leader.from.x + 0.25 * (place.leader.to.x - place.leader.from.x),
                           place.leader.from.y + 0.25 * (place.leader.to.y - place.leader.from.y)},
                          place.leader.to};
  for (const LabelSegment& line : scene.lines) {
    cost += meets(line, clear) ? kForbidden : 0.0;
    cost += cross_each_other(rest, line) ? kLeaderOverLine : 0.0;
  }
  for (const LabelBox& symbol : scene.symbols) {
    cost += meets(symbol, clear) ? kForbidden : 0.0;
  }
  const double beyond_px = outside(place.box, scene.area);
  return cost + (beyond_px > 0.0 ? 20.0 + 0.8 * beyond_px : 0.0);
}

std::vector<Candidate> candidates(const LabelWanted& label, const LabelScene& scene) {
  std::vector<Candidate> all;
  all.reserve(kDistancesPx.size() * kDirections);
  for (const double distance_px : kDistancesPx) {
    for (int k = 0; k < kDirections; ++k) {
      const double angle = 2.0 * std::numbers::pi * k / kDirections;
      const SvgPoint way{std::cos(angle), std::sin(angle)};
      const SvgPoint at{label.anchor.x + distance_px * way.x, label.anchor.y + distance_px * way.y};
      LabelPlaced place;
      place.box = box_at(at, way, label);
      place.leader = {label.anchor, nearest(place.box, label.anchor)};
      all.push_back({place, cost_alone(place, scene, distance_px)});
    }
  }
  std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) {
    return a.cost < b.cost;
  });
  return all;
}

double cost_between(const LabelPlaced& a, const LabelPlaced& b) {
  double cost = meets(grown(a.box, kBetweenPx), b.box) ? kForbidden : 0.0;
  cost += meets(a.leader, grown(b.box, 1.0)) ? kForbidden : 0.0;
  cost += meets(b.leader, grown(a.box, 1.0)) ? kForbidden : 0.0;
  return cost + (cross_each_other(a.leader, b.leader) ? kLeadersCross : 0.0);
}

class Placing {
 public:
  Placing(const LabelScene& scene, const std::vector<LabelWanted>& wanted) {
    for (const LabelWanted& label : wanted) {
      candidates_.push_back(candidates(label, scene));
    }
    chosen_.assign(wanted.size(), 0);
    placed_.assign(wanted.size(), 0);
  }

  std::vector<LabelPlaced> run() {
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      chosen_[i] = best(i);
      placed_[i] = 1;
    }
    for (int sweep = 0; sweep < kSweeps && (improve() || push_aside()); ++sweep) {
    }
    std::vector<LabelPlaced> places;
    places.reserve(chosen_.size());
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      places.push_back(candidates_[i][chosen_[i]].place);
    }
    return places;
  }

 private:
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
    constexpr std::size_t kTried = 150;
    const double before = total();
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      if (cost(i, chosen_[i]) < kForbidden) {
        continue;
      }
      const std::vector<std::size_t> kept = chosen_;
      for (std::size_t k = 0; k < std::min(kTried, candidates_[i].size()); ++k) {
        if (candidates_[i][k].cost >= kForbidden) {
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

  std::vector<std::vector<Candidate>> candidates_;
  std::vector<std::size_t> chosen_;
  std::vector<char> placed_;
};

}  // namespace

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

}  // namespace ductledger::picture
