#include "house/answers.hpp"

#include <array>
#include <cmath>
#include <numbers>

namespace ductledger::house {
namespace {

/// Discharge coefficient of the openings that are proposed where the layout states none.
constexpr double kSharpEdged = 0.6;

double discharge_coefficient(const layout::Layout& layout) {
  const layout::Makeup& makeup = layout.house->makeup;
  return makeup.kind == layout::MakeupKind::passive_opening ? makeup.discharge_coefficient
                                                            : kSharpEdged;
}

/// The zone with no opening of its own: a proposed one takes its place.
Zone without_opening(const Zone& zone) {
  Zone closed = zone;
  if (closed.path == Path::opening) {
    closed.path = Path::none;
  }
  return closed;
}

class Speed {
 public:
  Speed(const layout::Layout& layout,
        const solve::CompiledRun& run,
        const CompiledHouse& house,
        const SpeedSolved& speed)
      : layout_(layout), run_(run), house_(house), zone_(*house.zone), speed_(speed) {
    result_.coupled = house.leakage_known;
    result_.basis = speed.bounds           ? AirflowBasis::bounds
                    : speed.fan == nullptr ? AirflowBasis::rated_airflow
                                           : AirflowBasis::operating_point;
  }

  SpeedHouse answer() {
    const double airflow_m3_s = speed_.fan != nullptr ? speed_.point.airflow_m3_s
                                : speed_.bounds       ? speed_.bounds->high_m3_s
                                                      : speed_.rated_airflow_m3_s.value_or(0.0);
    result_.judged_airflow_m3_s = speed_.bounds ? speed_.bounds->high_m3_s
                                  : speed_.fan == nullptr
                                      ? airflow_m3_s
                                      : solve::greatest_airflow_m3_s(speed_.point);
    if (speed_.fan != nullptr) {
      const solve::OperatingPoint alone = operating_point(run_, *speed_.fan, nullptr);
      result_.airflow_without_house_m3_s = alone.airflow_m3_s;
    }
    if (result_.coupled) {
      result_.balance = zone_.balance(airflow_m3_s);
      result_.judged_depressurisation_pa = zone_.depressurisation_pa(result_.judged_airflow_m3_s);
      add_band();
      add_makeup(airflow_m3_s);
    }
    add_limit();
    return std::move(result_);
  }

 private:
  void add_band() {
    Doubt doubt{.airtightness = airtightness_doubt(*layout_.house->leakage),
                .path = zone_.path == Path::none ? 0.0 : house_.path_uncertainty,
                .airflow = speed_.airflow_doubt};
    if (!speed_.bounds) {
      result_.band = depressurisation_band(
          zone_,
          {.run = &run_, .fan = speed_.fan, .held_airflow_m3_s = result_.judged_airflow_m3_s},
          doubt);
      return;
    }
    // The bounds hold the doubt of run and fan already.
    doubt.airflow = 0.0;
    const auto held = [&](double airflow_m3_s) {
      return depressurisation_band(zone_, {.run = &run_, .held_airflow_m3_s = airflow_m3_s}, doubt);
    };
    result_.band = held(speed_.bounds->high_m3_s);
    result_.band->low_pa = held(speed_.bounds->low_m3_s).low_pa;
  }

  void add_makeup(double airflow_m3_s) {
    if (!house_.with_makeup) {
      return;
    }
    WithMakeup with;
    with.point.airflow_m3_s = airflow_m3_s;
    if (speed_.fan != nullptr) {
      with.point = operating_point(run_, *speed_.fan, &*house_.with_makeup);
    }
    with.balance = house_.with_makeup->balance(with.point.airflow_m3_s);
    result_.with_makeup = with;
  }

  /// The appliance's greatest airflow with the room held at a depressurisation.
  [[nodiscard]] double airflow_at(double depressurisation_pa) const {
    if (speed_.fan == nullptr) {
      return result_.judged_airflow_m3_s;
    }
    return solve::greatest_airflow_m3_s(operating_point_at(run_, *speed_.fan, depressurisation_pa));
  }

  void add_limit() {
    const std::optional<Limit> limit = limit_of(*layout_.house);
    if (!limit) {
      return;
    }
    const Held held{.airflow_m3_s = airflow_at(limit->pressure_pa),
                    .depressurisation_pa = limit->pressure_pa};
    AtLimit at;
    at.airflow_m3_s = held.airflow_m3_s;
    at.airtightness_m3_s = airtightness_at_50_pa_m3_s(zone_, held);
    const Zone closed = without_opening(zone_);
    const double difference_pa = limit->pressure_pa + zone_.envelope_pa;
    if (result_.coupled) {
      at.missing_m3_s = missing_air_m3_s(closed, held);
      if (at.missing_m3_s > 0.0 && difference_pa > 0.0) {
        at.opening = opening({.airflow_m3_s = at.missing_m3_s,
                              .difference_pa = difference_pa,
                              .density_kg_m3 = zone_.outdoor_density_kg_m3,
                              .discharge_coefficient = discharge_coefficient(layout_)});
      }
    }
    result_.at_limit = at;
    result_.verdict = verdict(*limit);
    if (result_.coupled && result_.verdict != Verdict::met && closed.path == Path::none) {
      try_openings(closed);
    }
  }

  [[nodiscard]] Verdict verdict(const Limit& limit) const {
    if (!result_.band) {
      return Verdict::not_shown;
    }
    const bool over = result_.band->low_pa > limit.pressure_pa;
    const bool within = result_.band->high_pa <= limit.pressure_pa;
    const solve::Status status = speed_.point.status;
    const bool one_sided = !speed_.bounds;
    const bool at_least =
        one_sided && speed_.fan != nullptr && status == solve::Status::beyond_curve;
    const bool at_most =
        one_sided && (speed_.fan == nullptr || status == solve::Status::below_curve);
    if (over && !at_most) {
      return Verdict::not_met;
    }
    // A damper that may open later than taken leaves the suction a lower bound.
    return within && !at_least && !house_.opening_pressure_missing ? Verdict::met
                                                                   : Verdict::not_shown;
  }

  void try_openings(Zone zone) {
    zone.path = Path::opening;
    for (const double inches : {6.0, 8.0, 10.0, 12.0}) {
      const double diameter_m = inches * units::kMetresPerInch;
      zone.effective_area_m2 =
          discharge_coefficient(layout_) * std::numbers::pi / 4.0 * diameter_m * diameter_m;
      double airflow_m3_s = result_.judged_airflow_m3_s;
      if (speed_.fan != nullptr) {
        airflow_m3_s = solve::greatest_airflow_m3_s(operating_point(run_, *speed_.fan, &zone));
      }
      result_.openings.push_back({.diameter_m = diameter_m,
                                  .airflow_m3_s = airflow_m3_s,
                                  .depressurisation_pa = zone.depressurisation_pa(airflow_m3_s)});
    }
  }

  const layout::Layout& layout_;
  const solve::CompiledRun& run_;
  const CompiledHouse& house_;
  const Zone& zone_;
  const SpeedSolved& speed_;
  SpeedHouse result_;
};

}  // namespace

double missing_air_m3_s(const Zone& zone, const Held& held) noexcept {
  const double difference_pa = held.depressurisation_pa + zone.envelope_pa;
  const double out_kg_s = zone.duct_density_kg_m3 * (held.airflow_m3_s + zone.other_exhaust_m3_s);
  const double through_m3_s = zone.leakage_m3_s(difference_pa) + zone.path_m3_s(difference_pa);
  const double through_kg_s =
      (difference_pa > 0.0 ? zone.outdoor_density_kg_m3 : zone.indoor_density_kg_m3) * through_m3_s;
  return (out_kg_s - through_kg_s) / zone.outdoor_density_kg_m3 - zone.powered_m3_s;
}

std::optional<double> airtightness_at_50_pa_m3_s(const Zone& zone, const Held& held) {
  Zone tight = zone;
  tight.test_airflow_m3_s = 0.0;
  const double missing_m3_s = missing_air_m3_s(tight, held);
  if (missing_m3_s <= 0.0) {
    return 0.0;
  }
  const double difference_pa = held.depressurisation_pa + zone.envelope_pa;
  if (difference_pa <= 0.0) {
    return std::nullopt;
  }
  constexpr double kDoorPressurePa = 50.0;
  return missing_m3_s * std::pow(kDoorPressurePa / difference_pa, zone.exponent);
}

Opening opening(const OpeningWanted& wanted) noexcept {
  const double area_m2 =
      wanted.airflow_m3_s /
      (wanted.discharge_coefficient * std::sqrt(2.0 * wanted.difference_pa / wanted.density_kg_m3));
  return {.free_area_m2 = area_m2,
          .round_diameter_m = std::sqrt(4.0 * area_m2 / std::numbers::pi),
          .discharge_coefficient = wanted.discharge_coefficient};
}

std::optional<SpeedHouse> at_speed(const layout::Layout& layout,
                                   const solve::CompiledRun& run,
                                   const CompiledHouse& house,
                                   const SpeedSolved& speed) {
  if (!layout.house || !house.zone || (speed.fan == nullptr && !speed.rated_airflow_m3_s)) {
    return std::nullopt;
  }
  return Speed(layout, run, house, speed).answer();
}

}  // namespace ductledger::house
