#pragma once

#include <cstddef>
#include <vector>

/// A result laid out for pictures: curves read at many airflows, pressures along the run.
namespace ductledger::study {

struct CheckResult;

struct CurvePoint {
  double airflow_m3_s = 0.0;
  double static_pressure_pa = 0.0;  ///< of the fan: total less its outlet's velocity pressure
};

/// A fan as it runs, over its printed range; nothing is read beyond.
struct FanTrace {
  std::size_t speed = 0;  ///< index in result.speeds
  std::vector<CurvePoint> points;
  std::vector<CurvePoint> printed;      ///< at the printed points alone
  std::vector<CurvePoint> other_shape;  ///< two points: the straight line through them
};

struct Curves {
  std::vector<FanTrace> fans;
  /// What the run asks of a fan, from no airflow up, against the room that this airflow draws down.
  std::vector<CurvePoint> run;
};
/// Nothing where neither a fan nor an airflow is known.
[[nodiscard]] Curves curves(const CheckResult& result);

/// The pressures of the shown ledger where each piece ends.
struct ProfilePoint {
  double way_m = 0.0;  ///< along the centre line; legs of elbows counted where headings are known
  double total_pressure_pa = 0.0;
  double static_pressure_pa = 0.0;
  std::size_t row = 0;  ///< in the ledger
};
[[nodiscard]] std::vector<ProfilePoint> profile(const CheckResult& result);

}  // namespace ductledger::study
