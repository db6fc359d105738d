#include "site/measured.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "duct/friction.hpp"
#include "layout/piece_number.hpp"
#include "numeric/root.hpp"
#include "site/faults_internal.hpp"
#include "site/measured_internal.hpp"

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

template <class Function>
double root(const Function& f, double low, double high) {
  return numeric::find_root(f, {low, high}, {}).root;
}

/// Airflows at which the curve has the pressure read, each with the stretch that fits within k = 2.
std::vector<AirflowRead> airflows_by_gauge(const Gauge& gauge,
                                           Doubts& doubts,
                                           const layout::Measurement& reading) {
  const double gauge_pa = static_uncertainty_pa(reading);
  const auto miss = [&](double q) { return gauge.static_at(q) - *reading.static_pressure_pa; };
  const auto outside = [&](double q) {
    const double fan_pa = doubts.at(q, {.before = 1.0, .after = 0.0, .fan = 1.0});
    return std::abs(miss(q)) - solve::kCoverage * std::hypot(fan_pa, gauge_pa);
  };
  const double step = (gauge.last() - gauge.first()) / static_cast<double>(kSteps);
  std::vector<double> roots;
  std::vector<AirflowRead> stretches;
  double before = gauge.first();
  if (outside(before) <= 0.0) {
    stretches.push_back({.airflow_m3_s = 0.0, .band = {before, before}, .open_low = true});
  }
  bool within = !stretches.empty();
  for (std::size_t i = 1; i <= kSteps; ++i) {
    const double q = i == kSteps ? gauge.last() : gauge.first() + static_cast<double>(i) * step;
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
    stretches.back().band.high = gauge.last();
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

/// Relative, one standard uncertainty, where the reading states none.
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
  return reading_fault(check.layout, span, std::move(rule), std::move(message));
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
  out.fault = unknown_speed(check.layout, reading, names);
  return out;
}

/// Whether the gauge stands before a fan that is not at the collar.
bool before_the_fan(const study::CheckResult& check, const layout::GaugePlace& place) {
  using Kind = layout::GaugePlace::Kind;
  return !check.run.fan_at_collar &&
         (place.kind == Kind::collar ||
          (place.kind == Kind::piece && place.piece < check.layout.run.fan_piece.value_or(0)));
}

/// @param tap of the reading; nothing: no place for one
std::optional<base::Diagnostic> refused(const study::CheckResult& check,
                                        const layout::Measurement& reading,
                                        std::size_t speed,
                                        const std::optional<Tap>& tap) {
  if (!reading.static_pressure_pa) {
    return std::nullopt;
  }
  const base::Span& span = reading.static_span.line > 0 ? reading.static_span : reading.span;
  if (!tap) {
    auto out = fault_at(
        check, span, "no-hole", "the run has no straight behind its fan for a gauge's hole");
    out.help = "read at the collar, or the rise across the fan (`at: fan`)";
    return out;
  }
  if (before_the_fan(check, reading.at)) {
    auto out = fault_at(check,
                        span,
                        "reading-not-usable",
                        "before a fan that is away from the collar a pressure tells of what stands "
                        "there alone, not of the fan curve");
    out.help = "read the rise across the fan (`at: fan`), or an airflow by a flow hood or traverse";
    return out;
  }
  const auto expected = expected_static(check, speed, *tap);
  if (*reading.static_pressure_pa < 0.0 && !(expected && expected->pressure_pa < 0.0)) {
    auto out = fault_at(check,
                        span,
                        "negative-static-pressure",
                        check.run.fan_at_collar
                            ? "a static pressure below the room's behind a fan at the collar"
                            : "a static pressure below the room's behind the fan");
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

struct ExtraAt {
  double airflow_m3_s = 0.0;
  double airflow_u_m3_s = 0.0;               ///< of an airflow that was read; 0: read off the curve
  std::optional<double> static_pressure_pa;  ///< read beside it
  double static_u_pa = 0.0;
};

/// What the run costs beyond what was calculated, and the doubt of that.
Extra extra_of(const Judging& judging, const Gauge& gauge, Doubts& doubts, const ExtraAt& at) {
  Extra extra;
  const double q = at.airflow_m3_s;
  const double asked_slope = gauge.demand().slope_pa_s_m3(q);
  const double before_slope = gauge.before_slope(q);
  if (at.static_pressure_pa) {
    extra.pressure_pa = gauge.demand().left_pa(*at.static_pressure_pa + gauge.before(q), q);
  } else {
    extra.pressure_pa = gauge.demand().left_pa(gauge.fan_total(q), q);
  }
  double run_pa = 0.0;
  double read_pa = 0.0;
  if (at.static_pressure_pa && at.airflow_u_m3_s == 0.0) {
    // Airflow from the pressure: an error of the fan, or of what stands before the tap, moves the
    // airflow, and that the losses.
    const double by_airflow = (before_slope - asked_slope) / gauge.static_slope(q);
    run_pa = doubts.at(q, {.before = -by_airflow, .after = 1.0, .fan = -by_airflow});
    read_pa = at.static_u_pa * (1.0 + by_airflow);
  } else if (at.static_pressure_pa) {
    run_pa = doubts.at(q, {.before = 0.0, .after = 1.0, .fan = 0.0});
    read_pa = std::hypot(at.static_u_pa, (before_slope - asked_slope) * at.airflow_u_m3_s);
  } else {
    run_pa = doubts.at(q, {.before = 1.0, .after = 1.0, .fan = 1.0});
    read_pa = (gauge.static_slope(q) + before_slope - asked_slope) * at.airflow_u_m3_s;
  }
  extra.doubt_pa = solve::kCoverage * std::hypot(run_pa, read_pa);
  const double vp_pa = gauge.collar_velocity_pressure(q);
  extra.coefficient = vp_pa > 0.0 ? std::max(extra.pressure_pa, 0.0) / vp_pa : 0.0;
  if (extra.pressure_pa > extra.doubt_pa) {
    extra.faults = faults({.pieces = judging.pieces,
                           .run = judging.run,
                           .catalogue = judging.catalogue,
                           .first_piece = judging.first_piece,
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

/// Beyond the printed points a fan that falls bounds the airflow all the same.
bool bound_by_end(const Gauge& gauge, bool falls, Judged& judged) {
  const double reading_pa = *judged.reading.static_pressure_pa;
  if (reading_pa > gauge.static_at(gauge.first()) && gauge.first() > 0.0 && falls) {
    judged.verdict = Verdict::above_the_first_point;
    judged.airflows.push_back({.band = {0.0, gauge.first()}, .open_low = true, .is_bound = true});
    return true;
  }
  return false;
}

/// With airflow and pressure both read: whether the pair lies off the fan curve beyond its doubt.
std::optional<Verdict> off_the_curve(const Gauge& gauge,
                                     Doubts& doubts,
                                     const Judged& judged,
                                     double airflow_u_m3_s) {
  const double q = judged.airflows.front().airflow_m3_s;
  const double miss_pa = *judged.reading.static_pressure_pa - gauge.static_at(q);
  const double fan_pa = doubts.at(q, {.before = 1.0, .after = 0.0, .fan = 1.0});
  const double read_pa =
      std::hypot(static_uncertainty_pa(judged.reading), gauge.static_slope(q) * airflow_u_m3_s);
  if (std::abs(miss_pa) <= solve::kCoverage * std::hypot(fan_pa, read_pa)) {
    return std::nullopt;
  }
  return miss_pa < 0.0 ? Verdict::fan_below_curve : Verdict::fan_above_curve;
}

/// An airflow read against the bounds that are all that is known of the speed.
Verdict by_bounds(const result::Band& read, const result::Band& bounds) {
  return read.low > bounds.high   ? Verdict::more_airflow
         : read.high < bounds.low ? Verdict::more_resistance
                                  : Verdict::as_calculated;
}

/// An airflow was read, with or without a pressure beside it.
void judge_airflow(const study::CheckResult& check,
                   const Judging& judging,
                   const std::optional<Tap>& tap,
                   Judged& judged) {
  const result::SpeedResult& speed = check.speeds[judged.speed];
  const double u_m3_s = put_airflow(check.run.air.density_kg_m3, judged);
  const double q = judged.airflows.front().airflow_m3_s;
  const std::optional<result::Band> bounds = result::bounds_of(speed);
  if (!speed.fan.fan || !tap) {
    if (bounds) {
      judged.verdict = by_bounds(judged.airflows.front().band, *bounds);
    }
    return;
  }
  const Gauge gauge(check, judged.speed, *tap);
  Doubts doubts(check, judged.speed, *tap);
  if (!gauge.covers(q)) {
    if (bounds) {
      judged.verdict = by_bounds(judged.airflows.front().band, *bounds);
      return;
    }
    judged.verdict = q > gauge.last() ? Verdict::more_airflow : Verdict::not_comparable;
    return;
  }
  judge_on_curve(judging, gauge, doubts, u_m3_s, judged);
}

}  // namespace

base::Diagnostic reading_fault(const layout::Layout& layout,
                               const base::Span& span,
                               std::string rule,
                               std::string message) {
  return span.line > 0 ? base::fault_at({layout.source, span}, std::move(rule), std::move(message))
                       : base::fault(std::move(rule), std::move(message));
}

base::Diagnostic unknown_speed(const layout::Layout& layout,
                               const layout::Measurement& reading,
                               const std::vector<std::string>& names) {
  auto out = reading_fault(
      layout,
      reading.span,
      "unknown-speed",
      fmt::format("the layout has no speed named `{}`", base::escaped(reading.speed)));
  if (const auto near = base::nearest(reading.speed, names)) {
    out.help = fmt::format("did you mean `{}`?", *near);
  } else if (!names.empty()) {
    out.help = "its speeds: " + base::joined(names, "and");
  }
  return out;
}

double static_uncertainty_pa(const layout::Measurement& reading) {
  const double read_pa = *reading.static_pressure_pa;
  return reading.static_doubt ? reading.static_doubt->at(read_pa) : gauge_uncertainty_pa(read_pa);
}

ByMeasurement requirement(const Judged& judged) {
  const std::optional<double>& required = judged.required_m3_s;
  if (!required || judged.airflows.empty()) {
    return ByMeasurement::none;
  }
  // Where the range runs into an end of the curve, that end is no limit but zero airflow.
  const auto above = [&](const AirflowRead& read) {
    return read.band.low >= *required && (!read.open_low || read.band.low <= 0.0 || read.is_bound);
  };
  const auto below = [&](const AirflowRead& read) {
    return read.band.high < *required && !read.open_high;
  };
  if (std::all_of(judged.airflows.begin(), judged.airflows.end(), above)) {
    return ByMeasurement::met;
  }
  if (std::all_of(judged.airflows.begin(), judged.airflows.end(), below)) {
    return ByMeasurement::not_met;
  }
  return ByMeasurement::not_shown;
}

void judge_gauge(const Judging& judging, const Gauge& gauge, Doubts& doubts, Judged& judged) {
  const double reading_pa = *judged.reading.static_pressure_pa;
  judged.airflows = airflows_by_gauge(gauge, doubts, judged.reading);
  if (judged.airflows.empty()) {
    if (!bound_by_end(gauge, judging.fan_falls, judged)) {
      judged.verdict = reading_pa < gauge.static_at(gauge.last()) ? Verdict::below_the_curve
                                                                  : Verdict::above_the_curve;
    }
    return;
  }
  if (judged.airflows.size() > 1) {
    judged.verdict = Verdict::several_airflows;
    return;
  }
  const AirflowRead& read = judged.airflows.front();
  judged.extra = extra_of(judging,
                          gauge,
                          doubts,
                          {.airflow_m3_s = read.airflow_m3_s,
                           .static_pressure_pa = reading_pa,
                           .static_u_pa = static_uncertainty_pa(judged.reading)});
  const double half = (read.band.high - read.band.low) / 2.0;
  if (half > kTellsLittle * read.airflow_m3_s || gauge.static_slope(read.airflow_m3_s) >= 0.0) {
    judged.verdict = Verdict::tells_little;
    judged.extra->faults.clear();
    return;
  }
  judged.verdict = by_extra(*judged.extra, judging.where_less);
}

double put_airflow(double density_kg_m3, Judged& judged) {
  if (judged.reading.traverse) {
    judged.traverse = traverse_airflow(*judged.reading.traverse, density_kg_m3);
  }
  const double q = judged.traverse ? judged.traverse->airflow_m3_s : *judged.reading.airflow_m3_s;
  const double u_m3_s = judged.reading.airflow_doubt
                            ? judged.reading.airflow_doubt->at(q)
                            : q * airflow_uncertainty(judged.reading, judged.traverse);
  judged.airflows.push_back(
      {.airflow_m3_s = q,
       .band = {std::max(q - solve::kCoverage * u_m3_s, 0.0), q + solve::kCoverage * u_m3_s}});
  return u_m3_s;
}

void judge_on_curve(
    const Judging& judging, const Gauge& gauge, Doubts& doubts, double u_m3_s, Judged& judged) {
  const double q = judged.airflows.front().airflow_m3_s;
  if (judged.reading.static_pressure_pa && gauge.static_at(q) > 0.0) {
    judged.fan_share_of_curve = *judged.reading.static_pressure_pa / gauge.static_at(q);
  }
  ExtraAt at{.airflow_m3_s = q, .airflow_u_m3_s = u_m3_s, .static_pressure_pa = {}};
  std::optional<Verdict> off;
  if (judged.reading.static_pressure_pa) {
    at.static_pressure_pa = judged.reading.static_pressure_pa;
    at.static_u_pa = static_uncertainty_pa(judged.reading);
    off = off_the_curve(gauge, doubts, judged, u_m3_s);
  }
  judged.extra = extra_of(judging, gauge, doubts, at);
  judged.verdict = off.value_or(by_extra(*judged.extra, Verdict::more_airflow));
}

namespace {

/// What would explain a reading, likeliest first.
class Causes {
 public:
  explicit Causes(const Judged& judged) : judged_(judged) {}

  [[nodiscard]] std::vector<units::Message> told() {
    switch (judged_.verdict) {
      case Verdict::fan_below_curve:
        add_slow_fan();
        add_faults();
        break;
      case Verdict::fan_above_curve:
        add("a fan that turns faster than its curve, or another fan or speed than stated");
        add_faults();
        break;
      case Verdict::more_resistance:
        add_faults();
        if (!both_read()) {
          add(judged_.reading.static_pressure_pa
                  ? "a fan that turns faster than its curve: check the speed setting first"
                  : "a fan that turns slower than its curve, or a blocked filter: read the static "
                    "pressure as well");
        }
        break;
      case Verdict::less_pressure:
        add_slow_fan();
        add_open_joint();
        add("a run that costs less than its figures");
        break;
      case Verdict::more_airflow:
        if (judged_.reading.static_pressure_pa) {
          add_open_joint();
        }
        add("a run that costs less than its figures");
        if (!both_read()) {
          add("a fan that turns faster than its curve");
        }
        break;
      case Verdict::below_the_curve:
        add("an open joint or a duct off its collar: more air than the curve tells");
        add_slow_fan();
        break;
      case Verdict::above_the_first_point:
        add("more resistance behind the tap than the ratings were taken at");
        add("a fan that turns faster than its ratings: check the speed setting");
        break;
      case Verdict::above_the_curve:
        add("another fan or speed than stated, or one that turns faster");
        add("a wrong reading: check the zero of the gauge and its hoses");
        break;
      default:
        break;
    }
    return std::move(causes_);
  }

 private:
  /// Pressure and airflow, which tell fan and run apart.
  [[nodiscard]] bool both_read() const {
    return judged_.reading.static_pressure_pa && judged_.airflows.size() == 1 &&
           (judged_.reading.airflow_m3_s || judged_.reading.traverse);
  }

  void add(const char* text) { causes_.push_back({text, {}}); }
  void add_faults() {
    if (judged_.extra) {
      for (const Fault& fault : judged_.extra->faults) {
        causes_.push_back(fault.text);
      }
    }
  }
  void add_open_joint() { add("an open joint or a duct off its collar behind the tap"); }
  void add_slow_fan() {
    add("a fan that turns slower than its curve: its speed setting, the voltage, a control");
    add("a filter or hood that is blocked, or a wheel that is caked");
    if (judged_.reading.at.kind == layout::GaugePlace::Kind::piece) {
      add("a leak or an open joint before the hole");
    }
  }

  const Judged& judged_;
  std::vector<units::Message> causes_;
};

}  // namespace

std::vector<units::Message> causes(const Judged& judged) { return Causes(judged).told(); }

double gauge_uncertainty_pa(double reading_pa) noexcept {
  return std::max(kGaugeShare * std::abs(reading_pa), kGaugeFloor_pa);
}

base::Checked<MeasuredResult> measured(study::CheckResult check,
                                       const fitting::Catalogue& catalogue,
                                       const std::vector<layout::Measurement>& readings) {
  base::Diagnostics problems;
  std::vector<Judged> judged_readings;
  for (const layout::Measurement& reading : readings) {
    SpeedOf speed = speed_of(check, reading);
    const std::optional<Tap> tap = tap_at(check, reading.at);
    if (speed.speed && !speed.fault) {
      speed.fault = refused(check, reading, *speed.speed, tap);
    }
    if (speed.fault) {
      problems.push_back(*std::move(speed.fault));
      continue;
    }
    Judged judged;
    judged.reading = reading;
    judged.reading.at = place_of(reading.at, check.layout.run);
    judged.speed = *speed.speed;
    const result::SpeedResult& at = check.speeds[judged.speed];
    judged.speed_name = at.name;
    if (at.point.status == solve::Status::found) {
      judged.calculated_m3_s = at.point.airflow_m3_s;
    }
    judged.calculated_band_m3_s = at.airflow_band_m3_s;
    judged.required_m3_s = check.layout.appliance.required_airflow_m3_s;
    const Judging judging{.pieces = check.layout.run,
                          .run = check.run,
                          .catalogue = catalogue,
                          .fan_falls = at.fan.fan && at.fan.fan->falls_throughout};
    if (tap && !before_the_fan(check, reading.at)) {
      judged.expected = expected_static(check, judged.speed, *tap);
    }
    judged.above_expected = reading.static_pressure_pa && judged.expected &&
                            judged.expected->band_pa &&
                            *reading.static_pressure_pa > judged.expected->band_pa->high;
    if (reading.airflow_m3_s || reading.traverse) {
      judge_airflow(check, judging, tap, judged);
    } else {
      const Gauge gauge(check, judged.speed, *tap);
      Doubts doubts(check, judged.speed, *tap);
      judge_gauge(judging, gauge, doubts, judged);
    }
    judged.causes = causes(judged);
    judged.requirement = requirement(judged);
    judged_readings.push_back(std::move(judged));
  }
  if (!problems.empty()) {
    return problems;
  }
  return MeasuredResult{std::move(check), std::move(judged_readings)};
}

}  // namespace ductledger::site
