#include "words/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.hpp"
#include "fitting/entry.hpp"
#include "layout/spoken_speed.hpp"

namespace ductledger::words {

using units::Dimension;

std::string band_text(const result::Band& band, Dimension dimension, units::System system) {
  const auto bare = [&](double si) { return units::display_number(si, dimension, system); };
  if (std::isinf(band.low)) {
    return std::isinf(band.high) ? "not known" : "at most " + bare(band.high);
  }
  if (std::isinf(band.high)) {
    return "at least " + bare(band.low);
  }
  const std::string low = bare(band.low);
  const std::string high = bare(band.high);
  return low == high ? std::string{} : fmt::format("{} to {}", low, high);
}

namespace {

/// `214 to 270 cfm`; one figure where both show as the same.
std::string airflows_between(const solve::AirflowBounds& limits, units::System system) {
  const std::string low = units::display_number(limits.low_m3_s, Dimension::airflow, system);
  const std::string high = units::display_number(limits.high_m3_s, Dimension::airflow, system);
  const std::string with_unit = units::display(limits.high_m3_s, Dimension::airflow, system);
  return low == high ? with_unit : fmt::format("{} to {}", low, with_unit);
}

}  // namespace

std::string delivers(const result::SpeedResult& speed, units::System system) {
  const result::Figures& known = speed.figures;
  const std::string value = units::display(known.airflow_m3_s, Dimension::airflow, system);
  const auto& bounds = speed.point.bounds;
  const std::string band = speed.airflow_band_m3_s
                               ? band_text(*speed.airflow_band_m3_s, Dimension::airflow, system)
                               : std::string{};
  if (bounds && speed.point.estimate) {
    const std::string between = airflows_between(*bounds, system);
    if (between == units::display(bounds->high_m3_s, Dimension::airflow, system)) {
      return band.empty() ? between : fmt::format("{} ({})", between, band);
    }
    return fmt::format(
        "{} (about {})",
        between,
        units::display_number(speed.point.estimate->airflow_m3_s, Dimension::airflow, system));
  }
  if (bounds && speed.point.status == solve::Status::not_determined) {
    return airflows_between(*bounds, system) + ", by one rating";
  }
  switch (known.bound) {
    case result::Bound::at_least:
      return "at least " + value;
    case result::Bound::at_most:
      return "at most " + value;
    case result::Bound::none:
      return "not determined";
    case result::Bound::exact:
      break;
  }
  if (speed.point.status == solve::Status::no_flow) {
    return "no airflow";
  }
  const bool assumed = speed.fan.origin == solve::CurveOrigin::free_air;
  const std::string more = band.empty() || !assumed ? band : band + ", fan assumed";
  return more.empty() ? value : fmt::format("{} ({})", value, more);
}

/// `High speed delivers 49 to 62 cfm, by the ratings alone (45 to 64 with uncertainty); about 53 by
/// both shapes`.
std::string bounded_answer(const result::SpeedResult& speed, units::System system) {
  const solve::OperatingPoint& point = speed.point;
  const auto bare = [&](double si) {
    return units::display_number(si, Dimension::airflow, system);
  };
  const std::string by = !point.estimate                                       ? "one rating"
                         : speed.fan.origin == solve::CurveOrigin::two_ratings ? "ratings"
                                                                               : "curve's points";
  std::string text = fmt::format("{} delivers {}, by the {} alone",
                                 begun_speed(speed.name),
                                 airflows_between(*point.bounds, system),
                                 by);
  if (speed.airflow_band_m3_s) {
    const std::string band = band_text(*speed.airflow_band_m3_s, Dimension::airflow, system);
    text += band.empty() ? "" : fmt::format(" ({} with uncertainty)", band);
  }
  if (!point.estimate) {
    return text + ", if the fan falls.";
  }
  const std::string one = bare(point.estimate->airflow_m3_s);
  const std::string two = bare(point.estimate->line_m3_s);
  if (one == two && one == bare(point.bounds->low_m3_s) && one == bare(point.bounds->high_m3_s)) {
    return text + ".";
  }
  return text + (one == two ? fmt::format("; about {} by both shapes.", one)
                            : fmt::format("; about {} or {}, by two shapes.", one, two));
}

std::string spoken_speed(std::string_view name) {
  return base::escaped(layout::spoken_speed(name));
}

std::string begun_speed(std::string_view name) { return base::capitalized(spoken_speed(name)); }

std::string answer(const result::SpeedResult& speed, units::System system) {
  const std::string name = begun_speed(speed.name);
  if (speed.point.bounds &&
      (speed.point.estimate || speed.point.status == solve::Status::not_determined)) {
    return bounded_answer(speed, system);
  }
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
      return fmt::format(
          "What {} delivers is not determined: {}.", spoken_speed(speed.name), speed.fan.why_not);
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
  const auto share = speed.figures.share_of_rated;
  const result::Bound bound = speed.figures.bound;
  const bool end_of_curve = speed.rated->basis == solve::RatedAirflow::Basis::curve_end;
  if (!share || (end_of_curve && bound == result::Bound::at_least)) {
    return fmt::format("{} ({})", rated, basis);
  }
  const char* sign = bound == result::Bound::at_least  ? ">= "
                     : bound == result::Bound::at_most ? "<= "
                                                       : "";
  return fmt::format(
      "{}{} of {} ({})", sign, units::display(*share, Dimension::ratio, system), rated, basis);
}

std::string piece_name(std::string_view kind, std::string_view type) {
  if (type.empty()) {
    return std::string(kind);
  }
  std::string words(type);
  std::ranges::replace(words, '-', ' ');
  static constexpr std::array<std::string_view, 6> kPlain{
      "cap", "vent", "grille", "louver", "flap", "hood"};
  const std::string last = words.substr(words.find_last_of(' ') + 1);  // npos + 1 is 0
  const bool plain = std::ranges::find(kPlain, last) != kPlain.end() &&
                     (kind == "cap" || kind == "entry" || (last == "flap" && kind == "damper"));
  return plain || last == kind ? words : fmt::format("{} {}", words, kind);
}

std::string row_name(const solve::LedgerRow& row) {
  const std::string name = base::escaped(piece_name(row.piece, row.type));
  return row.number > 0 ? fmt::format("{} {}", row.number, name) : name;
}

bool is_assumed(const solve::LedgerRow& row) noexcept {
  if (row.piece != "cap" || row.source != "composed") {
    return row.status == "assumed";
  }
  // One number between limits: no law and no table stands behind it.
  const fitting::Entry* entry = fitting::Catalogue::built_in().entry(row.entry);
  return row.status == "assumed" || (entry != nullptr && entry->standard()->range.has_value());
}

std::string finding_title(const std::string& code) {
  for (const findings::Check& check : findings::checks()) {
    if (check.code == code) {
      return fmt::format("{} ({})", check.title, code);
    }
  }
  return code;
}

const char* within_limit(house::Verdict verdict) noexcept {
  switch (verdict) {
    case house::Verdict::no_limit:
      return "-";
    case house::Verdict::met:
      return "within";
    case house::Verdict::not_met:
      return "over";
    case house::Verdict::not_shown:
      break;
  }
  return "not shown";
}

}  // namespace ductledger::words
