#include "fitting/measured_drop.hpp"

#include <cmath>
#include <cstddef>
#include <numeric>

#include "base/expects.hpp"
#include "numeric/normal.hpp"

namespace ductledger::fitting {
namespace {

// A power nearer to 2 than this moves C by less than 4 % over a doubling of the airflow.
constexpr double kLeastTrend = 0.05;

double mean(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double loss_pa(const MeasuredDrop& drop, std::size_t i, double velocity_pressure_pa) {
  switch (drop.basis) {
    case DropBasis::total:
      return drop.pressure_pa[i];
    case DropBasis::static_at_cap:
      return drop.pressure_pa[i] + velocity_pressure_pa;
    case DropBasis::static_at_entry:
      return drop.pressure_pa[i] - velocity_pressure_pa;
  }
  return drop.pressure_pa[i];
}

void fit_exponent(MeasuredDrop& drop, const std::vector<double>& losses_pa) {
  const std::size_t n = losses_pa.size();
  std::vector<double> x(n);
  std::vector<double> y(n);
  for (std::size_t i = 0; i < n; ++i) {
    x[i] = std::log(drop.airflow_m3_s[i]);
    y[i] = std::log(losses_pa[i]);
  }
  const double mean_x = mean(x);
  const double mean_y = mean(y);
  double sxx = 0.0;
  double sxy = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    sxx += (x[i] - mean_x) * (x[i] - mean_x);
    sxy += (x[i] - mean_x) * (y[i] - mean_y);
  }
  drop.exponent = sxy / sxx;
  if (n < 3) {
    return;
  }
  double squares = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const double off = y[i] - mean_y - drop.exponent * (x[i] - mean_x);
    squares += off * off;
  }
  const double freedom = static_cast<double>(n) - 2.0;
  drop.exponent_error = std::sqrt(squares / freedom / sxx);
  const double t = numeric::inverse_students_t({.freedom = freedom, .probability = 0.975});
  const double off = std::abs(drop.exponent - 2.0);
  drop.trend = off > kLeastTrend && off > t * drop.exponent_error;
}

}  // namespace

bool fit(MeasuredDrop& drop) {
  const std::size_t n = drop.airflow_m3_s.size();
  DUCTLEDGER_EXPECTS(n >= 2 && drop.pressure_pa.size() == n);
  std::vector<double> losses_pa;
  drop.coefficient.clear();
  drop.residual.clear();
  for (std::size_t i = 0; i < n; ++i) {
    const double velocity_m_s = drop.airflow_m3_s[i] / drop.section.area_m2();
    const double velocity_pressure_pa = 0.5 * drop.density_kg_m3 * velocity_m_s * velocity_m_s;
    losses_pa.push_back(loss_pa(drop, i, velocity_pressure_pa));
    if (!(losses_pa.back() > 0.0)) {
      return false;
    }
    drop.coefficient.push_back(losses_pa.back() / velocity_pressure_pa);
  }
  drop.fitted = mean(drop.coefficient);
  double squares = 0.0;
  for (const double own : drop.coefficient) {
    drop.residual.push_back(own / drop.fitted - 1.0);
    squares += drop.residual.back() * drop.residual.back();
  }
  drop.residual_spread = std::sqrt(squares / (static_cast<double>(n) - 1.0));
  fit_exponent(drop, losses_pa);
  return true;
}

}  // namespace ductledger::fitting
