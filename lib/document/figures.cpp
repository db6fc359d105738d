#include "document/figures.hpp"

#include <algorithm>

#include "layout/piece_number.hpp"
#include "units/constants.hpp"

namespace ductledger::document {

Airflow airflow(const result::SpeedResult& speed) {
  switch (speed.point.status) {
    case solve::Status::found:
      return {Bound::exact, speed.point.airflow_m3_s};
    case solve::Status::beyond_curve:
      return {Bound::at_least, speed.point.airflow_m3_s};
    case solve::Status::below_curve:
      return {Bound::at_most, speed.point.airflow_m3_s};
    case solve::Status::no_flow:
      return {Bound::exact, 0.0};
    case solve::Status::not_determined:
    case solve::Status::no_fan:
      break;
  }
  return {};
}

double standard_airflow_m3_s(const study::CheckResult& result, double airflow_m3_s) {
  return airflow_m3_s * result.run.air.density_kg_m3 / units::kStandardDensityKgM3;
}

double fan_static_pressure_pa(const study::CheckResult& result,
                              const solve::OperatingPoint& point) {
  return point.total_pressure_pa -
         result.run.outlet_dynamic_pa_s2_m6 * point.airflow_m3_s * point.airflow_m3_s;
}

std::optional<double> share_of_rated(const result::SpeedResult& speed) {
  const Airflow known = airflow(speed);
  if (known.bound == Bound::none || !speed.rated || speed.rated->airflow_m3_s <= 0.0) {
    return std::nullopt;
  }
  return known.airflow_m3_s / speed.rated->airflow_m3_s;
}

std::optional<int> shown_number(const solve::LedgerRow& row) {
  if (row.piece_index >= 0) {
    return layout::piece_number(static_cast<std::size_t>(row.piece_index));
  }
  return row.number >= 0 ? std::optional<int>(row.number) : std::nullopt;
}

const solve::LedgerRow* costliest(const solve::Ledger& ledger) {
  const solve::LedgerRow* most = nullptr;
  for (const solve::LedgerRow& row : ledger.rows) {
    if (row.number >= 0 && row.loss_pa > 0.0 && (most == nullptr || row.loss_pa > most->loss_pa)) {
      most = &row;
    }
  }
  return most;
}

}  // namespace ductledger::document
