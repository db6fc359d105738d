#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> no_flow(const result::Case& subject) {
  std::vector<Finding> all;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.point.status != solve::Status::no_flow) {
      continue;
    }
    units::Message message{spoken(speed) + " moves no air from rest against {}",
                           {pressure(subject.demand().total_pa(0.0))}};
    if (const double flaps_pa = subject.run->loss.at(0.0); flaps_pa > 0.0) {
      append(message, {", {} of it what the run's flaps open at", {pressure(flaps_pa)}});
    }
    for (std::size_t i = speed.point.crossing_count; i > 0; --i) {
      if (speed.point.crossings[i - 1].stable) {
        append(message,
               {"; once moving it would settle at {}",
                {airflow(speed.point.crossings[i - 1].airflow_m3_s)}});
        break;
      }
    }
    const bool is_headline = &speed == headline(subject);
    Finding found = finding(
        kNoFlow,
        {.level = is_headline ? Level::fail : (speed.locked_out ? Level::note : Level::warn),
         .message = std::move(message),
         .span = subject.layout->fan->speeds[speed.index].span});
    found.observed = {{"airflow_m3_s", 0.0}};
    mark_other(subject, speed, found);
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

const Check kNoFlow{
    .code = "no-flow",
    .title = "the fan cannot start the air moving",
    .what =
        "a speed whose pressure without airflow does not exceed wind, stack and what flaps open at",
    .why = "the pressure at the ends of the run, or a flap's, is more than the fan makes from rest",
    .instead = "a fan that makes more pressure, a cap out of the wind, or a lighter flap",
    .source = "fan curve of the layout",
    .check = no_flow,
};

}  // namespace ductledger::findings
