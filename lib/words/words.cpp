#include "words/words.hpp"

#include <fmt/format.h>

#include "base/text.hpp"
#include "document/figures.hpp"

namespace ductledger::words {

using units::Dimension;

std::string delivers(const result::SpeedResult& speed, units::System system) {
  const document::Airflow known = document::airflow(speed);
  std::string value = units::display(known.airflow_m3_s, Dimension::airflow, system);
  switch (known.bound) {
    case document::Bound::at_least:
      return "at least " + value;
    case document::Bound::at_most:
      return "at most " + value;
    case document::Bound::none:
      return "not determined";
    case document::Bound::exact:
      break;
  }
  if (speed.point.status == solve::Status::no_flow) {
    return "no airflow";
  }
  if (!speed.airflow_band_m3_s) {
    return value;
  }
  const std::string low =
      units::display_number(speed.airflow_band_m3_s->low, Dimension::airflow, system);
  const std::string high =
      units::display_number(speed.airflow_band_m3_s->high, Dimension::airflow, system);
  return low == high ? value : fmt::format("{} ({} to {})", value, low, high);
}

std::string answer(const result::SpeedResult& speed, units::System system) {
  const std::string name = base::escaped(speed.name);
  switch (speed.point.status) {
    case solve::Status::found:
      return fmt::format("{} delivers {}.", name, delivers(speed, system));
    case solve::Status::beyond_curve:
      return fmt::format("{} delivers {}: the fan curve ends before it meets the run.",
                         name,
                         delivers(speed, system));
    case solve::Status::below_curve:
      return fmt::format(
          "{} delivers {}: the run asks for more pressure than the first point of "
          "the fan curve shows.",
          name,
          delivers(speed, system));
    case solve::Status::no_flow:
      return fmt::format("{} moves no air: the fan cannot overcome the pressure against it.", name);
    case solve::Status::not_determined:
      return fmt::format("What {} delivers is not determined: {}.", name, speed.fan.why_not);
    case solve::Status::no_fan:
      break;
  }
  return "No fan is stated: below stands what the run asks of one.";
}

std::string share_of_rating(const result::SpeedResult& speed, units::System system) {
  if (!speed.rated) {
    return "";
  }
  const std::string rated = units::display(speed.rated->airflow_m3_s, Dimension::airflow, system);
  std::string basis;
  switch (speed.rated->basis) {
    case solve::RatedAirflow::Basis::rating_at_pressure:
      basis = "at " + units::display(speed.rated->pressure_pa, Dimension::pressure, system);
      break;
    case solve::RatedAirflow::Basis::free_air:
      basis = "free air";
      break;
    case solve::RatedAirflow::Basis::curve_end:
      basis = "end of curve";
      break;
  }
  const auto share = document::share_of_rated(speed);
  const document::Bound bound = document::airflow(speed).bound;
  const bool end_of_curve = speed.rated->basis == solve::RatedAirflow::Basis::curve_end;
  if (!share || (end_of_curve && bound == document::Bound::at_least)) {
    return fmt::format("{} ({})", rated, basis);
  }
  const char* sign = bound == document::Bound::at_least  ? ">= "
                     : bound == document::Bound::at_most ? "<= "
                                                         : "";
  return fmt::format(
      "{}{} of {} ({})", sign, units::display(*share, Dimension::ratio, system), rated, basis);
}

std::string finding_title(const std::string& code) {
  for (const findings::Check& check : findings::checks()) {
    if (check.code == code) {
      return fmt::format("{} ({})", check.title, code);
    }
  }
  return code;
}

}  // namespace ductledger::words
