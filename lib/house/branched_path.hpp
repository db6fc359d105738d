#pragma once

#include <vector>

namespace ductledger::house {

/// What a makeup path costs over its airflow, from points: in the logarithms of both a monotone
/// cubic (Fritsch-Butland slopes), which is straight where the loss is a power of the airflow.
/// Below the first point a straight line from rest, beyond the last one the square law. Immutable.
/// @source fritsch-butland-1984 slopes of the cubic
class BranchedPath {
 public:
  struct Point {
    double airflow_m3_s = 0.0;
    double loss_pa = 0.0;  ///< of total pressure
  };
  /// @param points [n], n >= 3, airflows above 0 at equal ratios, losses above 0 and rising
  /// @param at_rest_pa [Pa] what a flap holds back before any air flows
  BranchedPath(const std::vector<Point>& points, double at_rest_pa);

  /// @param airflow_m3_s [m3/s] 0 or more @return [Pa]. Allocates nothing.
  [[nodiscard]] double at(double airflow_m3_s) const noexcept;

 private:
  double first_ln_ = 0.0;
  double step_ln_ = 0.0;
  double at_rest_pa_ = 0.0;
  Point first_;
  Point last_;
  std::vector<double> ln_pa_;  // [n]
  std::vector<double> slope_;  // [n] d ln p / d ln q
};

}  // namespace ductledger::house
