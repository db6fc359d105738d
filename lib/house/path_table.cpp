#include "house/path_table.hpp"

#include <algorithm>
#include <cstddef>

namespace ductledger::house {
namespace {

constexpr std::size_t kSteps = 1024;
constexpr double kHighestPa = 300.0;
constexpr double kMostM3S = 1e3;

}  // namespace

PathTable::PathTable(const solve::RunLoss& law) : highest_m3_s_(1e-3) {
  while (law.at(highest_m3_s_) < kHighestPa && highest_m3_s_ < kMostM3S) {
    highest_m3_s_ *= 1.25;
  }
  step_m3_s_ = highest_m3_s_ / static_cast<double>(kSteps);
  std::vector<double> q(kSteps + 1);
  std::vector<double> pressure(kSteps + 1);
  for (std::size_t i = 0; i <= kSteps; ++i) {
    q[i] = step_m3_s_ * static_cast<double>(i);
    pressure[i] = law.at(q[i]);
  }
  std::vector<double> slopes(kSteps + 1);
  numeric::pchip_slopes({q, pressure}, slopes);
  cubics_.reserve(kSteps);
  for (std::size_t i = 0; i < kSteps; ++i) {
    cubics_.push_back(numeric::hermite_cubic(
        {{pressure[i], slopes[i]}, {pressure[i + 1], slopes[i + 1]}, step_m3_s_}));
  }
}

PathTable::Value PathTable::at(double airflow_m3_s) const noexcept {
  const std::size_t i = std::min(static_cast<std::size_t>(airflow_m3_s / step_m3_s_), kSteps - 1);
  const double x = airflow_m3_s - step_m3_s_ * static_cast<double>(i);
  return {cubics_[i].value(x), cubics_[i].slope(x)};
}

}  // namespace ductledger::house
