#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kWarnShare = 0.70;  // of an airflow rated at a pressure
constexpr double kNoteShare = 0.60;  // of free air, which no duct lets through

std::vector<Finding> share_of_rated_low(const result::Case& subject) {
  const result::SpeedResult* speed = headline(subject);
  // Below the curve its first airflow is an upper bound, and so is the share.
  const bool below = speed != nullptr && speed->point.status == solve::Status::below_curve;
  const std::optional<double> delivered =
      below ? std::optional(speed->point.airflow_m3_s) : delivered_m3_s(subject);
  if (!delivered || !speed->rated || speed->rated->airflow_m3_s <= 0.0) {
    return {};
  }
  const solve::RatedAirflow& rated = *speed->rated;
  const bool at_pressure = rated.basis == solve::RatedAirflow::Basis::rating_at_pressure;
  const double share = *delivered / rated.airflow_m3_s;
  const double bound = at_pressure ? kWarnShare : kNoteShare;
  if (share >= bound) {
    return {};
  }
  units::Message message{
      spoken(*speed) + (below ? " delivers less than {}, {} of " : " delivers {}, {} of "),
      {airflow(*delivered), ratio(share)}};
  if (at_pressure) {
    append(message,
           {"the {} rated at {}", {airflow(rated.airflow_m3_s), pressure(rated.pressure_pa)}});
  } else if (rated.basis == solve::RatedAirflow::Basis::free_air) {
    append(message, {"the {} of free air", {airflow(rated.airflow_m3_s)}});
  } else {
    append(message, {"the {} where its curve ends", {airflow(rated.airflow_m3_s)}});
  }
  append(message,
         {std::string(", ") + just({share, bound, units::Dimension::ratio}) + "under {}",
          {ratio(bound)}});
  Finding found = finding(kShareOfRatedLow,
                          {.level = at_pressure ? Level::warn : Level::note,
                           .message = std::move(message),
                           .span = subject.layout->fan->speeds[speed->index].span});
  if (!at_pressure) {
    found.source = "common practice";
  }
  found.observed = {{"airflow_m3_s", *delivered}, {"share", share}};
  found.limit = {{"share", bound}};
  return {std::move(found)};
}

}  // namespace

const Check kShareOfRatedLow{
    .code = "share-of-rated-low",
    .title = "far less air delivered than the label says",
    .what =
        "the delivered over the rated airflow of the highest speed that is not locked "
        "out: a warning under 70 % of an airflow rated at a pressure, a note under 60 % "
        "of free air or of the end of the curve",
    .why =
        "10 of 15 installed cooking exhaust devices that were measured delivered 70 % or "
        "less of what their literature says; the duct decides",
    .instead = "see which piece has the largest loss",
    .source =
        "Singer, Delp, Price, Apte, Performance of installed cooking exhaust devices, "
        "Indoor Air 22(3), 2012",
    .check = share_of_rated_low,
};

}  // namespace ductledger::findings
