#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "result/requirement.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> delivered_below_required(const result::Case& subject) {
  using State = result::Requirement::State;
  const std::optional<result::Requirement> requirement = result::requirement(subject);
  if (!requirement || !requirement->by || requirement->state == State::met) {
    return {};
  }
  const result::SpeedResult& speed = subject.speeds[*requirement->by];
  const double required_m3_s = requirement->required_m3_s;
  const double airflow_m3_s = speed.point.airflow_m3_s;
  const bool no_flow = speed.point.status == solve::Status::no_flow;
  const bool fails = requirement->state == State::not_met;
  units::Message message{spoken(speed) + " delivers ", {}};
  if (no_flow) {
    append(message, {"nothing from rest, {} required", {airflow(required_m3_s)}});
  } else if (!result::band_of(speed)) {
    append(message,
           {"{}, " + just({airflow_m3_s, required_m3_s, units::Dimension::airflow}) +
                "below the {} required",
            {airflow(airflow_m3_s), airflow(required_m3_s)}});
  } else {
    append(message, delivered_words(speed));
    append(message,
           {fails ? ", below the {} required" : ": the {} required are not shown",
            {airflow(required_m3_s)}});
    if (!fails && result::on_assumed_shape(subject, speed)) {
      append(message, {", since the fan's shape is assumed", {}});
    }
  }
  Finding found = finding(kDeliveredBelowRequired,
                          {.level = fails ? Level::fail : Level::warn,
                           .message = std::move(message),
                           .span = subject.layout->appliance.required_span});
  if (!fails && result::on_assumed_shape(subject, speed)) {
    found.remedy = {"state two points of the manufacturer's curve, an airflow at a pressure each",
                    {}};
  } else if (!fails && result::bounds_of(speed)) {
    found.remedy = {"state more of the manufacturer's curve, or take losses out of the run", {}};
  }
  found.observed = {{"airflow_m3_s", no_flow ? 0.0 : airflow_m3_s}};
  found.limit = {{"airflow_m3_s", required_m3_s}};
  return {std::move(found)};
}

}  // namespace

const Check kDeliveredBelowRequired{
    .code = "delivered-below-required",
    .title = "less air delivered than required",
    .what =
        "the delivered airflow of the highest speed that is not locked out, with its band"
        ", against `required_airflow`: a failure where the airflow itself is below it, a "
        "warning where only the band's low end is, since that does not show it met",
    .why = "the required airflow is what the design counts on, to clear smoke, moisture or lint",
    .instead =
        "see which piece has the largest loss: a larger section, fewer or smoother elbows or "
        "another cap",
    .source = "the required airflow stated in the layout",
    .check = delivered_below_required,
};

}  // namespace ductledger::findings
