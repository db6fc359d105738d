#include "numeric/table.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/expects.hpp"

namespace ductledger::numeric {
namespace {

bool all_finite(std::span<const double> numbers) {
  return std::all_of(numbers.begin(), numbers.end(), [](double v) { return std::isfinite(v); });
}

/// The cell of a coordinate: a lower node, and how far beyond it as a share of the cell.
struct Place {
  std::size_t node = 0;
  double share = 0.0;  ///< 0 to 1; 0 at the last node
  AxisPlace place = AxisPlace::inside;
};

Place place_on(std::span<const double> nodes, double coordinate) {
  if (coordinate < nodes.front()) {
    return {.place = AxisPlace::below};
  }
  const std::size_t last = nodes.size() - 1;
  if (coordinate >= nodes.back()) {
    return {.node = last,
            .place = coordinate > nodes.back() ? AxisPlace::above : AxisPlace::inside};
  }
  const auto next = std::upper_bound(nodes.begin(), nodes.end(), coordinate);
  const auto node = static_cast<std::size_t>(next - nodes.begin()) - 1;
  return {.node = node, .share = (coordinate - nodes[node]) / (nodes[node + 1] - nodes[node])};
}

}  // namespace

std::variant<Table, Table::Fault> Table::from(std::vector<std::vector<double>> axes,
                                              std::vector<double> values) {
  if (axes.empty() || axes.size() > kMaxAxes) {
    return Fault::axis_count;
  }
  std::size_t size = 1;
  for (const auto& nodes : axes) {
    if (nodes.empty()) {
      return Fault::empty_axis;
    }
    if (!all_finite(nodes)) {
      return Fault::not_finite;
    }
    const auto not_less = [](double a, double b) { return a >= b; };
    if (std::adjacent_find(nodes.begin(), nodes.end(), not_less) != nodes.end()) {
      return Fault::not_ascending;
    }
    size *= nodes.size();
  }
  if (values.size() != size) {
    return Fault::wrong_size;
  }
  if (!all_finite(values)) {
    return Fault::not_finite;
  }
  Table table;
  table.axes_ = std::move(axes);
  table.values_ = std::move(values);
  return table;
}

TableValue Table::at(std::span<const double> coordinates) const {
  DUCTLEDGER_EXPECTS(coordinates.size() == axes_.size());
  std::array<Place, kMaxAxes> places{};
  TableValue result;
  for (std::size_t i = 0; i < axes_.size(); ++i) {
    DUCTLEDGER_EXPECTS(!std::isnan(coordinates[i]));
    places[i] = place_on(axes_[i], coordinates[i]);
    result.places[i] = places[i].place;
  }
  // Each corner of the cell weighs in with the product of its shares. A corner of no weight is
  // passed over: beyond the last node there is none to read.
  const std::size_t corners = std::size_t{1} << axes_.size();
  for (std::size_t corner = 0; corner < corners; ++corner) {
    double weight = 1.0;
    std::size_t index = 0;
    for (std::size_t i = 0; i < axes_.size(); ++i) {
      const bool upper = ((corner >> i) & 1U) != 0U;
      weight *= upper ? places[i].share : 1.0 - places[i].share;
      index = index * axes_[i].size() + places[i].node + (upper ? 1U : 0U);
    }
    if (weight > 0.0) {
      result.value += weight * values_[index];
    }
  }
  return result;
}

std::span<const double> Table::axis(std::size_t axis) const {
  DUCTLEDGER_EXPECTS(axis < axes_.size());
  return axes_[axis];
}

}  // namespace ductledger::numeric
