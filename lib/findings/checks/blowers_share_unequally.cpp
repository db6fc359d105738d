#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> blowers_share_unequally(const result::Case& subject) {
  std::vector<Finding> all;
  if (!subject.layout->fan || subject.layout->fan->count < 2) {
    return all;
  }
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.point.status != solve::Status::found || !speed.fan.fan ||
        speed.fan.fan->curve.slope(speed.point.airflow_m3_s) <= 0.0) {
      continue;
    }
    Finding found = finding(
        kBlowersShareUnequally,
        {.level = &speed == headline(subject) ? Level::warn : Level::note,
         .message = {spoken(speed) +
                         ": {} lies on the rising part of the curve; {} blowers in parallel may "
                         "share it unequally",
                     {airflow(speed.point.airflow_m3_s), number(subject.layout->fan->count)}},
         .span = subject.layout->fan->speeds[speed.index].span});
    mark_other(subject, speed, found);
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

const Check kBlowersShareUnequally{
    .code = "blowers-share-unequally",
    .title = "blowers in parallel on the rising part of their curve",
    .what =
        "more than one blower, and an operating point where the pressure of the curve "
        "rises with airflow",
    .why =
        "there two airflows of one blower make the same pressure, so that the blowers may"
        " settle at different ones",
    .instead =
        "open the run until the operating point lies on the falling part of the curve, or"
        " run one blower",
    .source = "trade bulletin on system surge, fan surge and fans in parallel",
    .check = blowers_share_unequally,
};

}  // namespace ductledger::findings
