#pragma once

#include <vector>

#include "numeric/hermite.hpp"
#include "solve/loss.hpp"

namespace ductledger::house {

/// The loss law of a makeup duct as a monotone piecewise cubic at even airflows, for who asks it
/// thousands of times: samples. Against the law itself it is off by about a part in 1e6 where a
/// tenth of its range flows, by less beyond. Answers are solved with the law.
/// @source fritsch-butland-1984
class PathTable {
 public:
  /// @param law rises with airflow
  explicit PathTable(const solve::RunLoss& law);

  /// Airflow [m3/s] at which it ends: where the duct takes 300 Pa or more.
  [[nodiscard]] double highest_m3_s() const noexcept { return highest_m3_s_; }
  struct Value {
    double pressure_pa = 0.0;
    double slope_pa_s_m3 = 0.0;
  };
  /// Allocates nothing. @param airflow_m3_s [m3/s] 0 to below `highest_m3_s`
  [[nodiscard]] Value at(double airflow_m3_s) const noexcept;

 private:
  double highest_m3_s_ = 0.0;
  double step_m3_s_ = 0.0;
  std::vector<numeric::Cubic> cubics_;  // [kSteps]
};

}  // namespace ductledger::house
