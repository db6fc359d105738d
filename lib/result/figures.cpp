#include "result/figures.hpp"

#include "units/constants.hpp"

namespace ductledger::result {
namespace {

Bound bound_of(solve::Status status) noexcept {
  switch (status) {
    case solve::Status::found:
    case solve::Status::no_flow:
      return Bound::exact;
    case solve::Status::beyond_curve:
      return Bound::at_least;
    case solve::Status::below_curve:
      return Bound::at_most;
    case solve::Status::not_determined:
    case solve::Status::no_fan:
      break;
  }
  return Bound::none;
}

}  // namespace

Figures figures(const SpeedResult& speed, const solve::CompiledRun& run) {
  const solve::OperatingPoint& point = speed.point;
  Figures of;
  of.bound = bound_of(point.status);
  if (of.bound == Bound::none) {
    return of;
  }
  of.airflow_m3_s = point.status == solve::Status::no_flow ? 0.0 : point.airflow_m3_s;
  of.standard_airflow_m3_s = of.airflow_m3_s * run.air.density_kg_m3 / units::kStandardDensityKgM3;
  of.static_pressure_pa = point.total_pressure_pa -
                          run.outlet_dynamic_pa_s2_m6 * point.airflow_m3_s * point.airflow_m3_s;
  if (speed.rated && speed.rated->airflow_m3_s > 0.0) {
    of.share_of_rated = of.airflow_m3_s / speed.rated->airflow_m3_s;
  }
  return of;
}

}  // namespace ductledger::result
