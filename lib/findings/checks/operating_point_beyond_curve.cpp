#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> check(const result::Case& subject) {
  std::vector<Finding> all;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.point.status != solve::Status::beyond_curve) {
      continue;
    }
    units::Message words{literal(speed.name) + " delivers more than {}, where its curve ends",
                         {airflow(speed.point.airflow_m3_s)}};
    say_estimate(speed, words);
    Finding found = finding(kOperatingPointBeyondCurve,
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

const Check kOperatingPointBeyondCurve{
    .code = "operating-point-beyond-curve",
    .title = "more air than the fan curve shows",
    .what = "a speed whose pressure is still above the losses where its curve ends",
    .why =
        "beyond the printed points no curve is known: the end of the curve is a lower bound, and a "
        "fan that falls makes at most that end's pressure to its right, which bounds the airflow "
        "from above. That it falls is assumed, unless the curve rises somewhere",
    .instead = "give the curve out to free air",
    .source = "fan curve of the layout",
    .check = check,
};

}  // namespace ductledger::findings
