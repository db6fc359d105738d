#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

[[nodiscard]] bool is_assumed(const result::SpeedResult& speed) {
  return speed.fan.origin == solve::CurveOrigin::two_points ||
         speed.fan.origin == solve::CurveOrigin::two_ratings ||
         speed.fan.origin == solve::CurveOrigin::one_rating ||
         speed.fan.origin == solve::CurveOrigin::free_air;
}

std::vector<Finding> fan_shape_assumed(const result::Case& subject) {
  // One finding a fan: the headline speed speaks for the others.
  const result::SpeedResult* speed = headline(subject);
  if (speed == nullptr || !is_assumed(*speed)) {
    speed = nullptr;
    for (const result::SpeedResult& other : subject.speeds) {
      if (is_assumed(other)) {
        speed = &other;
        break;
      }
    }
  }
  if (speed == nullptr) {
    return {};
  }
  const bool one = speed->fan.origin == solve::CurveOrigin::one_rating;
  const bool ratings = speed->fan.origin == solve::CurveOrigin::two_ratings;
  const bool free_air = speed->fan.origin == solve::CurveOrigin::free_air;
  units::Message message{
      spoken(*speed) + (free_air  ? ": the whole curve is assumed, a small blower's shape "
                                    "from the free-air airflow of the carton; its shut-off "
                                    "pressure may be twice or half"
                        : one     ? ": the curve is assumed from one rating"
                        : ratings ? ": the curve's shape is assumed from two ratings"
                                  : ": the curve's shape is assumed from two points"),
      {}};
  Finding found = finding(kFanShapeAssumed,
                          {.level = free_air ? Level::warn : Level::note,
                           .message = {},
                           .span = subject.layout->fan->speeds[speed->index].span});
  if (speed->point.status == solve::Status::found && speed->other_shape &&
      speed->other_shape->status == solve::Status::found) {
    const double parabola_m3_s = speed->point.airflow_m3_s;
    const double line_m3_s = speed->other_shape->airflow_m3_s;
    append(message,
           {"; a parabola gives {}, a straight line {}",
            {airflow(parabola_m3_s), airflow(line_m3_s)}});
    found.observed = {{"airflow_parabola_m3_s", parabola_m3_s}, {"airflow_line_m3_s", line_m3_s}};
  }
  found.message = std::move(message);
  if (one) {
    found.source =
        "laboratory study of more than 80 AC bath fans: 19 % less airflow from 0.1 to 0.25 inH2O, "
        "on average";
  }
  if (free_air) {
    found.source =
        "assumed; for a bath fan derived from a laboratory study of more than 80 AC bath fans";
    found.remedy = {"ask the manufacturer for the airflow at two pressures: this is no rating", {}};
  }
  mark_other(subject, *speed, found);
  return {std::move(found)};
}

}  // namespace

const Check kFanShapeAssumed{
    .code = "fan-shape-assumed",
    .title = "shape of the fan curve assumed",
    .what =
        "a speed of which two points, two ratings or one rating are known, or the free-air airflow "
        "alone with `blower: generic`",
    .why =
        "two points fit both curve shapes, a parabola and a straight line; between the points they "
        "agree well, beyond them they part",
    .instead = "state more points of the manufacturer's curve",
    .source = "common practice",
    .check = fan_shape_assumed,
};

}  // namespace ductledger::findings
