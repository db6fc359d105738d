#include "study/curves.hpp"

#include <algorithm>

#include "study/check.hpp"

namespace ductledger::study {
namespace {

constexpr int kSteps = 60;

double outlet_pa(const solve::CompiledRun& run, double airflow_m3_s) {
  return run.outlet_dynamic_pa_s2_m6 * airflow_m3_s * airflow_m3_s;
}

CurvePoint fan_point(const solve::CompiledRun& run,
                     const solve::FanAtSpeed& fan,
                     double airflow_m3_s) {
  const double total_pa =
      fan.curve.pressure_pa(airflow_m3_s) + fan.dynamic_pa_s2_m6 * airflow_m3_s * airflow_m3_s;
  return {airflow_m3_s, total_pa - outlet_pa(run, airflow_m3_s)};
}

std::vector<CurvePoint> trace(const solve::CompiledRun& run, const solve::FanAtSpeed& fan) {
  std::vector<CurvePoint> points;
  const double first_m3_s = fan.curve.first_airflow_m3_s();
  const double last_m3_s = fan.curve.last_airflow_m3_s();
  for (int i = 0; i <= kSteps; ++i) {
    const double airflow_m3_s =
        i == kSteps ? last_m3_s : first_m3_s + (last_m3_s - first_m3_s) * i / kSteps;
    points.push_back(fan_point(run, fan, airflow_m3_s));
  }
  return points;
}

}  // namespace

Curves curves(const CheckResult& result) {
  Curves all;
  double highest_m3_s = 0.0;
  double highest_pa = 0.0;
  for (std::size_t i = 0; i < result.speeds.size(); ++i) {
    const solve::SpeedFan& fan = result.speeds[i].fan;
    if (!fan.fan) {
      continue;
    }
    FanTrace one{
        .speed = i, .points = trace(result.run, *fan.fan), .printed = {}, .other_shape = {}};
    for (const double knot_m3_s : fan.fan->curve.knots_m3_s()) {
      one.printed.push_back(fan_point(result.run, *fan.fan, knot_m3_s));
    }
    if (fan.other_shape) {
      one.other_shape = trace(result.run, *fan.other_shape);
    }
    highest_m3_s = std::max(highest_m3_s, fan.fan->curve.last_airflow_m3_s());
    for (const CurvePoint& point : one.points) {
      highest_pa = std::max(highest_pa, point.static_pressure_pa);
    }
    all.fans.push_back(std::move(one));
  }
  for (const ResistancePoint& point : result.resistance) {
    highest_m3_s = std::max(highest_m3_s, point.at_rating_pressure ? 0.0 : point.airflow_m3_s);
  }
  const solve::Demand demand = house::demand(result.run, result.house);
  for (int i = 0; i <= kSteps && highest_m3_s > 0.0; ++i) {
    const double airflow_m3_s = highest_m3_s * i / kSteps;
    const double static_pa = demand.static_pa(airflow_m3_s);
    if (highest_pa > 0.0 && static_pa > 1.1 * highest_pa) {
      break;
    }
    all.run.push_back({airflow_m3_s, static_pa});
  }
  return all;
}

std::vector<ProfilePoint> profile(const CheckResult& result) {
  std::vector<ProfilePoint> points;
  if (!result.ledger_speed || !result.speeds[*result.ledger_speed].ledger) {
    return points;
  }
  const auto& rows = result.speeds[*result.ledger_speed].ledger->rows;
  double way_m = 0.0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const solve::LedgerRow& row = rows[i];
    way_m += row.length_m;
    if (result.route && row.piece_index >= 0) {
      const auto& legs_m = result.route->pieces[static_cast<std::size_t>(row.piece_index)].legs_m;
      way_m += legs_m[0] + legs_m[1];
    }
    points.push_back({.way_m = way_m,
                      .total_pressure_pa = row.total_pressure_after_pa,
                      .static_pressure_pa = row.static_pressure_after_pa,
                      .row = i});
  }
  return points;
}

}  // namespace ductledger::study
