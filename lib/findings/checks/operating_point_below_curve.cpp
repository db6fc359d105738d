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
    units::Message words{literal(speed.name) + " delivers less than {}, where its curve begins",
                         {airflow(speed.point.airflow_m3_s)}};
    say_estimate(speed, words);
    Finding found = finding(kOperatingPointBelowCurve,
                            {.level = &speed == headline(subject) ? Level::warn : Level::note,
                             .message = std::move(words),
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
    .why =
        "below the printed points no curve is known: the first point is an upper bound, and a fan "
        "that falls makes at least that point's pressure to its left, which bounds the airflow "
        "from below. That it falls is assumed, unless the curve rises somewhere",
    .instead = "give the curve down to no airflow, or open the run",
    .source = "fan curve of the layout",
    .check = check,
};

}  // namespace ductledger::findings
