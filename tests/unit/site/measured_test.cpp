#include "site/measured.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <string>

namespace ductledger::site {
namespace {

// Invented fan and run; every figure below is solved from them.
constexpr const char* kLayout = R"(layout: 1
title: Test bench
uncertainty: {fan_pressure: 5 %, fan_airflow: 3 %}
appliance: {kind: exhaust, collar: 6 in round, required_airflow: 200 cfm}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 100 200 300 400 cfm, pressure: 0.80 0.72 0.55 0.30 0 inH2O}}
    - {name: humped, curve: {airflow: 0 60 120 200 260 320 380 cfm, pressure: 110 95 100 108 95 60 0 Pa}}
    - {name: flat, curve: {airflow: 0 100 200 300 400 cfm, pressure: 0.400 0.399 0.397 0.394 0.390 inH2O}}
run:
  section: 6 in round
  heading: up
  pieces:
    - straight: 4 ft
    - flex: {length: 3 ft, stretched: 96 %}
    @EXTRA@
    - elbow: {type: smooth-radius, turn: back, radius_ratio: 1.5}
    - straight: 6 ft
    - cap: wall-hood-flap
)";

/// A layout of its own, calculated.
study::CheckResult of_text(const std::string& text) {
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  auto layout = layout::read(std::make_shared<base::SourceText>("bench.yaml", text), catalogue);
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  auto result = study::check(*std::move(layout), catalogue);
  EXPECT_TRUE(result);
  return *std::move(result);
}

study::CheckResult checked(const std::string& extra = "", const std::string& stretched = "96 %") {
  std::string text = kLayout;
  const std::string mark = "    @EXTRA@\n";
  text.replace(text.find(mark), mark.size(), extra.empty() ? "" : "    - " + extra + "\n");
  text.replace(text.find("96 %"), 4, stretched);
  return of_text(text);
}

layout::Measurement gauge(double static_pa, const std::string& speed = "high") {
  layout::Measurement reading;
  reading.speed = speed;
  reading.static_pressure_pa = static_pa;
  return reading;
}

base::Checked<site::MeasuredResult> judged(const layout::Measurement& reading) {
  return site::measured(checked(), fitting::Catalogue::built_in(), {reading});
}

site::Judged one(const layout::Measurement& reading) {
  auto result = judged(reading);
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return result->readings.front();
}

double collar_static(const study::CheckResult& check) {
  return check.speeds.front().ledger->collar_static_pressure_pa;
}

TEST(Measured, recovers_a_hidden_coefficient_from_the_static_pressure_it_makes) {
  for (const double hidden : {1.0, 2.5, 6.0, 20.0}) {
    const study::CheckResult built = checked("loss: " + std::to_string(hidden));
    const site::Judged read = one(gauge(collar_static(built)));
    ASSERT_TRUE(read.extra) << hidden;
    EXPECT_NEAR(read.extra->coefficient, hidden, 1e-6 * hidden);
    EXPECT_NEAR(read.airflows.front().airflow_m3_s, built.speeds.front().point.airflow_m3_s, 1e-9);
  }
}

TEST(Measured, names_no_fault_where_the_reading_is_as_calculated) {
  const site::Judged read = one(gauge(collar_static(checked())));
  EXPECT_EQ(read.verdict, site::Verdict::as_calculated);
  ASSERT_TRUE(read.extra);
  EXPECT_NEAR(read.extra->pressure_pa, 0.0, 1e-6);
  EXPECT_TRUE(read.extra->faults.empty());
  EXPECT_GT(read.extra->doubt_pa, 0.0);
}

TEST(Measured, the_suction_of_a_tight_house_is_no_fault_of_the_run) {
  std::string text = kLayout;
  text.replace(text.find("    @EXTRA@\n"), 12, "");
  text += "house: {leakage: {airflow: 250 cfm, at: 50 Pa}}\n";
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  auto layout = layout::read(std::make_shared<base::SourceText>("bench.yaml", text), catalogue);
  ASSERT_TRUE(layout) << base::render(layout.error());
  const auto check = study::check(*std::move(layout), catalogue);
  ASSERT_TRUE(check);
  EXPECT_GT(check->house.depressurisation_pa(check->speeds.front().point.airflow_m3_s), 10.0);
  const auto read = site::measured(*check, catalogue, {gauge(collar_static(*check))});
  ASSERT_TRUE(read);
  ASSERT_TRUE(read->readings.front().extra);
  EXPECT_NEAR(read->readings.front().extra->pressure_pa, 0.0, 0.01);
}

site::Judged one_of(const study::CheckResult& check, const layout::Measurement& reading) {
  auto result = site::measured(check, fitting::Catalogue::built_in(), {reading});
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return result->readings.front();
}

/// One rating bounds the airflow; a reading is held against the bounds.
TEST(Measured, an_airflow_read_is_held_against_bounds) {
  std::string text = kLayout;
  text.replace(text.find("    @EXTRA@\n"), 12, "");
  const auto begin = text.find("    - {name: high");
  text.replace(begin,
               text.find("run:") - begin,
               "    - {name: high, rated: {airflow: 300 cfm, pressure: 0.3 inH2O}}\n");
  const study::CheckResult check = of_text(text);
  const auto bounds = result::bounds_of(check.speeds.front());
  ASSERT_TRUE(bounds);
  const auto verdict = [&](double airflow_m3_s) {
    layout::Measurement reading;
    reading.speed = "high";
    reading.airflow_m3_s = airflow_m3_s;
    reading.instrument = layout::Instrument::powered_flow_hood;
    const site::Judged read = one_of(check, reading);
    EXPECT_EQ(read.causes.empty(), read.verdict == site::Verdict::as_calculated);
    return read.verdict;
  };
  EXPECT_EQ(verdict((bounds->low + bounds->high) / 2.0), site::Verdict::as_calculated);
  EXPECT_EQ(verdict(bounds->high * 1.3), site::Verdict::more_airflow);
  EXPECT_EQ(verdict(bounds->low * 0.7), site::Verdict::more_resistance);
}

layout::GaugePlace place(const std::string& text, const study::CheckResult& check) {
  auto read = layout::gauge_place(text, check.layout.run);
  EXPECT_TRUE(read) << (read ? "" : base::render(read.error()));
  return *std::move(read);
}

/// What stands in the duct `share` into a piece, against the room, by the ledger alone: against
/// outdoors there, less what the room stands in.
double by_ledger(const study::CheckResult& check, const std::string& piece_kind, double share) {
  const solve::Ledger& ledger = *check.speeds.front().ledger;
  for (const solve::LedgerRow& row : ledger.rows) {
    if (row.piece == piece_kind) {
      return row.static_pressure_after_pa + (1.0 - share) * row.loss_pa +
             check.house.depressurisation_pa(ledger.airflow_m3_s);
    }
  }
  ADD_FAILURE() << "no row " << piece_kind;
  return 0.0;
}

// In a tight house the gauge's other port stands in air that is drawn down by more than 10 Pa.
TEST(Measured, a_reading_at_the_hole_in_a_tight_house_is_recovered) {
  for (const double hidden : {0.0, 2.5, 6.0}) {
    std::string text = kLayout;
    text.replace(text.find("    @EXTRA@\n"), 12, "");
    text += "house: {leakage: {airflow: 250 cfm, at: 50 Pa}}\n";
    const study::CheckResult drawn = of_text(text);
    std::string built = text;
    built.replace(built.find("    - elbow"), 0, "    - loss: " + std::to_string(hidden) + "\n");
    const study::CheckResult truth = hidden > 0.0 ? of_text(built) : of_text(text);
    EXPECT_GT(truth.house.depressurisation_pa(truth.speeds.front().point.airflow_m3_s), 10.0);
    // Two diameters of 6 in into 4 ft.
    layout::Measurement reading = gauge(by_ledger(truth, "straight", 0.25));
    reading.at = place("hole", drawn);
    const site::Judged read = one_of(drawn, reading);
    ASSERT_TRUE(read.extra) << hidden;
    EXPECT_NEAR(read.airflows.front().airflow_m3_s,
                truth.speeds.front().point.airflow_m3_s,
                1e-6 * read.airflows.front().airflow_m3_s);
    EXPECT_NEAR(read.extra->coefficient, hidden, 1e-5 * std::max(hidden, 1.0));
    EXPECT_EQ(read.reading.at.piece, 0U);
    EXPECT_NEAR(read.reading.at.from_start_m, 0.3048, 1e-9);
    if (hidden == 0.0) {
      EXPECT_EQ(read.verdict, site::Verdict::as_calculated);
      EXPECT_NEAR(read.expected->pressure_pa, *reading.static_pressure_pa, 1e-6);
    }
  }
}

TEST(Measured, a_hole_farther_on_counts_what_stands_before_it) {
  const study::CheckResult drawn = checked();
  layout::Measurement reading = gauge(0.0);
  reading.at = place("piece 4, 3 ft", drawn);
  double after_pa = 0.0;
  for (const solve::LedgerRow& row : drawn.speeds.front().ledger->rows) {
    if (row.number == 4) {
      after_pa = row.static_pressure_after_pa + 0.5 * row.loss_pa;
    }
  }
  reading.static_pressure_pa = after_pa;
  const site::Judged read = one_of(drawn, reading);
  EXPECT_NEAR(read.expected->pressure_pa, after_pa, 1e-6);
  EXPECT_NEAR(read.airflows.front().airflow_m3_s,
              drawn.speeds.front().point.airflow_m3_s,
              1e-6 * read.airflows.front().airflow_m3_s);
}

TEST(Measured, an_inline_fan_is_judged_by_the_rise_across_it) {
  const std::string text =
      "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\n"
      "uncertainty: {fan_pressure: 5 %, fan_airflow: 3 %}\n"
      "fan: {curve_pressure: static-rise, speeds: [{name: high, curve: {airflow: 0 100 200 300 400 "
      "cfm, pressure: 0.80 0.72 0.55 0.30 0 inH2O}}]}\n"
      "run:\n  section: 6 in round\n  pieces:\n    - entry: plain\n    - straight: 6 ft\n"
      "    - fan: here\n    - straight: 8 ft\n    - cap: wall-hood-flap\n";
  const study::CheckResult check = of_text(text);
  const double q = check.speeds.front().point.airflow_m3_s;
  // Inlet and outlet are of one size, so the curve's static rise is what the gauge reads.
  const double rise_pa = check.speeds.front().fan.fan->curve.pressure_pa(q);
  layout::Measurement reading = gauge(rise_pa);
  reading.at = place("fan", check);
  const site::Judged read = one_of(check, reading);
  EXPECT_EQ(read.verdict, site::Verdict::as_calculated);
  EXPECT_NEAR(read.airflows.front().airflow_m3_s, q, 1e-6 * q);
  EXPECT_NEAR(read.expected->pressure_pa, rise_pa, 1e-6);
  reading.at = place("collar", check);
  const auto refused = site::measured(check, fitting::Catalogue::built_in(), {reading});
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().front().rule, "reading-not-usable");
}

TEST(Measured, above_the_highest_rating_is_no_error_but_a_bound) {
  const std::string text =
      "layout: 1\nappliance: {kind: exhaust, collar: 4 in round, required_airflow: 90 cfm}\n"
      "fan: {speeds: [{name: high, rated: [{airflow: 80 cfm, pressure: 0.25 inH2O}, {airflow: 110 "
      "cfm, pressure: 0.1 inH2O}]}]}\n"
      "run:\n  section: 4 in round\n  pieces:\n    - straight: 10 ft\n    - cap: wall-hood-flap\n";
  const site::Judged read = one_of(of_text(text), gauge(0.5 * units::kPascalPerInchWater));
  EXPECT_EQ(read.verdict, site::Verdict::above_the_first_point);
  ASSERT_EQ(read.airflows.size(), 1U);
  EXPECT_TRUE(read.airflows.front().is_bound);
  EXPECT_NEAR(read.airflows.front().band.high, 80.0 * units::kM3SPerCfm, 1e-9);
  EXPECT_EQ(read.requirement, site::ByMeasurement::not_met);
}

TEST(Measured, a_range_that_runs_into_the_curve_s_end_never_misses_a_requirement) {
  // 0.01 inH2O fits every airflow near the end of the curve, and whatever lies beyond it.
  const std::string end =
      "layout: 1\nappliance: {kind: exhaust, collar: 6 in round, required_airflow: 420 cfm}\n"
      "fan: {speeds: [{name: high, curve: {airflow: 0 100 200 300 400 cfm, pressure: 0.80 0.72 "
      "0.55 "
      "0.30 0.20 inH2O}}]}\n"
      "run:\n  section: 6 in round\n  pieces:\n    - straight: 4 ft\n    - cap: wall-hood-flap\n";
  const site::Judged read = one_of(of_text(end), gauge(0.10 * units::kPascalPerInchWater));
  EXPECT_NE(read.requirement, site::ByMeasurement::not_met);
}

TEST(Measured, a_gauge_s_own_accuracy_takes_the_place_of_ours) {
  layout::Measurement reading = gauge(collar_static(checked("loss: 2.0")));
  const double ours = one(reading).extra->doubt_pa;
  reading.static_doubt = *layout::instrument_doubt("10 %", units::Dimension::pressure);
  EXPECT_GT(one(reading).extra->doubt_pa, 1.2 * ours);
  EXPECT_FALSE(layout::instrument_doubt("0 %", units::Dimension::pressure));
  EXPECT_FALSE(layout::instrument_doubt("10 cfm", units::Dimension::pressure));
}

TEST(Measured, a_place_that_the_run_lacks_is_named_with_what_it_has) {
  const study::CheckResult check = checked();
  for (const auto& [text, rule] : {std::pair{"piece 9, 1 in", "unknown-piece"},
                                   {"piece 2, 1 in", "no-straight"},
                                   {"piece 1", "missing-value"},
                                   {"piece 1, 5 ft", "out-of-range"},
                                   {"piece 1, 5", "missing-unit"},
                                   {"coller", "unknown-word"}}) {
    const auto read = layout::gauge_place(text, check.layout.run);
    ASSERT_FALSE(read) << text;
    EXPECT_EQ(read.error().front().rule, rule) << text;
    EXPECT_FALSE(read.error().front().help.empty()) << text;
  }
}

TEST(Measured, a_small_difference_lies_inside_the_doubt) {
  const site::Judged read = one(gauge(collar_static(checked("loss: 0.1"))));
  EXPECT_EQ(read.verdict, site::Verdict::as_calculated);
  EXPECT_TRUE(read.extra->faults.empty());
}

TEST(Measured, less_pressure_is_never_a_negative_coefficient) {
  const site::Judged read = one(gauge(0.25 * collar_static(checked())));
  EXPECT_EQ(read.verdict, site::Verdict::less_pressure);
  EXPECT_LT(read.extra->pressure_pa, 0.0);
  EXPECT_EQ(read.extra->coefficient, 0.0);
  EXPECT_TRUE(read.extra->faults.empty());
}

TEST(Measured, a_flat_curve_tells_little) {
  const site::Judged read = one(gauge(0.396 * units::kPascalPerInchWater - 1.0, "flat"));
  EXPECT_TRUE(read.verdict == site::Verdict::tells_little || read.airflows.empty());
  const study::CheckResult check = checked();
  const double there = check.speeds[2].ledger->collar_static_pressure_pa;
  EXPECT_EQ(one(gauge(there, "flat")).verdict, site::Verdict::tells_little);
  EXPECT_EQ(one(gauge(there, "flat")).above_expected, false);
}

TEST(Measured, on_a_flat_stretch_a_high_reading_still_says_that_something_is_wrong) {
  const site::Judged read = one(gauge(0.65 * units::kPascalPerInchWater));
  EXPECT_EQ(read.verdict, site::Verdict::tells_little);
  EXPECT_TRUE(read.above_expected);
  EXPECT_TRUE(read.extra->faults.empty());
}

TEST(Measured, a_hump_has_one_pressure_at_several_airflows) {
  const site::Judged read = one(gauge(100.0, "humped"));
  EXPECT_EQ(read.verdict, site::Verdict::several_airflows);
  EXPECT_GE(read.airflows.size(), 2U);
  EXPECT_FALSE(read.extra);
}

TEST(Measured, beyond_the_curve_nothing_is_invented) {
  EXPECT_EQ(one(gauge(1000.0)).verdict, site::Verdict::above_the_curve);
  EXPECT_TRUE(one(gauge(1000.0)).airflows.empty());
  layout::Measurement hood;
  hood.speed = "high";
  hood.airflow_m3_s = 0.5;
  EXPECT_EQ(one(hood).verdict, site::Verdict::more_airflow);
  EXPECT_FALSE(one(hood).extra);
}

TEST(Measured, a_negative_static_pressure_is_refused_with_a_reason) {
  const auto result = judged(gauge(-40.0));
  ASSERT_FALSE(result);
  ASSERT_EQ(result.error().size(), 1U);
  EXPECT_EQ(result.error().front().rule, "negative-static-pressure");
}

TEST(Measured, an_unknown_speed_is_refused_with_the_nearest) {
  const auto result = judged(gauge(40.0, "hgih"));
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().front().rule, "unknown-speed");
  EXPECT_NE(result.error().front().help.find("high"), std::string::npos);
}

TEST(Measured, a_slow_fan_shows_where_airflow_and_pressure_are_both_read) {
  const study::CheckResult check = checked();
  const double q = check.speeds.front().point.airflow_m3_s;
  // The same run at 0.9 of the speed: airflow 0.9, pressure 0.81, but for friction's exponent.
  layout::Measurement reading = gauge(0.81 * collar_static(check));
  reading.airflow_m3_s = 0.9 * q;
  reading.instrument = layout::Instrument::powered_flow_hood;
  const site::Judged read = one(reading);
  EXPECT_EQ(read.verdict, site::Verdict::fan_below_curve);
  ASSERT_FALSE(read.causes.empty());
  EXPECT_NE(read.causes.front().pattern.find("slower"), std::string::npos);
  ASSERT_TRUE(read.fan_share_of_curve);
  EXPECT_LT(*read.fan_share_of_curve, 0.75);
}

TEST(Measured, each_fault_named_would_make_the_reading) {
  const double hidden = 3.0;
  const study::CheckResult built = checked("loss: " + std::to_string(hidden));
  const site::Judged read = one(gauge(collar_static(built)));
  ASSERT_EQ(read.verdict, site::Verdict::more_resistance);
  bool flex = false;
  bool cap = false;
  bool blade = false;
  for (const site::Fault& fault : read.extra->faults) {
    if (fault.what == "flex-compressed") {
      flex = true;
      const study::CheckResult crushed =
          checked("", std::to_string(100.0 * (1.0 - fault.amount)) + " %");
      EXPECT_NEAR(collar_static(crushed), collar_static(built), 0.01);
    } else if (fault.what == "cap-blocked") {
      cap = true;
      const auto& row = built.speeds.front().ledger->rows;
      double cap_pa = 0.0;
      double hidden_pa = 0.0;
      for (const solve::LedgerRow& entry : row) {
        cap_pa = entry.piece == "cap" ? entry.loss_pa : cap_pa;
        hidden_pa = entry.piece == "loss" ? entry.loss_pa : hidden_pa;
      }
      EXPECT_NEAR(cap_pa / (fault.amount * fault.amount), cap_pa + hidden_pa, 1e-6);
    } else if (fault.what == "damper-closed") {
      blade = true;
      fitting::Piece piece{.kind = fitting::Kind::damper,
                           .type = "butterfly",
                           .upstream = built.run.collar,
                           .downstream = built.run.collar};
      piece.parameters["blade_angle"] = fault.amount;
      const auto found = fitting::Catalogue::built_in().coefficient(piece);
      EXPECT_NEAR(std::get<fitting::Coefficient>(found).value, hidden, 1e-6);
    }
  }
  EXPECT_TRUE(flex);
  EXPECT_TRUE(cap);
  EXPECT_TRUE(blade);
}

TEST(Measured, the_requirement_is_met_only_beyond_the_doubt) {
  layout::Measurement hood;
  hood.speed = "high";
  hood.instrument = layout::Instrument::powered_flow_hood;
  const double required = 200.0 * units::kM3SPerCfm;
  hood.airflow_m3_s = required / (1.0 - 0.12) * 1.001;  // the band's low end just over it
  EXPECT_EQ(one(hood).requirement, site::ByMeasurement::met);
  hood.airflow_m3_s = required;
  EXPECT_EQ(one(hood).requirement, site::ByMeasurement::not_shown);
  hood.airflow_m3_s = required / (1.0 + 0.12) * 0.999;
  EXPECT_EQ(one(hood).requirement, site::ByMeasurement::not_met);
}

}  // namespace
}  // namespace ductledger::site
