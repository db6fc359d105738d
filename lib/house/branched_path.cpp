#include "house/branched_path.hpp"

#include <algorithm>
#include <cmath>

#include "base/expects.hpp"
#include "numeric/hermite.hpp"

namespace ductledger::house {

BranchedPath::BranchedPath(const std::vector<Point>& points, double at_rest_pa)
    : at_rest_pa_(at_rest_pa), slope_(points.size()) {
  DUCTLEDGER_EXPECTS(points.size() >= 3);
  std::vector<double> ln_m3_s;
  for (const Point& point : points) {
    DUCTLEDGER_EXPECTS(point.airflow_m3_s > 0.0 && point.loss_pa > 0.0);
    ln_m3_s.push_back(std::log(point.airflow_m3_s));
    ln_pa_.push_back(std::log(point.loss_pa));
  }
  first_ = points.front();
  last_ = points.back();
  first_ln_ = ln_m3_s.front();
  step_ln_ = (ln_m3_s.back() - first_ln_) / static_cast<double>(points.size() - 1);
  numeric::pchip_slopes({ln_m3_s, ln_pa_}, slope_);
}

double BranchedPath::at(double airflow_m3_s) const noexcept {
  if (airflow_m3_s <= first_.airflow_m3_s) {
    const double share = std::max(airflow_m3_s, 0.0) / first_.airflow_m3_s;
    return at_rest_pa_ + share * (first_.loss_pa - at_rest_pa_);
  }
  if (airflow_m3_s >= last_.airflow_m3_s) {
    const double ratio = airflow_m3_s / last_.airflow_m3_s;
    return last_.loss_pa * ratio * ratio;
  }
  const double along = (std::log(airflow_m3_s) - first_ln_) / step_ln_;
  const auto i = std::min(static_cast<std::size_t>(along), ln_pa_.size() - 2);
  const numeric::Cubic cubic = numeric::hermite_cubic(
      {.start = {ln_pa_[i], slope_[i]}, .end = {ln_pa_[i + 1], slope_[i + 1]}, .width = step_ln_});
  return std::exp(cubic.value((along - static_cast<double>(i)) * step_ln_));
}

}  // namespace ductledger::house
