#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> several_operating_points(const result::Case& subject) {
  std::vector<Finding> all;
  for (const result::SpeedResult& speed : subject.speeds) {
    const solve::OperatingPoint& point = speed.point;
    if (point.status != solve::Status::found ||
        (point.crossing_count < 2 && !point.more_crossings)) {
      continue;
    }
    units::Message message{spoken(speed) + " starts at {}, but its curve crosses the losses at ",
                           {airflow(point.airflow_m3_s)}};
    std::vector<std::string> places;
    for (std::size_t i = 0; i < point.crossing_count; ++i) {
      places.emplace_back(point.crossings[i].stable ? "{}" : "{} (unstable)");
      message.values.push_back(airflow(point.crossings[i].airflow_m3_s));
    }
    message.pattern += listed(places) + (point.more_crossings ? " and more" : "");
    Finding found = finding(kSeveralOperatingPoints,
                            {.level = &speed == headline(subject) ? Level::warn : Level::note,
                             .message = std::move(message),
                             .span = subject.layout->fan->speeds[speed.index].span});
    mark_other(subject, speed, found);
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

const Check kSeveralOperatingPoints{
    .code = "several-operating-points",
    .title = "the fan may settle at several airflows",
    .what = "a speed whose curve crosses the losses more than once",
    .why =
        "from rest the fan settles at the lowest stable crossing; a gust may carry it to "
        "another",
    .instead = "open the run until one crossing is left",
    .source = "trade bulletin on system surge, fan surge and fans in parallel",
    .check = several_operating_points,
};

}  // namespace ductledger::findings
