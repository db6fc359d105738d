#include "result/requirement.hpp"

#include <algorithm>

namespace ductledger::result {
namespace {

using State = Requirement::State;

/// By the ends of what is delivered; `best` is the answer that is likeliest.
struct Delivered {
  double low_m3_s = 0.0;
  double best_m3_s = 0.0;
};

std::optional<Delivered> delivered_by(const SpeedResult& speed) {
  const double airflow_m3_s = speed.point.airflow_m3_s;
  switch (speed.point.status) {
    case solve::Status::found: {
      // With two shapes of the curve neither answer is the better one.
      const double best_m3_s =
          speed.other_shape && speed.other_shape->status == solve::Status::found
              ? std::max(airflow_m3_s, speed.other_shape->airflow_m3_s)
              : airflow_m3_s;
      const std::optional<Band> band = band_of(speed);
      return band ? Delivered{band->low, best_m3_s} : Delivered{airflow_m3_s, airflow_m3_s};
    }
    case solve::Status::beyond_curve:
    case solve::Status::below_curve: {
      // Only a bound is known: the best that it can be is the band's high end.
      const Band band = band_of(speed).value_or(Band{0.0, airflow_m3_s});
      return Delivered{band.low, band.high};
    }
    case solve::Status::no_flow:
      return Delivered{};
    case solve::Status::not_determined:
      if (const std::optional<Band> band = band_of(speed)) {
        return Delivered{band->low, band->high};  // by one rating alone
      }
      break;
    case solve::Status::no_fan:
      break;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Band> band_of(const SpeedResult& speed) {
  if (speed.airflow_band_m3_s) {
    return speed.airflow_band_m3_s;
  }
  if (speed.point.status == solve::Status::found && speed.other_shape &&
      speed.other_shape->status == solve::Status::found) {
    const auto [low, high] = std::minmax(speed.point.airflow_m3_s, speed.other_shape->airflow_m3_s);
    return Band{low, high};
  }
  return std::nullopt;
}

std::optional<Band> bounds_of(const SpeedResult& speed) {
  const bool bounded =
      solve::is_bound(speed.point.status) || speed.point.status == solve::Status::not_determined;
  return bounded ? band_of(speed) : std::nullopt;
}

bool on_assumed_shape(const Case& subject, const SpeedResult& speed) {
  const auto& fan = subject.layout->fan;
  if (!fan || !fan->generic_blower) {
    return false;
  }
  // A speed by ratio stands on the first one's shape.
  const layout::Speed& own = fan->speeds[speed.index];
  const layout::Speed& shape = own.speed_ratio ? fan->speeds.front() : own;
  return shape.curve.empty() &&
         std::ranges::all_of(
             shape.ratings, [](const layout::Rating& rating) { return rating.pressure_pa <= 0.0; });
}

Requirement::State stands(const SpeedResult& speed, double wanted_m3_s) {
  const std::optional<Delivered> known = delivered_by(speed);
  const double least_m3_s = wanted_m3_s * (1.0 - 1e-9);
  return !known                          ? State::not_shown
         : known->low_m3_s >= least_m3_s ? State::met
         : known->best_m3_s < least_m3_s ? State::not_met
                                         : State::not_shown;
}

std::optional<Requirement> requirement(const Case& subject) {
  const std::optional<double>& required = subject.layout->appliance.required_airflow_m3_s;
  if (!required) {
    return std::nullopt;
  }
  Requirement result{.required_m3_s = *required};
  if (!subject.headline) {
    return result;
  }
  const SpeedResult& speed = subject.speeds[*subject.headline];
  if (!delivered_by(speed)) {
    return result;
  }
  result.by = subject.headline;
  result.state = stands(speed, *required);
  if (result.state == State::met && on_assumed_shape(subject, speed)) {
    result.state = State::not_shown;
  }
  return result;
}

}  // namespace ductledger::result
