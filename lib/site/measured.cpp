#include "site/measured.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "duct/friction.hpp"
#include "house/uncertain_room.hpp"
#include "numeric/root.hpp"
#include "site/faults_internal.hpp"

namespace ductledger::site {
namespace {

using units::Dimension;

constexpr double kGaugeShare = 0.01;
constexpr double kGaugeFloor_pa = 0.2;
constexpr double kPoweredHoodU = 0.06;
constexpr double kHoodU = 0.18;
/// Beyond this half-width, as a share of the airflow, a reading is said to tell little (assumed).
constexpr double kTellsLittle = 0.25;
constexpr std::size_t kSteps = 600;

/// A speed as the gauge sees it: pressures over airflow.
class Tap {
 public:
  Tap(const study::CheckResult& check, std::size_t speed)
      : demand_(house::demand(check.run, check.house)), fan_(*check.speeds[speed].fan.fan) {
    const double area_m2 = check.run.collar.area_m2();
    collar_dynamic_ = check.run.air.density_kg_m3 / 2.0 / (area_m2 * area_m2);
  }

  [[nodiscard]] double first() const { return fan_.curve.first_airflow_m3_s(); }
  [[nodiscard]] double last() const { return fan_.curve.last_airflow_m3_s(); }
  [[nodiscard]] bool covers(double q) const { return q >= first() && q <= last(); }
  [[nodiscard]] double velocity_pressure(double q) const { return collar_dynamic_ * q * q; }
  [[nodiscard]] double fan_total(double q) const {
    return fan_.curve.pressure_pa(q) + fan_.dynamic_pa_s2_m6 * q * q;
  }
  /// What the gauge at the collar reads against the room.
  [[nodiscard]] double static_at(double q) const { return fan_total(q) - velocity_pressure(q); }
  [[nodiscard]] double static_slope(double q) const {
    return fan_.curve.slope(q) + 2.0 * (fan_.dynamic_pa_s2_m6 - collar_dynamic_) * q;
  }
  /// What run and house ask of the fan.
  [[nodiscard]] const solve::Demand& demand() const { return demand_; }

 private:
  solve::Demand demand_;
  const solve::FanAtSpeed& fan_;
  double collar_dynamic_ = 0.0;
};

/// Sums over the errors of run and fan at one airflow.
class Doubts {
 public:
  Doubts(const study::CheckResult& check, std::size_t speed)
      : model_(check.layout,
               check.run,
               {.fan = &*check.speeds[speed].fan.fan,
                .origin = check.speeds[speed].fan.origin,
                .speed_ratio = check.speeds[speed].fan.speed_ratio}),
        parts_(check.run.pieces.size() + 2) {}

  /// One standard uncertainty of a quantity whose change is `run` times that of the run's losses
  /// and ends plus `fan` times that of the fan's pressure.
  struct Weights {
    double run = 1.0;
    double fan = 1.0;
  };
  [[nodiscard]] double at(double q, const Weights& weights) {
    double sum = 0.0;
    const std::size_t pieces = parts_.size() - 2;
    for (std::size_t i = 0; i < model_.sources().size(); ++i) {
      model_.derivatives({.airflow_m3_s = q, .source = i}, parts_);
      double run = parts_[pieces + 1];
      for (std::size_t k = 0; k < pieces; ++k) {
        run += parts_[k];
      }
      const double change = weights.run * run + weights.fan * parts_[pieces];
      sum += change * change;
    }
    return std::sqrt(sum);
  }

 private:
  solve::ErrorModel model_;
  std::vector<double> parts_;
};

template <class Function>
double root(const Function& f, double low, double high) {
  return numeric::find_root(f, {low, high}, {}).root;
}

/// Airflows at which the curve has the pressure read, each with the stretch that fits within k = 2.
std::vector<AirflowRead> airflows_by_gauge(const Tap& tap, Doubts& doubts, double reading_pa) {
  const double gauge_pa = gauge_uncertainty_pa(reading_pa);
  const auto miss = [&](double q) { return tap.static_at(q) - reading_pa; };
  const auto outside = [&](double q) {
    const double fan_pa = doubts.at(q, {.run = 0.0, .fan = 1.0});
    return std::abs(miss(q)) - 2.0 * std::hypot(fan_pa, gauge_pa);
  };
  const double step = (tap.last() - tap.first()) / static_cast<double>(kSteps);
  std::vector<double> roots;
  std::vector<AirflowRead> stretches;
  double before = tap.first();
  if (outside(before) <= 0.0) {
    stretches.push_back({.airflow_m3_s = 0.0, .band = {before, before}, .open_low = true});
  }
  bool within = !stretches.empty();
  for (std::size_t i = 1; i <= kSteps; ++i) {
    const double q = i == kSteps ? tap.last() : tap.first() + static_cast<double>(i) * step;
    if ((miss(before) < 0.0) != (miss(q) < 0.0)) {
      roots.push_back(root(miss, before, q));
    }
    const bool inside = outside(q) <= 0.0;
    if (inside && !within) {
      const double edge = root(outside, before, q);
      stretches.push_back({.airflow_m3_s = 0.0, .band = {edge, edge}});
    } else if (!inside && within) {
      stretches.back().band.high = root(outside, before, q);
    }
    within = inside;
    before = q;
  }
  if (within) {
    stretches.back().band.high = tap.last();
    stretches.back().open_high = true;
  }
  std::vector<AirflowRead> out;
  for (const double q : roots) {
    for (const AirflowRead& stretch : stretches) {
      if (q >= stretch.band.low && q <= stretch.band.high) {
        out.push_back(stretch);
        out.back().airflow_m3_s = q;
        break;
      }
    }
  }
  return out;
}

double airflow_uncertainty(const layout::Measurement& reading,
                           const std::optional<TraverseAirflow>& traverse) {
  if (traverse) {
    return traverse->standard_uncertainty;
  }
  return reading.instrument == layout::Instrument::powered_flow_hood ? kPoweredHoodU : kHoodU;
}

base::Diagnostic fault_at(const study::CheckResult& check,
                          const base::Span& span,
                          std::string rule,
                          std::string message) {
  return span.line > 0
             ? base::fault_at({check.layout.source, span}, std::move(rule), std::move(message))
             : base::fault(std::move(rule), std::move(message));
}

/// The speed a reading was taken at; nothing where it cannot be judged.
struct SpeedOf {
  std::optional<std::size_t> speed;
  std::optional<base::Diagnostic> fault;
};
SpeedOf speed_of(const study::CheckResult& check, const layout::Measurement& reading) {
  SpeedOf out;
  if (reading.speed.empty()) {
    out.speed = check.headline;
    if (!out.speed) {
      out.fault = fault_at(check,
                           reading.span,
                           "no-speed",
                           "the layout has no speed that a reading could belong to");
      out.fault->help = "state the fan with its curve";
    }
    return out;
  }
  std::vector<std::string> names;
  for (std::size_t i = 0; i < check.speeds.size(); ++i) {
    if (check.speeds[i].name == reading.speed) {
      out.speed = i;
      return out;
    }
    names.push_back(check.speeds[i].name);
  }
  out.fault =
      fault_at(check,
               reading.span,
               "unknown-speed",
               fmt::format("the layout has no speed named `{}`", base::escaped(reading.speed)));
  if (const auto near = base::nearest(reading.speed, names)) {
    out.fault->help = fmt::format("did you mean `{}`?", *near);
  } else if (!names.empty()) {
    out.fault->help = "its speeds: " + base::joined(names, "and");
  }
  return out;
}

std::optional<base::Diagnostic> refused(const study::CheckResult& check,
                                        const layout::Measurement& reading,
                                        std::size_t speed) {
  if (!reading.static_pressure_pa) {
    return std::nullopt;
  }
  const base::Span& span = reading.static_span.line > 0 ? reading.static_span : reading.span;
  if (!check.run.fan_at_collar) {
    auto out = fault_at(check,
                        span,
                        "reading-not-usable",
                        "with the fan away from the collar its pressure there tells of the hood "
                        "alone, not of the fan curve");
    out.help = "read an airflow by a flow hood or a traverse";
    return out;
  }
  if (*reading.static_pressure_pa < 0.0) {
    auto out = fault_at(check,
                        span,
                        "negative-static-pressure",
                        "a static pressure below the room's behind a fan at the collar");
    out.label = "expected 0 or more";
    out.help = "check the hoses: the duct's side goes to the gauge's high port";
    return out;
  }
  if (!check.speeds[speed].fan.fan && !reading.airflow_m3_s && !reading.traverse) {
    auto out =
        fault_at(check,
                 span,
                 "fan-not-determined",
                 fmt::format("the curve of `{}` is not known, so a pressure tells no airflow",
                             base::escaped(check.speeds[speed].name)));
    out.help = check.speeds[speed].fan.why_not;
    return out;
  }
  return std::nullopt;
}

ByMeasurement requirement(const study::CheckResult& check, const Judged& judged) {
  const auto required = check.layout.appliance.required_airflow_m3_s;
  if (!required || judged.airflows.empty()) {
    return ByMeasurement::none;
  }
  const auto above = [&](const AirflowRead& read) { return read.band.low >= *required; };
  const auto below = [&](const AirflowRead& read) { return read.band.high < *required; };
  if (std::all_of(judged.airflows.begin(), judged.airflows.end(), above)) {
    return ByMeasurement::met;
  }
  if (std::all_of(judged.airflows.begin(), judged.airflows.end(), below)) {
    return ByMeasurement::not_met;
  }
  return ByMeasurement::not_shown;
}

/// What every reading is judged against.
struct Judging {
  const study::CheckResult& check;
  const fitting::Catalogue& catalogue;
};

struct ExtraAt {
  double airflow_m3_s = 0.0;
  double airflow_u_m3_s = 0.0;               ///< of an airflow that was read; 0: read off the curve
  std::optional<double> static_pressure_pa;  ///< read beside it
};

/// What the run costs beyond what was calculated, and the doubt of that.
Extra extra_of(const Judging& judging, const Tap& tap, Doubts& doubts, const ExtraAt& at) {
  Extra extra;
  const double q = at.airflow_m3_s;
  const double spent_slope = tap.demand().slope_pa_s_m3(q);
  if (at.static_pressure_pa) {
    extra.pressure_pa = tap.demand().left_pa(*at.static_pressure_pa + tap.velocity_pressure(q), q);
  } else {
    extra.pressure_pa = tap.demand().left_pa(tap.fan_total(q), q);
  }
  double run_pa = 0.0;
  double read_pa = 0.0;
  if (at.static_pressure_pa && at.airflow_u_m3_s == 0.0) {
    // Airflow from the pressure: an error of the fan moves the airflow, and that the losses.
    const double vp_slope = 2.0 * tap.velocity_pressure(q) / std::max(q, 1e-9);
    const double by_airflow = (vp_slope - spent_slope) / tap.static_slope(q);
    run_pa = doubts.at(q, {.run = 1.0, .fan = -by_airflow});
    read_pa = gauge_uncertainty_pa(*at.static_pressure_pa) * (1.0 + by_airflow);
  } else if (at.static_pressure_pa) {
    const double vp_slope = 2.0 * tap.velocity_pressure(q) / std::max(q, 1e-9);
    run_pa = doubts.at(q, {.run = 1.0, .fan = 0.0});
    read_pa = std::hypot(gauge_uncertainty_pa(*at.static_pressure_pa),
                         (vp_slope - spent_slope) * at.airflow_u_m3_s);
  } else {
    const double vp_slope = 2.0 * tap.velocity_pressure(q) / std::max(q, 1e-9);
    run_pa = doubts.at(q, {.run = 1.0, .fan = 1.0});
    read_pa = (tap.static_slope(q) + vp_slope - spent_slope) * at.airflow_u_m3_s;
  }
  extra.doubt_pa = solve::kCoverage * std::hypot(run_pa, read_pa);
  const double vp_pa = tap.velocity_pressure(q);
  extra.coefficient = vp_pa > 0.0 ? std::max(extra.pressure_pa, 0.0) / vp_pa : 0.0;
  if (extra.pressure_pa > extra.doubt_pa) {
    extra.faults = faults({.check = judging.check,
                           .catalogue = judging.catalogue,
                           .airflow_m3_s = q,
                           .extra_pa = extra.pressure_pa,
                           .extra_coefficient = extra.coefficient});
  }
  return extra;
}

Verdict by_extra(const Extra& extra, Verdict where_less) {
  if (std::abs(extra.pressure_pa) <= extra.doubt_pa) {
    return Verdict::as_calculated;
  }
  return extra.pressure_pa > 0.0 ? Verdict::more_resistance : where_less;
}

void judge_gauge(const Judging& judging, const Tap& tap, Doubts& doubts, Judged& judged) {
  const double reading_pa = *judged.reading.static_pressure_pa;
  judged.airflows = airflows_by_gauge(tap, doubts, reading_pa);
  if (judged.airflows.empty()) {
    judged.verdict = reading_pa < tap.static_at(tap.last()) ? Verdict::below_the_curve
                                                            : Verdict::above_the_curve;
    return;
  }
  if (judged.airflows.size() > 1) {
    judged.verdict = Verdict::several_airflows;
    return;
  }
  const AirflowRead& read = judged.airflows.front();
  judged.extra = extra_of(
      judging, tap, doubts, {.airflow_m3_s = read.airflow_m3_s, .static_pressure_pa = reading_pa});
  const double half = (read.band.high - read.band.low) / 2.0;
  if (half > kTellsLittle * read.airflow_m3_s || tap.static_slope(read.airflow_m3_s) >= 0.0) {
    judged.verdict = Verdict::tells_little;
    judged.extra->faults.clear();
    return;
  }
  judged.verdict = by_extra(*judged.extra, Verdict::less_pressure);
}

/// An airflow was read, with or without a pressure beside it.
void judge_airflow(const Judging& judging, Judged& judged) {
  const study::CheckResult& check = judging.check;
  const result::SpeedResult& speed = check.speeds[judged.speed];
  if (judged.reading.traverse) {
    judged.traverse = traverse_airflow(*judged.reading.traverse, check.run.air.density_kg_m3);
  }
  const double q = judged.traverse ? judged.traverse->airflow_m3_s : *judged.reading.airflow_m3_s;
  const double u_m3_s = q * airflow_uncertainty(judged.reading, judged.traverse);
  judged.airflows.push_back(
      {.airflow_m3_s = q,
       .band = {std::max(q - solve::kCoverage * u_m3_s, 0.0), q + solve::kCoverage * u_m3_s}});
  if (!speed.fan.fan) {
    return;
  }
  const Tap tap(check, judged.speed);
  Doubts doubts(check, judged.speed);
  if (!tap.covers(q)) {
    judged.verdict = q > tap.last() ? Verdict::more_airflow : Verdict::not_comparable;
    return;
  }
  if (judged.reading.static_pressure_pa && tap.static_at(q) > 0.0) {
    judged.fan_share_of_curve = *judged.reading.static_pressure_pa / tap.static_at(q);
  }
  judged.extra = extra_of(judging,
                          tap,
                          doubts,
                          {.airflow_m3_s = q,
                           .airflow_u_m3_s = u_m3_s,
                           .static_pressure_pa = judged.reading.static_pressure_pa});
  judged.verdict = by_extra(*judged.extra, Verdict::more_airflow);
}

}  // namespace

double gauge_uncertainty_pa(double reading_pa) noexcept {
  return std::max(kGaugeShare * std::abs(reading_pa), kGaugeFloor_pa);
}

std::optional<ExpectedStatic> expected_static(const study::CheckResult& check,
                                              std::size_t speed_index) {
  const result::SpeedResult& speed = check.speeds[speed_index];
  if (!check.run.fan_at_collar || !speed.ledger || speed.point.status != solve::Status::found) {
    return std::nullopt;
  }
  ExpectedStatic out;
  out.pressure_pa = speed.ledger->collar_static_pressure_pa;
  if (!speed.band) {
    return out;
  }
  const Tap tap(check, speed_index);
  const double q = speed.point.airflow_m3_s;
  const solve::ErrorModel model(check.layout,
                                check.run,
                                {.fan = &*speed.fan.fan,
                                 .origin = speed.fan.origin,
                                 .speed_ratio = speed.fan.speed_ratio,
                                 .room = house::uncertain_room(check.house)});
  std::vector<double> parts(check.run.pieces.size() + 2);
  double sum = 0.0;
  for (const solve::SourceEffect& effect : speed.band->first_order.effects) {
    model.derivatives({.airflow_m3_s = q, .source = effect.source}, parts);
    const double fan_pa = parts[parts.size() - 2];
    const double change = tap.static_slope(q) * effect.airflow_m3_s + fan_pa;
    sum += change * change;
  }
  const double half_pa = solve::kCoverage * std::sqrt(sum);
  out.band_pa = result::Band{out.pressure_pa - half_pa, out.pressure_pa + half_pa};
  return out;
}

base::Checked<MeasuredResult> measured(study::CheckResult check,
                                       const fitting::Catalogue& catalogue,
                                       const std::vector<layout::Measurement>& readings) {
  base::Diagnostics problems;
  std::vector<Judged> judged_readings;
  const Judging judging{check, catalogue};
  for (const layout::Measurement& reading : readings) {
    SpeedOf speed = speed_of(check, reading);
    if (speed.speed && !speed.fault) {
      speed.fault = refused(check, reading, *speed.speed);
    }
    if (speed.fault) {
      problems.push_back(*std::move(speed.fault));
      continue;
    }
    Judged judged;
    judged.reading = reading;
    judged.speed = *speed.speed;
    judged.expected = expected_static(check, judged.speed);
    judged.above_expected = reading.static_pressure_pa && judged.expected &&
                            judged.expected->band_pa &&
                            *reading.static_pressure_pa > judged.expected->band_pa->high;
    if (reading.airflow_m3_s || reading.traverse) {
      judge_airflow(judging, judged);
    } else {
      const Tap tap(check, judged.speed);
      Doubts doubts(check, judged.speed);
      judge_gauge(judging, tap, doubts, judged);
    }
    judged.requirement = requirement(check, judged);
    judged_readings.push_back(std::move(judged));
  }
  if (!problems.empty()) {
    return problems;
  }
  return MeasuredResult{std::move(check), std::move(judged_readings)};
}

}  // namespace ductledger::site
