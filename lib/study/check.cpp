#include "study/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <numeric>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "fitting/default_uncertainty.hpp"
#include "house/uncertain_room.hpp"
#include "numeric/root.hpp"
#include "parallel/parallel.hpp"
#include "result/figures.hpp"
#include "result/uncertainty.hpp"
#include "solve/airflow_bounds.hpp"
#include "study/branches.hpp"
#include "study/case.hpp"

namespace ductledger::study {
namespace {

using result::SpeedResult;
using solve::Status;

/// One standard uncertainty [1] of an airflow by its band, which is k = 2.
double airflow_doubt(const SpeedResult& speed) {
  if (!speed.airflow_band_m3_s || speed.point.airflow_m3_s <= 0.0) {
    return 0.0;
  }
  const double airflow_m3_s = solve::best_airflow_m3_s(speed.point);
  const double below = airflow_m3_s - speed.airflow_band_m3_s->low;
  const double above = speed.airflow_band_m3_s->high - airflow_m3_s;
  const double half = std::isinf(below) ? above : std::isinf(above) ? below : (below + above) / 2.0;
  if (std::isinf(half)) {
    return 0.0;
  }
  // The house's answers move the room by themselves: the doubt of run and fan with it held.
  const solve::FirstOrder* first = speed.band ? &speed.band->first_order : nullptr;
  const double held = first != nullptr && first->standard_m3_s > 0.0
                          ? first->held_standard_m3_s / first->standard_m3_s
                          : 1.0;
  return held * half / 2.0 / airflow_m3_s;
}

/// A layout with its run and house compiled.
struct Compiled {
  const layout::Layout& layout;
  const solve::CompiledRun& run;
  const house::CompiledHouse& house;
};

void add_house(const Compiled& of, SpeedResult& speed) {
  house::SpeedSolved solved;
  solved.fan = speed.fan.fan ? &*speed.fan.fan : nullptr;
  solved.point = speed.point;
  solved.airflow_doubt = airflow_doubt(speed);
  // Of a curve that ends early the suction at its end is one bound, and said to be.
  const auto bounds = solved.fan == nullptr ? result::bounds_of(speed) : std::nullopt;
  if (bounds && std::isfinite(bounds->high)) {
    solved.bounds = solve::AirflowBounds{bounds->low, bounds->high};
  }
  if (speed.rated) {
    solved.rated_airflow_m3_s = speed.rated->airflow_m3_s;
  }
  speed.house = house::at_speed(of.layout, of.run, of.house, solved);
}

/// Each row its share of the variance: pieces in the order of the run, fan, then the two ends on
/// the stack's row or else the wind's.
void put_variance_shares(solve::Ledger& ledger, const solve::FirstOrder& first) {
  std::size_t piece = 0;
  bool ends_put = false;
  for (solve::LedgerRow& row : ledger.rows) {
    if (row.number >= 0) {
      row.variance_share = first.piece_shares[piece++];
    } else if (row.piece == "fan") {
      row.variance_share = first.fan_share;
    } else if (!ends_put) {
      row.variance_share = first.ends_share;
      ends_put = true;
    }
  }
}

void put_band(const Compiled& of, const CheckOptions& options, SpeedResult& result) {
  if (options.depth == Depth::points) {
    return;
  }
  const result::BandOf speed{.layout = of.layout,
                             .run = of.run,
                             .fan = result.fan,
                             .point = result.point,
                             .room = house::uncertain_room(of.house)};
  solve::AirflowLimits limits;
  if (solve::is_bound(result.point.status)) {
    limits = result::bound_band(speed);
  } else if (result.point.status == Status::found && result.point.airflow_m3_s > 0.0) {
    result.band = result::airflow_band(speed, {options.samples});
    limits = result.band->limits;
  } else {
    return;
  }
  result.airflow_band_m3_s = result::Band{limits.low_m3_s, limits.high_m3_s};
}

/// One rating of a fan that falls bounds the airflow; the doubt of run and rating widens both ends.
void put_bounds_by_rating(const Compiled& of, SpeedResult& result) {
  const auto rated = solve::one_rating(of.layout, of.run, result.index);
  if (!rated) {
    return;
  }
  const solve::Demand demand = house::demand(of.run, of.house);
  result.point.bounds = solve::airflow_bounds(demand, *rated);
  if (!result.point.bounds) {
    return;
  }
  const auto doubt = [&](const char* key) {
    const auto& row = fitting::default_uncertainty(key);
    const auto stated = of.layout.uncertainty.find(row.layout_key);
    return stated != of.layout.uncertainty.end() ? stated->second : row.value;
  };
  const solve::ErrorModel model(of.layout, of.run, {});
  std::vector<double> parts(of.run.pieces.size() + 2);
  const auto u_m3_s = [&](double q) {
    if (q <= 0.0) {
      return 0.0;
    }
    if (std::abs(q - rated->airflow_m3_s) <= 1e-9 * q) {
      return doubt("fan-airflow") * q;
    }
    double square = std::pow(doubt("fan-pressure") * rated->pressure_pa, 2);
    for (std::size_t i = 0; i < model.sources().size(); ++i) {
      const auto told = model.derivatives({.airflow_m3_s = q, .source = i}, parts);
      square += std::pow(std::accumulate(told.begin(), told.end(), 0.0), 2);
    }
    const double slope = demand.slope_pa_s_m3(q) - 2.0 * rated->dynamic_pa_s2_m6 * q;
    return slope > 0.0 ? std::sqrt(square) / slope : 0.0;
  };
  const auto& [low, high] = *result.point.bounds;
  result.airflow_band_m3_s = result::Band{std::max(low - solve::kCoverage * u_m3_s(low), 0.0),
                                          high + solve::kCoverage * u_m3_s(high)};
}

SpeedResult calculate_speed(const Compiled& of, std::size_t index, const CheckOptions& options) {
  const layout::Layout& layout = of.layout;
  const solve::CompiledRun& run = of.run;
  const layout::Speed& speed = layout.fan->speeds[index];
  SpeedResult result;
  result.index = index;
  result.name = speed.name;
  result.locked_out = speed.locked_out;
  result.rated = solve::rated_airflow(layout, index);
  result.fan = solve::speed_fan(layout, run, index);
  if (!result.fan.fan) {
    result.point.status = Status::not_determined;
    put_bounds_by_rating(of, result);
    if (options.depth == Depth::whole) {
      add_house(of, result);
    }
    return result;
  }
  const house::Zone* zone = of.house.coupled();
  result.point = house::operating_point(run, *result.fan.fan, zone);
  if (result.fan.other_shape) {
    result.other_shape = house::operating_point(run, *result.fan.other_shape, zone);
  }
  put_band(of, options, result);
  if (options.depth == Depth::whole) {
    add_house(of, result);
  }
  if (result.point.status == Status::found || result.point.status == Status::beyond_curve ||
      result.point.estimate) {
    // The ledger's totals end at the pressure outside; the stack has a row of its own.
    const double airflow_m3_s = solve::best_airflow_m3_s(result.point);
    const solve::EndPressures ends{.start_pa = -of.house.depressurisation_pa(airflow_m3_s),
                                   .end_pa = run.air.wind_pa + run.air.back_pressure_pa};
    // At an estimate the fan is taken to make just what the run asks for.
    const double fan_pa = result.point.estimate ? run.loss.at(airflow_m3_s) + ends.end_pa -
                                                      run.air.stack_pa - ends.start_pa
                                                : result.point.total_pressure_pa;
    result.ledger = solve::ledger(
        layout, run, {.airflow_m3_s = airflow_m3_s, .fan_total_pa = fan_pa, .ends = ends});
  }
  if (result.ledger && result.band) {
    put_variance_shares(*result.ledger, result.band->first_order);
  }
  return result;
}

/// The highest speed among those that can run: by what the label says of it, then by what it
/// delivers.
std::optional<std::size_t> headline_of(const std::vector<SpeedResult>& speeds) {
  const auto rank = [](const SpeedResult& speed) {
    return std::pair(speed.rated ? speed.rated->airflow_m3_s : 0.0, speed.point.airflow_m3_s);
  };
  std::optional<std::size_t> best;
  for (std::size_t i = 0; i < speeds.size(); ++i) {
    if (!speeds[i].locked_out && (!best || rank(speeds[i]) > rank(speeds[*best]))) {
      best = i;
    }
  }
  return best;
}

/// What the run asks of a fan at an airflow.
ResistancePoint needed(const Compiled& of, double airflow_m3_s) {
  const solve::Demand demand = house::demand(of.run, of.house);
  return {.airflow_m3_s = airflow_m3_s,
          .total_pressure_pa = demand.total_pa(airflow_m3_s),
          .static_pressure_pa = demand.static_pa(airflow_m3_s)};
}

/// The airflow at which the run asks for a static pressure, the rating pressures of small fans.
struct PressureWanted {
  double pressure_pa = 0.0;
  double highest_m3_s = 0.0;  ///< the search ends here
};
std::optional<ResistancePoint> at_pressure(const Compiled& of, const PressureWanted& wanted) {
  const auto missing = [&](double q) {
    return needed(of, q).static_pressure_pa - wanted.pressure_pa;
  };
  const auto root = numeric::find_root(missing, {0.0, wanted.highest_m3_s}, {});
  if (root.status != numeric::RootStatus::converged) {
    return std::nullopt;
  }
  ResistancePoint point = needed(of, root.root);
  point.at_rating_pressure = true;
  return point;
}

std::vector<ResistancePoint> resistance(const Compiled& of,
                                        const std::vector<SpeedResult>& speeds) {
  double middle_m3_s = of.run.collar.area_m2() * 5.08;  // 1000 fpm
  const auto& appliance = of.layout.appliance;
  if (appliance.required_airflow_m3_s) {
    middle_m3_s = *appliance.required_airflow_m3_s;
  } else if (appliance.nameplate_airflow_m3_s) {
    middle_m3_s = *appliance.nameplate_airflow_m3_s;
  } else if (!speeds.empty() && speeds.front().rated) {
    middle_m3_s = speeds.front().rated->airflow_m3_s;
  }
  std::vector<ResistancePoint> points;
  for (const double share : std::array<double, 5>{0.5, 0.75, 1.0, 1.25, 1.5}) {
    points.push_back(needed(of, share * middle_m3_s));
    points.back().at_required = share == 1.0 && appliance.required_airflow_m3_s.has_value();
  }
  if (!speeds.empty()) {
    for (const double inches : {0.1, 0.25}) {
      if (const auto point =
              at_pressure(of, {inches * units::kPascalPerInchWater, 20.0 * middle_m3_s})) {
        points.push_back(*point);
      }
    }
  }
  return points;
}

/// The run as a length, and against other routes.
void compare(CheckResult& result, const fitting::Catalogue& catalogue) {
  for (const SpeedResult& speed : result.speeds) {
    result.equivalent_lengths.push_back(
        speed.ledger
            ? solve::equivalent_length(result.layout, result.run, speed.ledger->airflow_m3_s)
            : std::nullopt);
  }
  const std::optional<double>& required = result.layout.appliance.required_airflow_m3_s;
  if (!result.layout.fan && required) {
    result.required_length = solve::equivalent_length(result.layout, result.run, *required);
  }
  result.nominal = nominal_route(
      result.layout, catalogue, house::demand(result.run, result.house), result.speeds);
  result.dryer = solve::dryer_run(result.layout, result.run);
}

void put_would_leave(CheckResult& result) {
  const layout::Layout& layout = result.layout;
  if (!result.headline || layout.run.discharge != layout::Discharge::outdoors) {
    return;
  }
  const SpeedResult& speed = result.speeds[*result.headline];
  if (speed.point.status != Status::found || !speed.fan.fan) {
    return;
  }
  const solve::SiteAir& air = result.run.air;
  if (!layout.house) {
    constexpr double kVolumeM3 = 16000.0 * 0.028316846592;
    constexpr double kTightPerHour = 3.0;
    constexpr double kOldPerHour = 15.0;
    const auto left_m3_s = [&](double test_airflow_m3_s) {
      house::Zone zone;
      zone.test_airflow_m3_s = test_airflow_m3_s;
      zone.duct_density_kg_m3 = air.density_kg_m3;
      zone.outdoor_density_kg_m3 = air.outdoor_density_kg_m3;
      zone.indoor_density_kg_m3 = air.indoor_density_kg_m3;
      return solve::best_airflow_m3_s(house::operating_point(result.run, *speed.fan.fan, &zone));
    };
    HouseWouldLeave left;
    left.tight_test_airflow_m3_s = kTightPerHour * kVolumeM3 / 3600.0;
    left.old_test_airflow_m3_s = kOldPerHour * kVolumeM3 / 3600.0;
    left.tight_m3_s = left_m3_s(left.tight_test_airflow_m3_s);
    left.old_m3_s = left_m3_s(left.old_test_airflow_m3_s);
    result.house_would_leave = left;
  }
  const auto with = [&](double solve::SiteAir::*pressure, double pressure_pa) {
    solve::CompiledRun other = result.run;
    other.air.*pressure = pressure_pa;
    return solve::best_airflow_m3_s(
        house::operating_point(other, *speed.fan.fan, result.house.coupled()));
  };
  if (layout.site.wind_m_s == 0.0 && air.wind_coefficient > 0.0) {
    constexpr double kWindM_S = 6.7056;  // 15 mph
    result.wind_would_leave = WindWouldLeave{
        kWindM_S,
        with(&solve::SiteAir::wind_pa,
             air.outdoor_density_kg_m3 / 2.0 * kWindM_S * kWindM_S * air.wind_coefficient)};
  }
  if (air.wind_pa != 0.0) {
    result.without_wind_m3_s = with(&solve::SiteAir::wind_pa, 0.0);
  }
  if (air.back_pressure_pa != 0.0) {
    result.without_back_pressure_m3_s = with(&solve::SiteAir::back_pressure_pa, 0.0);
  }
}

/// The headline speed with the leakage read as a report for standard air.
void put_leakage_reported(CheckResult& result, const fitting::Catalogue& catalogue) {
  const auto& house = result.layout.house;
  if (!result.headline || !house || !house->leakage || house->leakage->at_standard ||
      result.house.coupled() == nullptr) {
    return;
  }
  const SpeedResult& speed = result.speeds[*result.headline];
  if (speed.point.status != Status::found || !speed.fan.fan) {
    return;
  }
  layout::Layout reported = result.layout;
  reported.house->leakage->at_standard = true;
  const auto compiled = house::compile(reported, catalogue, result.run);
  if (!compiled) {
    return;
  }
  const house::Zone& zone = *compiled->coupled();
  const solve::OperatingPoint point = house::operating_point(result.run, *speed.fan.fan, &zone);
  const double test_pa = zone.test_pressure_pa;
  LeakageReported out;
  out.airflow_ratio = zone.leakage_m3_s(test_pa) / result.house.coupled()->leakage_m3_s(test_pa);
  out.airflow_m3_s = solve::best_airflow_m3_s(point);
  out.depressurisation_pa = zone.depressurisation_pa(solve::greatest_airflow_m3_s(point));
  result.leakage_reported = out;
}

/// A figure so large that nothing follows from it.
std::optional<base::Diagnostic> no_number(const CheckResult& result) {
  const auto found = std::ranges::find_if(result.speeds, [](const SpeedResult& speed) {
    return solve::has_best_airflow(speed.point) &&
           (!std::isfinite(solve::best_airflow_m3_s(speed.point)) ||
            !std::isfinite(speed.point.total_pressure_pa));
  });
  if (found == result.speeds.end()) {
    return std::nullopt;
  }
  return base::fault_at(
      {result.layout.source, result.layout.fan->speeds[found->index].span},
      "answer-not-finite",
      fmt::format("what {} delivers is no number: a figure of its curve or of the run is beyond "
                  "what can be calculated with",
                  base::shown(found->name)));
}

/// The speed whose ledger is shown: the one asked for, else the headline's.
base::Checked<std::optional<std::size_t>> ledger_speed(const CheckResult& result,
                                                       const std::string& asked) {
  if (asked.empty()) {
    return result.headline;
  }
  const auto found = std::ranges::find(result.speeds, asked, &SpeedResult::name);
  if (found != result.speeds.end()) {
    return std::optional(static_cast<std::size_t>(found - result.speeds.begin()));
  }
  std::vector<std::string> names;
  std::ranges::transform(result.speeds, std::back_inserter(names), &SpeedResult::name);
  const auto near = base::nearest(asked, names);
  return base::fault("unknown-speed",
                     fmt::format("the layout has no speed named `{}`", base::escaped(asked)),
                     near            ? fmt::format("did you mean `{}`?", *near)
                     : names.empty() ? std::string()
                                     : "its speeds: " + base::joined(names, "and"));
}

}  // namespace

std::vector<std::string> cautions(const layout::Layout& layout) {
  std::vector<std::string> list{
      "power off at the panel and locked before any work on the appliance",
      layout.appliance.kind == layout::ApplianceKind::clothes_dryer
          ? "metal duct only, joints sealed, without screws that reach inside"
          : "metal duct only, joints sealed",
      "a qualified installer, by the manufacturer's instructions",
      "local code and the authority having jurisdiction decide; this calculation is no permit"};
  if (layout.run.discharge == layout::Discharge::outdoors) {
    list.emplace_back(
        "exhaust can draw flue gas back into a house: check every fuel-burning appliance and keep "
        "a "
        "carbon monoxide alarm");
  }
  if (layout.house) {
    list.emplace_back(
        "depressurization here is a screening figure: whether flue gas spills is found by a test "
        "at "
        "the worst case, by a qualified person; the local authority decides");
  }
  return list;
}

namespace {

/// The layout as plain arrays, nothing solved yet.
base::Checked<CheckResult> compiled_layout(layout::Layout layout,
                                           const fitting::Catalogue& catalogue,
                                           const CheckOptions& options) {
  auto run = solve::compile(layout, catalogue, options.compile);
  if (!run) {
    return std::move(run).error();
  }
  auto house = house::compile(layout, catalogue, *run);
  if (!house) {
    return std::move(house).error();
  }
  return CheckResult{.layout = std::move(layout),
                     .run = *std::move(run),
                     .house = *std::move(house),
                     .speeds = {},
                     .headline = {},
                     .ledger_speed = {},
                     .resistance = {},
                     .equivalent_lengths = {},
                     .required_length = {},
                     .requirement = {},
                     .nominal = {},
                     .dryer = {},
                     .advice = {},
                     .findings = {},
                     .cautions = {},
                     .catalogue_hash = catalogue.content_hash(),
                     .catalogue_files = catalogue.added(),
                     .samples_asked = options.samples > 0};
}

/// What is said of the solved speeds.
void judge_speeds(CheckResult& result, const fitting::Catalogue& catalogue) {
  if (std::ranges::none_of(result.speeds,
                           [](const SpeedResult& speed) { return speed.ledger.has_value(); })) {
    result.resistance = resistance({result.layout, result.run, result.house}, result.speeds);
  }
  result.curves = curves(result);
  result.profile = profile(result);
  const result::Case subject = as_case(result, catalogue);
  result.requirement = result::requirement(subject);
  result.findings = findings::findings(subject);
  result.cautions = cautions(result.layout);
  put_would_leave(result);
  put_leakage_reported(result, catalogue);
  compare(result, catalogue);
}

}  // namespace

base::Checked<CheckResult> check(layout::Layout layout,
                                 const fitting::Catalogue& catalogue,
                                 const CheckOptions& options) {
  auto compiled = compiled_layout(std::move(layout), catalogue, options);
  if (!compiled) {
    return compiled;
  }
  CheckResult& result = *compiled;
  if (options.depth == Depth::whole) {
    result.route = layout::run_geometry(result.layout);
  }
  if (result.layout.fan) {
    const auto speed = [&](std::size_t i) {
      SpeedResult one = calculate_speed({result.layout, result.run, result.house}, i, options);
      one.figures = result::figures(one, result.run);
      return one;
    };
    result.speeds = parallel::map<SpeedResult>(result.layout.fan->speeds.size(), speed);
  }
  if (auto fault = no_number(result)) {
    return *std::move(fault);
  }
  result.headline = headline_of(result.speeds);
  auto shown = ledger_speed(result, options.speed);
  if (!shown) {
    return std::move(shown).error();
  }
  result.ledger_speed = *shown;
  if (options.depth != Depth::whole) {
    return compiled;
  }
  judge_speeds(result, catalogue);
  if (options.advise) {
    result.advice = advice(result, catalogue);
  }
  return compiled;
}

}  // namespace ductledger::study
