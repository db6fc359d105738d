#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "findings/house_words_internal.hpp"
#include "findings/worst_speed_internal.hpp"

namespace ductledger::findings {
namespace {

/// What would keep the house at the limit, solved with the fan against it.
[[nodiscard]] units::Message remedy(const house::SpeedHouse& at, const std::string& lower_speed) {
  units::Message words{"powered makeup air interlocked with the appliance", {}};
  const auto& limit = at.at_limit;
  if (limit && limit->missing_m3_s > 0.0) {
    append(words, {" that brings {}", {airflow(limit->missing_m3_s)}});
  }
  if (limit && limit->opening) {
    append(words,
           {", or an opening of {} free area ({} round, discharge coefficient " +
                fmt::format("{:.2g}", limit->opening->discharge_coefficient) +
                ") that opens without a pressure difference; a motorized damper does, a gravity "
                "damper does not",
            {{limit->opening->free_area_m2, units::Dimension::area},
             length(limit->opening->round_diameter_m)}});
  }
  append(words, {"; or a sealed-combustion appliance", {}});
  if (!lower_speed.empty()) {
    append(words, {"; or no speed above " + literal(lower_speed), {}});
  }
  return words;
}

/// The strongest speed that stays within the limit; empty: none does.
[[nodiscard]] std::string speed_within(const result::Case& subject) {
  const result::SpeedResult* best = nullptr;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (!speed.locked_out && speed.house && speed.house->verdict == house::Verdict::met &&
        (best == nullptr || speed.point.airflow_m3_s > best->point.airflow_m3_s)) {
      best = &speed;
    }
  }
  return best == nullptr ? std::string() : best->name;
}

std::vector<Finding> house_depressurised(const result::Case& subject) {
  const result::SpeedResult* speed = worst_speed(subject);
  if (speed == nullptr) {
    return {};
  }
  const house::SpeedHouse& at = *speed->house;
  const std::optional<house::Limit> limit = house::limit_of(*subject.layout->house);
  if (!limit || at.verdict == house::Verdict::met || at.verdict == house::Verdict::no_limit) {
    return {};
  }
  units::Message message = depressurization_words(*speed);
  const bool shown = at.verdict == house::Verdict::not_met;
  append(message, {(shown ? ", over " : ", not shown to stay within ") + limit_words(*limit), {}});
  Finding found = finding(kHouseDepressurised,
                          {.level = shown ? Level::fail : Level::warn,
                           .message = std::move(message),
                           .span = limit->span});
  found.observed = {{"depressurisation_pa", at.judged_depressurisation_pa}};
  found.limit = {{"depressurisation_pa", limit->pressure_pa}};
  found.remedy = remedy(at, speed_within(subject));
  found.source = sources_of(*limit);
  return {std::move(found)};
}

}  // namespace

const Check kHouseDepressurised{
    .code = "house-depressurised",
    .title = "the exhaust depressurizes the house too far",
    .what =
        "depressurization on the highest stable operating point, with its band (k = 2), against "
        "the lowest limit among the combustion appliances inside the air barrier; where lists "
        "disagree the stricter, all named",
    .why =
        "a natural-draft flue can backdraft and spill carbon monoxide into the room; a "
        "screening figure, not a spillage test",
    .instead = "makeup air, or sealed-combustion appliances",
    .source =
        "Building Performance Institute, Technical Standards for the Building Analyst "
        "Professional (recalled); Minnesota Mechanical Code 501.4.1 (worked out from its tables)",
    .check = house_depressurised,
};

}  // namespace ductledger::findings
