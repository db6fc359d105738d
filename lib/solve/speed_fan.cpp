#include <algorithm>
#include <cmath>

#include "base/expects.hpp"
#include "solve/airflow_bounds.hpp"

namespace ductledger::solve {
namespace {

struct Points {
  std::vector<fan::FanPoint> points;
  CurveOrigin origin = CurveOrigin::none;
  std::string why_not;
};

bool is_near(double a_pa, double b_pa) { return std::abs(a_pa - b_pa) <= 0.02 * b_pa; }

/// What is printed of a speed, as the points of one blower.
Points printed_points(const layout::Layout& layout, const layout::Speed& speed) {
  if (!speed.curve.empty()) {
    return {
        speed.curve, speed.curve.size() == 2 ? CurveOrigin::two_points : CurveOrigin::points, {}};
  }
  if (speed.ratings.size() >= 2) {
    std::vector<fan::FanPoint> points;
    for (const layout::Rating& rating : speed.ratings) {
      points.push_back({rating.airflow_m3_s, rating.pressure_pa});
    }
    return {points, points.size() == 2 ? CurveOrigin::two_ratings : CurveOrigin::points, {}};
  }
  if (speed.ratings.empty()) {
    return {{}, CurveOrigin::none, "no curve and no rating is stated"};
  }
  const layout::Rating& rating = speed.ratings.front();
  if (rating.pressure_pa <= 0.0 && layout.fan->generic_blower) {
    const bool bath = layout.appliance.kind == layout::ApplianceKind::bath_fan;
    const double shut_off_pa =
        (bath ? fan::kBathFanShutOffInH2O : fan::kBlowerShutOffInH2O) * units::kPascalPerInchWater;
    return {{{0.0, shut_off_pa}, {rating.airflow_m3_s, 0.0}}, CurveOrigin::free_air, {}};
  }
  if (rating.pressure_pa <= 0.0) {
    return {
        {},
        CurveOrigin::none,
        "a free-air airflow says nothing of the pressure the fan makes; `blower: generic` under "
        "`fan` takes the shape of a small blower for it, marked as assumed"};
  }
  if (layout.appliance.kind != layout::ApplianceKind::bath_fan) {
    return {{},
            CurveOrigin::none,
            "one rating does not say how the airflow falls with pressure, and no drop is published "
            "for this kind of fan"};
  }
  const double low_pa = 0.1 * units::kPascalPerInchWater;
  const double high_pa = 0.25 * units::kPascalPerInchWater;
  if (is_near(rating.pressure_pa, low_pa)) {
    return {{{rating.airflow_m3_s * fan::kBathFanDropRatio, high_pa},
             {rating.airflow_m3_s, rating.pressure_pa}},
            CurveOrigin::one_rating,
            {}};
  }
  if (is_near(rating.pressure_pa, high_pa)) {
    return {{{rating.airflow_m3_s, rating.pressure_pa},
             {rating.airflow_m3_s / fan::kBathFanDropRatio, low_pa}},
            CurveOrigin::one_rating,
            {}};
  }
  return {{},
          CurveOrigin::none,
          "the published drop of bath fans leads from 0.1 to 0.25 inH2O, and the rating is at "
          "another pressure"};
}

double dynamic_of(const layout::Fan& fan, const CompiledRun& run) {
  switch (fan.basis) {
    case fan::PressureBasis::static_pressure:
      return run.outlet_dynamic_pa_s2_m6;
    case fan::PressureBasis::total_pressure:
      return 0.0;
    case fan::PressureBasis::static_rise:
      return run.outlet_dynamic_pa_s2_m6 - run.inlet_dynamic_pa_s2_m6;
  }
  return 0.0;
}

FanAtSpeed at_speed(const Points& printed,
                    fan::CurveShape shape,
                    const fan::Running& running,
                    double dynamic_pa_s2_m6) {
  auto made = fan::FanCurve::from_points(printed.points, shape);
  DUCTLEDGER_EXPECTS(std::holds_alternative<fan::FanCurve>(made));  // the reader has refused others
  FanAtSpeed result{std::get<fan::FanCurve>(made).running(running), dynamic_pa_s2_m6, true};
  for (std::size_t i = 0; i < result.curve.segment_count(); ++i) {
    result.falls_throughout = result.falls_throughout && result.curve.falls_in_segment(i);
  }
  return result;
}

}  // namespace

SpeedFan speed_fan(const layout::Layout& layout, const CompiledRun& run, std::size_t speed) {
  DUCTLEDGER_EXPECTS(layout.fan.has_value() && speed < layout.fan->speeds.size());
  const layout::Fan& fan = *layout.fan;
  const layout::Speed& wanted = fan.speeds[speed];
  const bool scaled = wanted.speed_ratio.has_value() && wanted.curve.empty();
  const Points printed = printed_points(layout, scaled ? fan.speeds.front() : wanted);
  SpeedFan result;
  result.origin = printed.origin;
  result.why_not = printed.why_not;
  if (printed.origin == CurveOrigin::none) {
    return result;
  }
  const fan::Running running{.density_ratio = run.air.density_kg_m3 / fan.rated_density_kg_m3,
                             .speed_ratio = scaled ? *wanted.speed_ratio : 1.0,
                             .count = fan.count};
  result.speed_ratio = running.speed_ratio;
  const double dynamic = dynamic_of(fan, run);
  result.fan = at_speed(printed, fan::CurveShape::parabola, running, dynamic);
  if (printed.points.size() == 2 && printed.origin != CurveOrigin::free_air) {
    result.other_shape = at_speed(printed, fan::CurveShape::line, running, dynamic);
  }
  return result;
}

std::optional<RatedPoint> one_rating(const layout::Layout& layout,
                                     const CompiledRun& run,
                                     std::size_t speed) {
  DUCTLEDGER_EXPECTS(layout.fan.has_value() && speed < layout.fan->speeds.size());
  const layout::Fan& fan = *layout.fan;
  const layout::Speed& wanted = fan.speeds[speed];
  const bool scaled = wanted.speed_ratio.has_value() && wanted.curve.empty();
  const layout::Speed& printed = scaled ? fan.speeds.front() : wanted;
  if (!printed.curve.empty() || printed.ratings.size() != 1 ||
      printed.ratings.front().pressure_pa <= 0.0) {
    return std::nullopt;
  }
  const double ratio = scaled ? *wanted.speed_ratio : 1.0;
  const double density_ratio = run.air.density_kg_m3 / fan.rated_density_kg_m3;
  return RatedPoint{
      .airflow_m3_s = printed.ratings.front().airflow_m3_s * ratio * fan.count,
      .pressure_pa = printed.ratings.front().pressure_pa * density_ratio * ratio * ratio,
      .dynamic_pa_s2_m6 = dynamic_of(fan, run)};
}

std::optional<RatedAirflow> rated_airflow(const layout::Layout& layout, std::size_t speed) {
  DUCTLEDGER_EXPECTS(layout.fan.has_value() && speed < layout.fan->speeds.size());
  const layout::Fan& fan = *layout.fan;
  const layout::Speed& wanted = fan.speeds[speed];
  const bool own = !wanted.ratings.empty() || !wanted.curve.empty() || !wanted.speed_ratio;
  const layout::Speed& source = own ? wanted : fan.speeds.front();
  const double ratio = own ? 1.0 : *wanted.speed_ratio;
  RatedAirflow rated;
  if (!source.ratings.empty()) {
    const auto greatest = std::max_element(source.ratings.begin(),
                                           source.ratings.end(),
                                           [](const layout::Rating& a, const layout::Rating& b) {
                                             return a.airflow_m3_s < b.airflow_m3_s;
                                           });
    rated.airflow_m3_s = greatest->airflow_m3_s;
    rated.pressure_pa = greatest->pressure_pa;
    rated.basis = greatest->pressure_pa > 0.0 ? RatedAirflow::Basis::rating_at_pressure
                                              : RatedAirflow::Basis::free_air;
  } else if (!source.curve.empty()) {
    rated.airflow_m3_s = source.curve.back().airflow_m3_s;
    rated.pressure_pa = source.curve.back().pressure_pa;
    rated.basis =
        rated.pressure_pa > 0.0 ? RatedAirflow::Basis::curve_end : RatedAirflow::Basis::free_air;
  } else {
    return std::nullopt;
  }
  rated.airflow_m3_s *= ratio * fan.count;
  rated.pressure_pa *= ratio * ratio;
  return rated;
}

}  // namespace ductledger::solve
