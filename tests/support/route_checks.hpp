#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "layout/direction.hpp"
#include "picture/route.hpp"

/// What may not be found in a drawing of a run: checks on geometry, not on looks.
namespace ductledger::test {

using picture::DrawnHeading;
using picture::LabelBox;
using picture::LabelSegment;
using picture::SvgPoint;

inline double distance_to(const picture::RoutePicture& picture, const SvgPoint& point, int owner) {
  double nearest = 1e9;
  for (const LabelSegment& line : picture.lines) {
    if (line.owner == owner) {
      nearest = std::min(nearest, distance(point, line));
    }
  }
  return nearest;
}

/// What overlaps, lies off the sheet or speaks of another piece; empty where nothing does.
inline std::string faults(const picture::RoutePicture& picture) {
  std::string found;
  const LabelBox sheet{0.0, 0.0, picture.width_px, picture.height_px};
  const auto off = [&sheet](const SvgPoint& p) {
    return p.x < sheet.left || p.y < sheet.top || p.x > sheet.right || p.y > sheet.bottom;
  };
  for (const LabelSegment& line : picture.lines) {
    found += off(line.from) || off(line.to) ? "a piece off the sheet; " : "";
  }
  for (std::size_t i = 0; i < picture.labels.size(); ++i) {
    const LabelBox& box = picture.labels[i];
    found +=
        off({box.left, box.top}) || off({box.right, box.bottom}) ? "a label off the sheet; " : "";
    for (const picture::LabelSymbol& symbol : picture.symbols) {
      found += picture::meets(symbol.box, box) ? "label " + std::to_string(i) + " on a sign; " : "";
    }
    for (const picture::LabelSegment& line : picture.lines) {
      found += picture::meets(line, box) ? "label " + std::to_string(i) + " on a line; " : "";
    }
    for (std::size_t j = 0; j < picture.labels.size(); ++j) {
      if (j != i && picture::meets(box, picture.labels[j])) {
        found += "labels " + std::to_string(i) + " and " + std::to_string(j) + "; ";
      }
      if (j != i && j < picture.leaders.size() && picture::meets(picture.leaders[j], box)) {
        found += "leader " + std::to_string(j) + " on label " + std::to_string(i) + "; ";
      }
    }
  }
  return found;
}

/// Leaders that are drawn along or across a duct, through a sign or across another leader.
inline std::string crossed(const picture::RoutePicture& picture) {
  std::string found;
  const auto cross = [](const SvgPoint& o, const SvgPoint& a, const SvgPoint& b) {
    return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
  };
  const auto meet = [&cross](const LabelSegment& a, const LabelSegment& b) {
    return cross(a.from, a.to, b.from) * cross(a.from, a.to, b.to) < 0.0 &&
           cross(b.from, b.to, a.from) * cross(b.from, b.to, a.to) < 0.0;
  };
  for (std::size_t i = 0; i < picture.leaders.size(); ++i) {
    LabelSegment leader = picture.leaders[i];
    const double length = std::hypot(leader.to.x - leader.from.x, leader.to.y - leader.from.y);
    if (!picture::is_shown(leader)) {
      continue;
    }
    const std::string name = "leader " + std::to_string(i);
    for (std::size_t j = 0; j < picture.leaders.size(); ++j) {
      found += j != i && meet(leader, picture.leaders[j]) ? name + " on another; " : "";
    }
    // The first of it lies on its own line and in its own sign.
    const double skip = picture::kOwnPx / length;
    leader.from = {leader.from.x + skip * (leader.to.x - leader.from.x),
                   leader.from.y + skip * (leader.to.y - leader.from.y)};
    for (const LabelSegment& line : picture.lines) {
      const bool beside = distance(leader.from, line) < 2.0 || distance(leader.to, line) < 2.0;
      found += meet(leader, line) || beside ? name + " on a duct; " : "";
    }
    for (const picture::LabelSymbol& symbol : picture.symbols) {
      // What begins inside a sign has to leave it.
      const bool foreign = symbol.owner != picture.label_owners[i] &&
                           !picture::holds(symbol.box, picture.leaders[i].from);
      found += foreign && picture::meets(leader, symbol.box) ? name + " on a sign; " : "";
    }
  }
  return found;
}

/// Labels whose leader ends nearer to another piece than to their own.
inline std::string astray(const picture::RoutePicture& picture) {
  std::string found;
  for (std::size_t i = 0; i < picture.leaders.size(); ++i) {
    const int owner = picture.label_owners[i];
    const double own = distance_to(picture, picture.leaders[i].to, owner);
    for (const LabelSegment& line : picture.lines) {
      if (owner >= 0 && own < 1e8 && line.owner != owner &&
          distance(picture.leaders[i].to, line) < own - 0.01) {
        found += "label " + std::to_string(i) + " is nearer to piece " +
                 std::to_string(line.owner) + "; ";
        break;
      }
    }
  }
  return found;
}

/// Directions that differ and are drawn alike, with no plane shown to tell them apart.
inline std::string alike(const picture::RoutePicture& picture) {
  std::string found;
  const auto angle = [](const SvgPoint& a, const SvgPoint& b) {
    return std::atan2(std::abs(a.x * b.y - a.y * b.x), std::abs(a.x * b.x + a.y * b.y));
  };
  const auto seen = [](const SvgPoint& way) { return way.x != 0.0 || way.y != 0.0; };
  for (const DrawnHeading& one : picture.headings) {
    for (const DrawnHeading& other : picture.headings) {
      const bool differ = std::abs(layout::dot(one.heading, other.heading)) < 1.0 - 1e-6;
      if (differ && seen(one.way) && seen(other.way) && !one.hatched && !other.hatched &&
          angle(one.way, other.way) < picture::kTellApartRad - 1e-9) {
        found += "two directions drawn alike; ";
      }
    }
  }
  return found;
}

}  // namespace ductledger::test
