#include <algorithm>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> check(const result::Case& subject) {
  const std::optional<double>& required = subject.layout->appliance.required_airflow_m3_s;
  const result::SpeedResult* speed = headline(subject);
  if (!required || speed == nullptr) {
    return {};
  }
  const double required_m3_s = *required * (1.0 - 1e-9);
  const double airflow_m3_s = speed->point.airflow_m3_s;
  const std::string name = literal(speed->name);
  const std::string near =
      just({airflow_m3_s, *required, units::Dimension::airflow}) + "below the {} required";

  const auto with_words = [&](const char* end) {
    units::Message words{name + " delivers ", {}};
    append(words, delivered_words(*speed));
    append(words, {end, {airflow(*required)}});
    return words;
  };

  Said said{.level = Level::fail, .message = {}, .span = subject.layout->appliance.required_span};
  switch (speed->point.status) {
    case solve::Status::found: {
      const std::optional<result::Band> band = airflow_band(*speed);
      // With two shapes of the curve neither answer is the better one.
      const double best_m3_s =
          speed->other_shape && speed->other_shape->status == solve::Status::found
              ? std::max(airflow_m3_s, speed->other_shape->airflow_m3_s)
              : airflow_m3_s;
      if (band ? band->low >= required_m3_s : airflow_m3_s >= required_m3_s) {
        return {};
      }
      if (!band) {
        said.message = {name + " delivers {}, " + near,
                        {airflow(airflow_m3_s), airflow(*required)}};
      } else if (best_m3_s < required_m3_s) {
        said.message = with_words(", below the {} required");
      } else {
        said.level = Level::warn;
        said.message = with_words(": the {} required are not shown");
      }
      break;
    }
    case solve::Status::beyond_curve:
    case solve::Status::below_curve: {
      const result::Band band = airflow_band(*speed).value_or(result::Band{0.0, airflow_m3_s});
      if (band.low >= required_m3_s) {
        return {};
      }
      if (band.high < required_m3_s) {
        said.message = with_words(", below the {} required");
      } else {
        said.level = Level::warn;
        said.message = with_words(": the {} required are not shown");
      }
      break;
    }
    case solve::Status::no_flow:
      said.message = {name + " delivers nothing from rest, {} required", {airflow(*required)}};
      break;
    default:
      return {};
  }
  Finding found = finding(kDeliveredBelowRequired, std::move(said));
  found.observed = {
      {"airflow_m3_s", speed->point.status == solve::Status::no_flow ? 0.0 : airflow_m3_s}};
  found.limit = {{"airflow_m3_s", *required}};
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
    .check = check,
};

}  // namespace ductledger::findings
