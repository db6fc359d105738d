#include <algorithm>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

/// A curve of a blower that stalls dips by a third; a slip of the decimal point is ten times.
constexpr double kTimesNeighbours = 4.0;

/// The first point that stands above or below both neighbours by more than that, or nothing.
const fan::FanPoint* alone(const std::vector<fan::FanPoint>& curve) {
  for (std::size_t i = 1; i + 1 < curve.size(); ++i) {
    const double here_pa = curve[i].pressure_pa;
    const auto [least_pa, most_pa] =
        std::minmax(curve[i - 1].pressure_pa, curve[i + 1].pressure_pa);
    if (here_pa > kTimesNeighbours * most_pa || kTimesNeighbours * here_pa < least_pa) {
      return &curve[i];
    }
  }
  return nullptr;
}

std::vector<Finding> fan_point_alone(const result::Case& subject) {
  std::vector<Finding> all;
  if (!subject.layout->fan) {
    return all;
  }
  for (const layout::Speed& speed : subject.layout->fan->speeds) {
    const fan::FanPoint* point = alone(speed.curve);
    if (point == nullptr) {
      continue;
    }
    Finding found =
        finding(kFanPointAlone,
                {.level = Level::warn,
                 .message = {spoken(speed) +
                                 ": the point {} at {} stands alone, far off both its neighbors",
                             {airflow(point->airflow_m3_s), pressure(point->pressure_pa)}},
                 .span = speed.span});
    found.observed = {{"airflow_m3_s", point->airflow_m3_s}, {"pressure_pa", point->pressure_pa}};
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

const Check kFanPointAlone{
    .code = "fan-point-alone",
    .title = "a point of the fan curve stands alone",
    .what =
        "each point of a curve between two others, whose pressure is over four times both or "
        "under a quarter of both",
    .why = "no blower does so; a decimal point has slipped, and the curve bends to it",
    .instead = "check the point against the manufacturer's curve",
    .source = "common practice",
    .check = fan_point_alone,
};

}  // namespace ductledger::findings
