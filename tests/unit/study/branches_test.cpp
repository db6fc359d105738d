#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "edit/edit.hpp"
#include "fitting/stock.hpp"
#include "study/branches_compare.hpp"
#include "study/branches_size.hpp"
#include "support/example_layout.hpp"

// Comparing and sizing layouts with branches.
namespace ductledger::study {
namespace {

constexpr double kM3SPerCfm = 0.028316846592 / 60.0;
constexpr double kFpm = 0.00508;

using test::catalogue;

struct TwoInlets {
  const char* title = "one";
  const char* free_air = "0 100 200 300";
  int bath_ft = 8;
  int collar_cfm = 60;
  int bath_cfm = 50;
};
layout::Layout two_inlets(const TwoInlets& of = {}) {
  return test::layout_of_text(
      "layout: 1\ntitle: " + std::string(of.title) +
      "\nappliance: {kind: exhaust, required_airflow: " + std::to_string(of.collar_cfm) +
      " cfm}\nfan:\n  speeds:\n    - {name: high, curve: {airflow: " + of.free_air +
      " cfm, pressure: 0.8 0.7 0.45 0 inH2O}}\n"
      "run:\n  section: 5 in round\n  pieces:\n    - entry: plain\n    - straight: 10 ft\n"
      "    - junction: {type: wye-45, branch: bath, section: 6 in round}\n    - straight: 6 ft\n"
      "    - fan\n    - cap: roof-hood-flap\n"
      "branches:\n  bath:\n    section: 4 in round\n    required_airflow: " +
      std::to_string(of.bath_cfm) +
      " cfm\n    pieces: [{entry: plain}, {straight: " + std::to_string(of.bath_ft) + " ft}]\n");
}

NetworkComparison compared_networks(layout::Layout a, layout::Layout b) {
  auto result = compare_networks({{std::move(a), &catalogue()}, {std::move(b), &catalogue()}});
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

double half(const result::Band& band) { return (band.high - band.low) / 2.0; }

TEST(CompareNetworks, what_both_share_cancels_in_the_band_of_the_difference) {
  const NetworkComparison result =
      compared_networks(two_inlets(), two_inlets({.title = "two", .bath_ft = 40}));
  const NetworkSpeed& a = result.runs[0].check.speeds[0];
  const NetworkSpeed& b = result.runs[1].check.speeds[0];
  const auto& differences = result.runs[1].speeds[0].differences;
  ASSERT_EQ(differences.size(), 2U);
  for (std::size_t i = 0; i < 2; ++i) {
    ASSERT_TRUE(differences[i] && differences[i]->band_m3_s);
    EXPECT_NEAR(
        differences[i]->airflow_m3_s, b.inlets[i].airflow_m3_s - a.inlets[i].airflow_m3_s, 1e-12);
    EXPECT_LT(half(*differences[i]->band_m3_s), half(*a.inlets[i].band) / 2.0);
  }
  // 32 ft more before the bath's junction: the bath draws less for sure, the collar more.
  EXPECT_LT(differences[1]->band_m3_s->high, 0.0);
  EXPECT_GT(differences[0]->band_m3_s->low, 0.0);
  EXPECT_FALSE(result.best);
}

// What each file states for itself, such as what stands close to what, stays its own error.
TEST(CompareNetworks, a_copy_under_another_title_differs_by_nothing) {
  const NetworkComparison result = compared_networks(two_inlets(), two_inlets({.title = "two"}));
  for (std::size_t i = 0; i < 2; ++i) {
    const auto& d = result.runs[1].speeds[0].differences[i];
    ASSERT_TRUE(d && d->band_m3_s);
    EXPECT_NEAR(d->airflow_m3_s, 0.0, 1e-12);
    EXPECT_LT(half(*d->band_m3_s), 0.1 * half(*result.runs[0].check.speeds[0].inlets[i].band));
    EXPECT_FALSE(d->is_sure());
  }
  EXPECT_FALSE(result.best);
  EXPECT_TRUE(result.unlike.empty());
}

TEST(CompareNetworks, the_one_whose_every_inlet_surely_draws_more_is_best) {
  const NetworkComparison result =
      compared_networks(two_inlets(), two_inlets({.title = "two", .free_air = "0 200 400 600"}));
  ASSERT_TRUE(result.best);
  EXPECT_EQ(*result.best, 1U);
  ASSERT_EQ(result.unlike.size(), 1U);
  EXPECT_NE(result.unlike[0].find("main fan"), std::string::npos);
}

TEST(CompareNetworks, a_single_run_is_compared_by_its_collar) {
  layout::Layout single = test::layout_of_text(
      "layout: 1\ntitle: alone\nappliance: {kind: exhaust}\n"
      "fan: {speeds: [{name: high, curve: {airflow: 0 100 200 300 cfm, pressure: 0.8 0.7 0.45 0 "
      "inH2O}}]}\nrun: {section: 5 in round, pieces: [entry: plain, straight: 10 ft, fan: roof, "
      "cap: roof-hood-flap]}\n");
  const auto alone = check(single, catalogue());
  const NetworkComparison result = compared_networks(two_inlets(), std::move(single));
  ASSERT_EQ(result.runs[1].check.speeds[0].inlets.size(), 1U);
  const double airflow = alone->speeds[0].point.airflow_m3_s;
  EXPECT_NEAR(result.runs[1].check.speeds[0].inlets[0].airflow_m3_s, airflow, 1e-9 * airflow);
  EXPECT_NE(result.unlike[0].find("bath in one alone"), std::string::npos) << result.unlike[0];
}

NetworkSizeResult sized_network(layout::Layout layout, const SizeOptions& options = {}) {
  auto result = size_network(std::move(layout), catalogue(), options);
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

/// Whether every inlet is shown to draw what it requires.
bool all_met(const layout::Layout& layout) {
  const auto result = check_network(layout, catalogue());
  EXPECT_TRUE(result);
  return std::ranges::all_of(result->speeds[0].inlets, [](const Inlet& inlet) {
    return !inlet.required_m3_s || inlet.requirement == result::Requirement::State::met;
  });
}

std::vector<edit::RunSections> sections_of(const NetworkSizeResult& result) {
  std::vector<edit::RunSections> runs;
  for (const SizedLeg& leg : result.legs) {
    if (leg.leg == 0) {
      runs.push_back({.branch = leg.branch, .legs = {}});
    }
    runs.back().legs.push_back(*leg.section);
  }
  return runs;
}

TEST(SizeNetwork, every_inlet_is_met_and_no_leg_can_be_a_size_smaller) {
  const NetworkSizeResult result = sized_network(two_inlets());
  ASSERT_TRUE(result.found);
  ASSERT_EQ(result.legs.size(), 3U);
  EXPECT_TRUE(all_met(*result.layout));
  const auto& stock = fitting::stock_sizes(duct::Shape::round, fitting::Series::inch);
  const std::vector<edit::RunSections> found = sections_of(result);
  for (std::size_t run = 0; run < found.size(); ++run) {
    for (std::size_t leg = 0; leg < found[run].legs.size(); ++leg) {
      const auto at = std::ranges::find(stock, found[run].legs[leg]);
      ASSERT_NE(at, stock.end());
      if (at == stock.begin()) {
        continue;
      }
      std::vector<edit::RunSections> smaller = found;
      smaller[run].legs[leg] = *(at - 1);
      const bool joins_wider = run == 0 && leg == 1 &&
                               (smaller[0].legs[1].area_m2() < smaller[0].legs[0].area_m2() ||
                                smaller[0].legs[1].area_m2() < smaller[1].legs[0].area_m2());
      const auto edited = edit::with_leg_sections(result.check.layout, catalogue(), smaller);
      ASSERT_TRUE(edited);
      EXPECT_TRUE(joins_wider || !all_met(*edited)) << run << ' ' << leg;
    }
  }
  for (const SizedLeg& leg : result.legs) {
    EXPECT_FALSE(leg.why_not_smaller.empty());
  }
}

TEST(SizeNetwork, more_than_the_fan_moves_is_found_at_no_size_and_says_who_lacks_it) {
  const NetworkSizeResult result = sized_network(two_inlets({.collar_cfm = 200, .bath_cfm = 180}));
  EXPECT_FALSE(result.found);
  ASSERT_FALSE(result.why_not.empty());
  EXPECT_NE(result.why_not.front().text(units::System::ip).find("of "), std::string::npos);
}

TEST(SizeNetwork, greatest_depth_and_velocity_bind_every_leg) {
  const NetworkSizeResult free = sized_network(two_inlets());
  ASSERT_TRUE(free.found);
  SizeOptions slow;
  slow.max_velocity_m_s = 500.0 * kFpm;
  const NetworkSizeResult result = sized_network(two_inlets(), slow);
  ASSERT_TRUE(result.found);
  bool wider = false;
  for (std::size_t i = 0; i < result.legs.size(); ++i) {
    EXPECT_LE(result.legs[i].velocity_m_s, 500.0 * kFpm * (1.0 + 1e-9));
    wider = wider || result.legs[i].section->area_m2() > free.legs[i].section->area_m2();
  }
  EXPECT_TRUE(wider);
  SizeOptions flat;
  flat.max_depth_m = 3.0 * 0.0254;
  const NetworkSizeResult shallow =
      sized_network(two_inlets({.collar_cfm = 120, .bath_cfm = 100}), flat);
  EXPECT_FALSE(shallow.found);
  for (const SizedLeg& leg : shallow.legs) {
    EXPECT_LE(leg.section->width_m(), 3.0 * 0.0254 + 1e-9);
  }
}

TEST(SizeNetwork, deliver_asks_of_the_collar_and_nothing_asked_is_refused) {
  SizeOptions options;
  options.deliver_m3_s = 90.0 * kM3SPerCfm;
  const NetworkSizeResult result = sized_network(two_inlets(), options);
  EXPECT_NEAR(*result.inlets[0].wanted_m3_s, 90.0 * kM3SPerCfm, 1e-12);
  layout::Layout none = two_inlets();
  none.appliance.required_airflow_m3_s.reset();
  none.branches[0].required_airflow_m3_s.reset();
  const auto refused = size_network(none, catalogue(), {});
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().front().rule, "no-airflow-wanted");
}

NetworkResult advised_network(const layout::Layout& layout) {
  auto result = check_network(layout, catalogue(), {.advise = true});
  EXPECT_TRUE(result && result->advice);
  return *std::move(result);
}

const NetworkAdviceRow* row_of(const NetworkAdvice& advice, ChangeKind kind) {
  const auto at = std::ranges::find_if(
      advice.rows, [&](const NetworkAdviceRow& row) { return row.change.kind == kind; });
  return at == advice.rows.end() ? nullptr : &*at;
}

// The bath's long way lacks air: it is helped, and each gain is what solving the edited layout
// gives.
TEST(NetworkAdvice, helps_the_inlet_that_lacks_most_by_exact_gains) {
  const layout::Layout layout = two_inlets({.bath_ft = 80, .bath_cfm = 90});
  const NetworkResult result = advised_network(layout);
  const NetworkAdvice& advice = *result.advice;
  ASSERT_EQ(result.speeds[0].inlets[advice.inlet].name, "bath");
  ASSERT_FALSE(advice.rows.empty());
  const double before = result.speeds[0].inlets[advice.inlet].airflow_m3_s;
  double last = 1.0;
  for (const NetworkAdviceRow& row : advice.rows) {
    EXPECT_LE(row.gain_m3_s, last);
    last = row.gain_m3_s;
    const auto edited = row.change.apply(layout);
    ASSERT_TRUE(edited);
    const auto again = check_network(*edited, catalogue());
    ASSERT_TRUE(again);
    const double after = again->speeds[0].inlets[advice.inlet].airflow_m3_s;
    EXPECT_NEAR(row.gain_m3_s, after - before, 1e-9);
  }
  const NetworkAdviceRow* larger = row_of(advice, ChangeKind::larger_duct);
  ASSERT_NE(larger, nullptr);
  const NetworkAdviceRow* shorter = row_of(advice, ChangeKind::shorter_duct);
  ASSERT_NE(shorter, nullptr);
  EXPECT_EQ(shorter->branch, std::optional<std::size_t>(0));
}

// What the balance asks for on the other way, no more: with every inlet at its airflow the damper
// takes its pressure there.
TEST(NetworkAdvice, a_balancing_damper_on_the_other_way_gives_the_controlling_inlet_air) {
  const layout::Layout layout = two_inlets({.bath_ft = 60});
  const NetworkResult result = advised_network(layout);
  const NetworkSpeed& speed = result.speeds[0];
  ASSERT_TRUE(speed.balance && speed.controlling);
  ASSERT_EQ(*speed.controlling, 1U);
  const NetworkAdviceRow* damper = row_of(*result.advice, ChangeKind::balancing_damper);
  ASSERT_NE(damper, nullptr);
  EXPECT_FALSE(damper->branch);
  EXPECT_GT(damper->airflow_m3_s[1], speed.inlets[1].airflow_m3_s);
  EXPECT_LT(damper->airflow_m3_s[0], speed.inlets[0].airflow_m3_s);
  const auto edited = damper->change.apply(layout);
  ASSERT_TRUE(edited);
  const auto again = check_network(*edited, catalogue());
  ASSERT_TRUE(again && again->speeds[0].balance);
  for (const Balance::Path& path : again->speeds[0].balance->paths) {
    EXPECT_NEAR(path.damper_pa, 0.0, 0.01);
  }
}

}  // namespace
}  // namespace ductledger::study
