#include "solve/demand.hpp"

#include <algorithm>

namespace ductledger::solve {

double Demand::slope_pa_s_m3(double airflow_m3_s) const noexcept {
  const double step_m3_s = 1e-4 * std::max(airflow_m3_s, 1e-3);
  const double low_m3_s = std::max(airflow_m3_s - step_m3_s, 0.0);
  const double high_m3_s = airflow_m3_s + step_m3_s;
  return (total_pa(high_m3_s) - total_pa(low_m3_s)) / (high_m3_s - low_m3_s);
}

Demand demand(const CompiledRun& run) noexcept {
  return {.loss = run.loss,
          .ends = {.start_pa = 0.0,
                   .end_pa = run.air.wind_pa + run.air.back_pressure_pa - run.air.stack_pa},
          .room = {},
          .outlet_dynamic_pa_s2_m6 = run.outlet_dynamic_pa_s2_m6};
}

}  // namespace ductledger::solve
