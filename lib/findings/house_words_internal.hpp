#pragma once

#include <fmt/format.h>

#include <string>

#include "findings/finding_internal.hpp"
#include "house/limits.hpp"
#include "result/case.hpp"

/// How checks speak of what a house is drawn down to, and of its limit.
namespace ductledger::findings {

/// House pressures are spoken of in pascal in either unit system, as blower doors and limits are.
[[nodiscard]] inline std::string pascal(double pressure_pa) {
  return fmt::format("{:.1f} Pa", pressure_pa == 0.0 ? 0.0 : pressure_pa);
}

/// `high speed at 412 cfm: house depressurization 12.3 Pa (9.8 to 15.0)`.
/// @param speed with a house and its band
[[nodiscard]] inline units::Message depressurization_words(const result::SpeedResult& speed) {
  const house::SpeedHouse& at = *speed.house;
  const std::string how =
      at.basis == house::AirflowBasis::rated_airflow ? spoken(speed) + " at its rated {}"
      : at.basis == house::AirflowBasis::bounds      ? spoken(speed) + " at {} at most"
                                                     : spoken(speed) + " at {}";
  return {how + ": house depressurization " + pascal(at.judged_depressurisation_pa) +
              fmt::format(" ({:.1f} to {:.1f})", at.band->low_pa, at.band->high_pa),
          {airflow(at.judged_airflow_m3_s)}};
}

/// `2.0 Pa, the limit beside a natural-draft-water-heater`.
[[nodiscard]] inline std::string limit_words(const house::Limit& limit) {
  std::string words = pascal(limit.pressure_pa) + ", the limit ";
  words += limit.appliance.empty() ? "where nothing draws its air from the room"
                                   : "beside a " + literal(limit.appliance);
  return words;
}

/// Every list that has the limit, with what it says.
[[nodiscard]] inline std::string sources_of(const house::Limit& limit) {
  std::string words;
  for (const house::ListedLimit& one : limit.listed) {
    words += (words.empty() ? "" : "; ") +
             fmt::format("{}: {:g} Pa ({})", one.title, one.pressure_pa, one.status);
  }
  return words;
}

}  // namespace ductledger::findings
