#pragma once

#include <array>
#include <vector>

#include "picture/plot.hpp"
#include "study/curves.hpp"

/// How curves of fans and runs are told apart in every chart.
namespace ductledger::picture {

inline constexpr std::array kDashes{Dash::solid, Dash::dashed, Dash::dash_dot, Dash::dotted};
inline constexpr std::array kMarks{
    Mark::dot, Mark::square, Mark::diamond, Mark::triangle, Mark::ring};

/// Static pressure over airflow.
[[nodiscard]] inline std::vector<PlotPoint> plotted(const std::vector<study::CurvePoint>& points) {
  std::vector<PlotPoint> out;
  out.reserve(points.size());
  for (const study::CurvePoint& point : points) {
    out.push_back({.x = point.airflow_m3_s, .y = point.static_pressure_pa});
  }
  return out;
}

}  // namespace ductledger::picture
