#include <fmt/format.h>
#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "study/review.hpp"
#include "support/check_text.hpp"

// Figures handed in with a layout, and limits that fall inside a band. Invented layouts.
namespace ductledger {
namespace {

const std::string kFan =
    "fan: {speeds: [{name: high, curve: {airflow: 0 250 450 600 cfm, pressure: 0.9 0.8 0.5 0 "
    "inH2O}}]}\n";
const std::string kRun =
    "run: {section: 8 in round, pieces: [{straight: 12 ft}, {elbow: smooth-radius}, {cap: "
    "wall-hood-flap}]}\n";
const std::string kTightHouse =
    "house: {leakage: {airflow: 900 cfm, at: 50 Pa}, combustion: [{kind: "
    "natural-draft-water-heater, inside_air_barrier: yes}]}\n";

std::string text(const std::string& fan, const std::string& more) {
  return "layout: 1\nappliance: {kind: range-hood, collar: 8 in round}\n" + fan + kRun + more;
}

study::ReviewResult reviewed(const std::string& text, const std::string& rules = {}) {
  auto layout = support::read(text);
  if (!layout) {
    throw std::runtime_error(base::render(layout.error()) + text);
  }
  const rules::RuleSetName name{rules.empty() ? "common-practice" : "county.yaml", nullptr, {}};
  auto sets = rules::select_rule_sets(
      {&name, 1}, [&](const rules::RuleFileAsked& asked) -> base::Checked<base::SourcePtr> {
        return base::SourcePtr(std::make_shared<const base::SourceText>(asked.name, rules));
      });
  if (!sets) {
    throw std::runtime_error(base::render(sets.error()));
  }
  auto result = study::review(
      *std::move(layout),
      fitting::Catalogue::built_in(),
      {.sets = std::make_shared<const std::vector<rules::RuleSet>>(*std::move(sets))});
  if (!result) {
    throw std::runtime_error(base::render(result.error()));
  }
  return *std::move(result);
}

struct Ours {
  double airflow_m3_s = 0.0;
  result::Band band;
  double static_pa = 0.0;
};

Ours ours(const std::string& more = {}) {
  const auto result = support::check(text(kFan, more));
  const result::SpeedResult& speed = result.speeds.front();
  return {
      speed.point.airflow_m3_s, *speed.airflow_band_m3_s, speed.ledger->collar_static_pressure_pa};
}

std::string submitted(double airflow_m3_s) {
  return fmt::format("submitted: [{{airflow: {:.6f} m3/s}}]\n", airflow_m3_s);
}

rules::Record record(const std::string& text) {
  const auto result = reviewed(text);
  EXPECT_EQ(result.arithmetic.size(), 1U);
  return result.arithmetic.front();
}

rules::Agreement agreement(double airflow_m3_s) {
  return record(text(kFan, submitted(airflow_m3_s))).figures.front().agreement;
}

TEST(Recalculate, AFigureAgreesWithinRounding) {
  const Ours own = ours();
  EXPECT_EQ(agreement(own.airflow_m3_s * 1.019), rules::Agreement::agrees);
  EXPECT_EQ(agreement(own.airflow_m3_s * 0.981), rules::Agreement::agrees);
  EXPECT_TRUE(record(text(kFan, submitted(own.airflow_m3_s))).first_step.empty());
}

TEST(Recalculate, AFigureDiffersWithinTheBandOrBeyondIt) {
  const Ours own = ours();
  ASSERT_GT(own.band.high, own.airflow_m3_s * 1.03);
  EXPECT_EQ(agreement(own.band.high * 0.999), rules::Agreement::within_band);
  EXPECT_EQ(agreement(own.band.high * 1.001), rules::Agreement::beyond_band);
  EXPECT_EQ(agreement(own.band.low * 1.001), rules::Agreement::within_band);
  EXPECT_EQ(agreement(own.band.low * 0.999), rules::Agreement::beyond_band);
  EXPECT_FALSE(record(text(kFan, submitted(own.band.high * 1.001))).first_step.empty());
}

TEST(Recalculate, AFigureWithoutAFanIsNotReproducible) {
  const auto found = record(text("", submitted(0.1)));
  EXPECT_EQ(found.figures.front().agreement, rules::Agreement::not_reproducible);
  EXPECT_FALSE(found.figures.front().why_not.empty());
}

TEST(Recalculate, StaticPressureIsThatOfTheLedgerWithTheHouse) {
  for (const std::string& house : {std::string(), kTightHouse}) {
    const Ours own = ours(house);
    const auto found = record(
        text(kFan,
             house + fmt::format("submitted: [{{airflow: {:.6f} m3/s, static_pressure: {:.4f} "
                                 "Pa}}]\n",
                                 own.airflow_m3_s,
                                 own.static_pa)));
    ASSERT_EQ(found.figures.size(), 2U);
    EXPECT_DOUBLE_EQ(*found.figures.front().ours, own.static_pa);
    EXPECT_EQ(found.figures.front().agreement, rules::Agreement::agrees);
    EXPECT_LT(found.figures.front().band->low, own.static_pa);
    EXPECT_GT(found.figures.front().band->high, own.static_pa);
  }
  EXPECT_GT(ours(kTightHouse).static_pa, ours().static_pa);
}

/// The step in which a wrong pressure at the right airflow parts from ours.
TEST(Recalculate, NamesTheFirstStepThatParts) {
  const Ours own = ours(kTightHouse);
  const auto found = record(
      text(kFan,
           kTightHouse + fmt::format("submitted: [{{airflow: {:.6f} m3/s, static_pressure: {:.4f} "
                                     "Pa}}]\n",
                                     own.airflow_m3_s,
                                     own.static_pa * 0.8)));
  EXPECT_TRUE(found.first_step.pattern.starts_with("the pressure of the run"))
      << found.first_step.pattern;
  // At our own airflow the run asks for what our ledger reads.
  EXPECT_NEAR(found.first_step.values.at(1).si, own.static_pa, 0.01);
}

/// Ratings that this run leaves the fan before the first of.
const std::string kTwoRatings =
    "fan: {speeds: [{name: high, rated: [{airflow: 450 cfm, pressure: 0.05 inH2O}, {airflow: 430 "
    "cfm, pressure: 0.1 inH2O}]}]}\n";
const std::string kOneRating =
    "fan: {speeds: [{name: high, rated: {airflow: 430 cfm, pressure: 0.1 inH2O}}]}\n";

/// Where bounds are all that is known, a figure is held against them.
TEST(Recalculate, HoldsAFigureAgainstBounds) {
  for (const std::string& fan : {kTwoRatings, kOneRating}) {
    const auto result = support::check(text(fan, ""));
    const auto bounds = result::bounds_of(result.speeds.front());
    ASSERT_TRUE(bounds) << fan;
    ASSERT_GT(bounds->low, 0.0);
    const auto of = [&](double airflow_m3_s) { return record(text(fan, submitted(airflow_m3_s))); };
    EXPECT_EQ(of(bounds->high * 1.01).figures.front().agreement, rules::Agreement::beyond_band);
    EXPECT_EQ(of(bounds->low * 0.99).figures.front().agreement, rules::Agreement::beyond_band);
    const auto between = of((bounds->low + bounds->high) / 2.0);
    EXPECT_EQ(between.figures.front().agreement, rules::Agreement::within_band);
    EXPECT_FALSE(between.figures.front().ours);
    EXPECT_TRUE(between.first_step.empty());
  }
}

TEST(Recalculate, BeforeItsFirstPointAFallingFanMakesAtLeastThatPressure) {
  const auto handed_in = [&](const char* airflow, const char* pressure) {
    return record(text(
        kTwoRatings,
        fmt::format("submitted: [{{airflow: {}, static_pressure: {}}}]\n", airflow, pressure)));
  };
  EXPECT_TRUE(handed_in("300 cfm", "0.3 inH2O").off_curve.empty());
  EXPECT_FALSE(handed_in("300 cfm", "0.05 inH2O").off_curve.empty());
  EXPECT_TRUE(handed_in("500 cfm", "0.02 inH2O").off_curve.empty());
  EXPECT_FALSE(handed_in("500 cfm", "0.2 inH2O").off_curve.empty());
}

rules::Verdict least_airflow(double asked_m3_s) {
  const std::string rules = fmt::format(
      "rule_set: county\ntitle: A county\nrules:\n  - rule: least\n    title: least airflow\n"
      "    topic: exhaust-rate\n    requirement: enough air\n    mend: more air\n    limits: "
      "[{{fact: delivered-airflow, min: {:.6f} m3/s}}]\n",
      asked_m3_s);
  return reviewed(text(kFan, ""), rules).judgements.front().verdict;
}

TEST(LimitInsideTheBand, IsNotShown) {
  const Ours own = ours();
  EXPECT_EQ(least_airflow(own.band.low * 0.999), rules::Verdict::met);
  EXPECT_EQ(least_airflow(own.band.low * 1.001), rules::Verdict::not_shown);
  EXPECT_EQ(least_airflow(own.airflow_m3_s), rules::Verdict::not_shown);
  EXPECT_EQ(least_airflow(own.band.high * 0.999), rules::Verdict::not_shown);
  EXPECT_EQ(least_airflow(own.band.high * 1.001), rules::Verdict::not_met);
}

}  // namespace
}  // namespace ductledger
