#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> fan_not_determined(const result::Case& subject) {
  std::vector<Finding> all;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.point.status != solve::Status::not_determined) {
      continue;
    }
    units::Message message{spoken(speed) + ": delivered airflow not determined", {}};
    if (!speed.fan.why_not.empty()) {
      append(message, {"; " + literal(speed.fan.why_not), {}});
    }
    if (speed.point.bounds) {
      append(message,
             {"; if the fan falls, the rating bounds it: {} to {}",
              {airflow(speed.point.bounds->low_m3_s), airflow(speed.point.bounds->high_m3_s)}});
    }
    Finding found = finding(kFanNotDetermined,
                            {.level = &speed == headline(subject) ? Level::warn : Level::note,
                             .message = std::move(message),
                             .span = subject.layout->fan->speeds[speed.index].span});
    mark_other(subject, speed, found);
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

const Check kFanNotDetermined{
    .code = "fan-not-determined",
    .title = "too little is known of the fan",
    .what = "a speed of which neither a curve nor enough ratings are stated",
    .why =
        "a free-air figure, or one rating of a fan whose kind has no published drop, "
        "gives no operating point",
    .instead = "state a curve, or a second rating at another pressure",
    .source = "common practice",
    .check = fan_not_determined,
};

}  // namespace ductledger::findings
