#include "study/difference.hpp"

namespace ductledger::study {

Difference difference(const SpeedOf& a, const SpeedOf& b) {
  Difference out;
  out.airflow_m3_s = a.speed.point.airflow_m3_s - b.speed.point.airflow_m3_s;
  return out;
}

}  // namespace ductledger::study
