#include <algorithm>
#include <limits>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/facts.hpp"
#include "rules/arithmetic.hpp"
#include "rules/fact_internal.hpp"
#include "rules/judge_internal.hpp"

// Airflow, its rating and the air it is of.
namespace ductledger::rules::worked_out {

namespace {

base::Span speed_span(const result::Case& subject, const result::SpeedResult& speed) {
  return subject.layout->fan->speeds[speed.index].span;
}

/// The highest speed that can run; where nothing is known of it, the strongest that is known: a
/// speed without an answer hides none.
const result::SpeedResult* answering_speed(const result::Case& subject) {
  const result::SpeedResult* speed = findings::headline(subject);
  if (speed == nullptr || findings::greatest_airflow_m3_s(*speed) || result::bounds_of(*speed) ||
      speed->point.status == solve::Status::no_flow) {
    return speed;
  }
  for (const result::SpeedResult& one : subject.speeds) {
    const auto moved_m3_s = findings::greatest_airflow_m3_s(one);
    if (!one.locked_out && moved_m3_s &&
        *moved_m3_s > findings::greatest_airflow_m3_s(*speed).value_or(0.0)) {
      speed = &one;
    }
  }
  return speed;
}

}  // namespace

Values delivered_airflow(const result::Case& subject) {
  const result::SpeedResult* speed = answering_speed(subject);
  if (speed == nullptr) {
    return {};
  }
  FactValue value = value_of(speed->point.airflow_m3_s, speed_span(subject, *speed));
  if (result::on_assumed_shape(subject, *speed)) {
    value.basis = Basis::assumed;
  }
  switch (speed->point.status) {
    case solve::Status::found:
      value.band = result::band_of(*speed);
      return {value};
    case solve::Status::beyond_curve:
    case solve::Status::below_curve:
      value.si = solve::best_airflow_m3_s(speed->point);
      value.band = result::band_of(*speed);
      value.is_bound = true;
      return {value};
    case solve::Status::no_flow:
      value.si = 0.0;
      return {value};
    default:
      break;
  }
  value.band = result::bounds_of(*speed);
  if (!value.band) {
    return {};
  }
  // One rating: the middle of the bounds stands for them, and only they are shown.
  value.si = (value.band->low + value.band->high) / 2.0;
  value.is_bound = true;
  return {value};
}

Values rated_airflow(const result::Case& subject) {
  Values values;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (!speed.locked_out && speed.rated &&
        (values.empty() || speed.rated->airflow_m3_s > values.front().si)) {
      values = {value_of(speed.rated->airflow_m3_s, speed_span(subject, speed))};
    }
  }
  return values;
}

Values nameplate_airflow(const result::Case& subject) {
  const layout::Appliance& appliance = subject.layout->appliance;
  return appliance.nameplate_airflow_m3_s
             ? Values{value_of(*appliance.nameplate_airflow_m3_s, appliance.nameplate_span)}
             : Values{};
}

/// Of every speed that can run, so that a speed more hides none.
Values rating_pressure(const result::Case& subject) {
  Values values;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.locked_out) {
      continue;
    }
    for (const layout::Rating& rating : subject.layout->fan->speeds[speed.index].ratings) {
      values.push_back(value_of(rating.pressure_pa, rating.span));
    }
  }
  return values;
}

Values kitchen_air_changes(const result::Case& subject) {
  const std::optional<double> volume_m3 = subject.layout->facts.value("dwelling.kitchen_volume");
  Values values = delivered_airflow(subject);
  if (!volume_m3 || values.empty()) {
    return {};
  }
  const double per_hour = 3600.0 / *volume_m3;
  values.front().si *= per_hour;
  if (values.front().band) {
    values.front().band->low *= per_hour;
    values.front().band->high *= per_hour;
  }
  return values;
}

Values airflow_measured(const result::Case& subject) {
  for (const layout::Measurement& reading : subject.layout->measurements) {
    if (reading.airflow_m3_s) {
      return {answer_of(Answer::yes, reading.span)};
    }
  }
  return {answer_of(Answer::no)};
}

// --- the place and the answers ---------------------------------------------------------------

Values elevation(const result::Case& subject) {
  if (default_taken(subject, "site") || default_taken(subject, "site.elevation")) {
    return {};
  }
  FactValue value = value_of(subject.layout->site.elevation_m);
  value.basis = Basis::stated;
  return {value};
}

Values outdoor_temperature(const result::Case& subject) {
  const layout::Site& site = subject.layout->site;
  if (!site.outdoor_stated || default_taken(subject, "site.outdoor.temperature")) {
    return {};
  }
  FactValue value = value_of(site.outdoor.temperature_k);
  value.basis = Basis::stated;
  return {value};
}

Values required_airflow(const result::Case& subject) {
  const layout::Appliance& appliance = subject.layout->appliance;
  return appliance.required_airflow_m3_s
             ? Values{value_of(*appliance.required_airflow_m3_s, appliance.required_span)}
             : Values{};
}

namespace {

/// The headline speed where its operating point was found.
const result::SpeedResult* found_speed(const result::Case& subject) {
  const result::SpeedResult* speed = findings::headline(subject);
  return speed != nullptr && speed->point.status == solve::Status::found && speed->ledger ? speed
                                                                                          : nullptr;
}

/// A figure that goes with the airflow, at the airflow and at the ends of its band.
FactValue along_airflow(const result::SpeedResult& speed, double per_m3_s) {
  FactValue value = value_of(speed.point.airflow_m3_s * per_m3_s);
  if (const auto band = result::band_of(speed)) {
    value.band = result::Band{band->low * per_m3_s, band->high * per_m3_s};
  }
  return value;
}

}  // namespace

Values share_of_rated(const result::Case& subject) {
  const result::SpeedResult* speed = found_speed(subject);
  return speed != nullptr && speed->rated && speed->rated->airflow_m3_s > 0.0
             ? Values{along_airflow(*speed, 1.0 / speed->rated->airflow_m3_s)}
             : Values{};
}

Values duct_velocity(const result::Case& subject) {
  const result::SpeedResult* speed = found_speed(subject);
  double least_m2 = 0.0;
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (is_duct(piece)) {
      const double area_m2 = piece.upstream.area_m2();
      least_m2 = least_m2 > 0.0 ? std::min(least_m2, area_m2) : area_m2;
    }
  }
  return speed != nullptr && least_m2 > 0.0 ? Values{along_airflow(*speed, 1.0 / least_m2)}
                                            : Values{};
}

Values collar_static_pressure(const result::Case& subject) {
  const result::SpeedResult* speed = found_speed(subject);
  return speed != nullptr ? Values{value_of(speed->ledger->collar_static_pressure_pa)} : Values{};
}

Values run_equivalent_length(const result::Case& subject) {
  const result::SpeedResult* speed = found_speed(subject);
  const auto length_m = speed != nullptr ? equivalent_length_m(subject, speed->point.airflow_m3_s)
                                         : std::optional<double>();
  return length_m ? Values{value_of(*length_m)} : Values{};
}

}  // namespace ductledger::rules::worked_out
