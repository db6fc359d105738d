#include "sheet/dimensions.hpp"

#include <algorithm>
#include <cmath>

namespace ductledger::sheet {
namespace {

constexpr double kFirstMm = 5.0;  ///< from the view to the dimension line
constexpr double kDimensionMm = 2.2;
constexpr double kTickMm = 0.9;
constexpr double kJogMm = 4.0;    ///< from the dimension line to the texts
constexpr double kApartMm = 3.6;  ///< between texts

}  // namespace

std::vector<double> spread(const std::vector<double>& wanted, double apart) {
  // Least squares: neighbors that come too close move together.
  struct Group {
    double sum = 0.0;
    std::size_t count = 0;
    [[nodiscard]] double mean() const { return sum / static_cast<double>(count); }
  };
  std::vector<Group> groups;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    groups.push_back({wanted[i] - apart * static_cast<double>(i), 1});
    while (groups.size() > 1 && groups[groups.size() - 2].mean() > groups.back().mean()) {
      const Group last = groups.back();
      groups.pop_back();
      groups.back().sum += last.sum;
      groups.back().count += last.count;
    }
  }
  std::vector<double> places;
  for (const Group& group : groups) {
    for (std::size_t i = 0; i < group.count; ++i) {
      places.push_back(group.mean() + apart * static_cast<double>(places.size()));
    }
  }
  return places;
}

std::array<Point, 2> add_dimensions(Drawing& drawing,
                                    const Datum& datum,
                                    std::vector<Measured> measures) {
  const bool left = datum.side == Side::left;
  const auto along = [left](const Point& p) { return left ? p.y : p.x; };
  const auto across = [left](const Point& p) { return left ? p.x : p.y; };
  const auto point = [left](double at, double level) {
    return left ? Point{level, at} : Point{at, level};
  };
  const auto line = [&](std::vector<Point> points) {
    drawing.lines.push_back({.layer = Layer::dimension, .points = std::move(points)});
  };
  std::ranges::stable_sort(measures, {}, [&](const Measured& one) { return along(one.at); });
  const double gap = drawing.paper_m(1.0);
  const double tick = drawing.paper_m(kTickMm);
  const double level = datum.edge_m - drawing.paper_m(kFirstMm);
  double low = datum.at_m;
  double high = datum.at_m;
  std::vector<double> wanted;
  for (const Measured& one : measures) {
    low = std::min(low, along(one.at));
    high = std::max(high, along(one.at));
    wanted.push_back(along(one.at));
  }
  double from = low;
  for (const auto& [begins, ends] : datum.gaps) {
    if (begins > low && ends < high) {
      line({point(from, level), point(begins, level)});
      from = ends;
      for (const double at : {begins, ends}) {
        line({point(at - tick / 2.0, level + 1.5 * tick),
              point(at + tick / 2.0, level - 1.5 * tick)});
      }
    }
  }
  if (high > from) {
    line({point(from, level), point(high, level)});
  }
  const double jog = drawing.paper_m(kJogMm);
  const double apart = drawing.paper_m(kApartMm);
  const double beside = drawing.paper_m(0.8);
  const double middle = drawing.paper_m(kDimensionMm / 2.0);
  const auto say = [&](const Point& at, const std::string& text, Anchor anchor) {
    drawing.texts.push_back({.layer = Layer::dimension,
                             .at = at,
                             .height_mm = kDimensionMm,
                             .text = text,
                             .anchor = anchor});
  };
  const std::vector<double> places = left ? spread(wanted, apart) : wanted;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    const double at = wanted[i];
    const double begins = across(measures[i].at) - gap;
    if (begins > level) {
      line({point(at, begins), point(at, level)});
    }
    if (at == datum.at_m) {
      drawing.circles.push_back({Layer::dimension, point(at, level), tick});
    } else {
      line({point(at - tick, level - tick), point(at + tick, level + tick)});
    }
    if (left) {
      line({{level, at}, {level - jog, places[i]}});
      say({level - jog - beside, places[i] - middle}, measures[i].text, Anchor::end);
    } else {
      // Steps: the text of the leftmost stands lowest, so that no line comes down through a text.
      const double row = level - jog - apart * static_cast<double>(measures.size() - 1 - i);
      line({{at, level}, {at, row}});
      say({at + beside, row}, measures[i].text, Anchor::start);
    }
  }
  return {point(low, level), point(high, level)};
}

}  // namespace ductledger::sheet
