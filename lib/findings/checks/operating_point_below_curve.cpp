#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> check(const result::Case& subject) {
  std::vector<Finding> all;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.point.status != solve::Status::below_curve) {
      continue;
    }
    Finding found =
        finding(kOperatingPointBelowCurve,
                {.level = &speed == headline(subject) ? Level::warn : Level::note,
                 .message = {literal(speed.name) + " delivers less than {}, where its curve begins",
                             {airflow(speed.point.airflow_m3_s)}},
                 .span = subject.layout->fan->speeds[speed.index].span});
    found.limit = {{"airflow_m3_s", speed.point.airflow_m3_s}};
    mark_other(subject, speed, found);
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

const Check kOperatingPointBelowCurve{
    .code = "operating-point-below-curve",
    .title = "less air than the fan curve shows",
    .what =
        "a speed whose pressure is below the losses where its curve begins, at an airflow"
        " above zero",
    .why = "below the printed points nothing is invented: the first point is an upper bound",
    .instead = "give the curve down to no airflow, or open the run",
    .source = "fan curve of the layout",
    .check = check,
};

}  // namespace ductledger::findings
