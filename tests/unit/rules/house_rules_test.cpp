#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "result/requirement.hpp"
#include "study/review.hpp"
#include "support/check_text.hpp"

// Rules that look at the house as a whole. Invented layouts.
namespace ductledger {
namespace {

const std::string kHood =
    "layout: 1\nappliance: {kind: range-hood, collar: 8 in round}\n"
    "fan: {speeds: [{name: high, curve: {airflow: 0 250 450 600 cfm, pressure: 0.9 0.8 0.5 0 "
    "inH2O}}]}\n"
    "run: {section: 8 in round, pieces: [{straight: 12 ft}, {cap: wall-hood-flap}]}\n";
const std::string kHeater =
    "combustion: [{kind: natural-draft-water-heater, inside_air_barrier: yes}]";

study::ReviewResult reviewed_by(const std::string& text, const std::string& set) {
  auto layout = support::read(text);
  if (!layout) {
    throw std::runtime_error(base::render(layout.error()) + text);
  }
  const rules::RuleSetName name{set, nullptr, {}};
  auto sets = rules::select_rule_sets({&name, 1}, {});
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

rules::Judgement judged(const study::ReviewResult& result, const std::string& rule) {
  const auto& all = result.judgements;
  const auto found = std::find_if(
      all.begin(), all.end(), [&](const rules::Judgement& one) { return one.rule->id == rule; });
  if (found == all.end()) {
    throw std::runtime_error("no rule " + rule);
  }
  return *found;
}

bool asks_for(const rules::Judgement& judgement, const std::string& fact) {
  return std::any_of(judgement.missing.begin(), judgement.missing.end(), [&](std::size_t one) {
    return rules::facts()[one].name == fact;
  });
}

struct Expected {
  std::string house;
  rules::Verdict verdict;
  std::string asks_for;
};

TEST(DepressurisationRule, FollowsTheHouseWithItsBand) {
  const std::vector<Expected> all{
      {"", rules::Verdict::not_shown, "fuel-burning-inside"},
      {"house: {leakage: {airflow: 900 cfm, at: 50 Pa}}\n",
       rules::Verdict::not_shown,
       "fuel-burning-inside"},
      {"house: {" + kHeater + "}\n", rules::Verdict::not_shown, "depressurisation"},
      {"house: {leakage: {airflow: 900 cfm, at: 50 Pa}, " + kHeater + "}\n",
       rules::Verdict::not_met,
       ""},
      {"house: {leakage: {airflow: 9000 cfm, at: 50 Pa}, " + kHeater + "}\n",
       rules::Verdict::authority,
       ""},
      {"house: {leakage: {airflow: 900 cfm, at: 50 Pa}, combustion: []}\n",
       rules::Verdict::not_applicable,
       ""},
  };
  for (const Expected& one : all) {
    const auto result = reviewed_by(kHood + one.house, "combustion-safety");
    const auto found = judged(result, "house-depressurisation-limit");
    EXPECT_EQ(found.verdict, one.verdict) << one.house;
    EXPECT_TRUE(one.asks_for.empty() || asks_for(found, one.asks_for)) << one.house;
    if (found.verdict == rules::Verdict::not_applicable) {
      continue;
    }
    if (result.check.layout.house == std::nullopt) {
      continue;
    }
    ASSERT_FALSE(found.remarks.empty()) << one.house;
    EXPECT_TRUE(std::ranges::any_of(found.remarks, [](const auto& remark) {
      return remark.pattern.find("found by a test") != std::string::npos;
    }));
  }
}

/// The airtightness at which the limit is just met is inside the band by construction.
TEST(DepressurisationRule, IsNotShownWhereTheLimitLiesInsideTheBand) {
  const auto open = support::check(kHood + "house: {" + kHeater + "}\n");
  const double at_50_pa_m3_s = *open.speeds.front().house->at_limit->airtightness_m3_s;
  const auto result =
      reviewed_by(kHood + "house: {leakage: {airflow: " + std::to_string(at_50_pa_m3_s) +
                      " m3/s, at: 50 Pa}, " + kHeater + "}\n",
                  "combustion-safety");
  const auto found = judged(result, "house-depressurisation-limit");
  EXPECT_EQ(found.verdict, rules::Verdict::not_shown);
  EXPECT_NEAR(found.observed.front().value, 2.0, 0.01);
}

TEST(MakeupAirRate, CountsWhatTheHouseDrawsIn) {
  const std::string opening = "makeup: {kind: passive-opening, section: 8 in round}";
  const auto result = reviewed_by(
      kHood + "house: {leakage: {airflow: 900 cfm, at: 50 Pa}, " + kHeater + ", " + opening + "}\n",
      "irc-2021");
  const auto found = judged(result, "hood-makeup-air-rate");
  // Less than 80 % of what goes out is not about as much.
  EXPECT_EQ(found.verdict, rules::Verdict::not_met);
  const auto& balance = result.check.speeds.front().house->balance;
  EXPECT_GT(balance.makeup_airflow_m3_s, 0.0);
  ASSERT_GE(found.observed.size(), 2U);
  EXPECT_DOUBLE_EQ(found.observed[0].value, balance.makeup_airflow_m3_s);
  EXPECT_DOUBLE_EQ(found.observed[1].value, balance.depressurisation_pa);
  const auto unknown =
      judged(reviewed_by(kHood + "house: {" + opening + "}\n", "irc-2021"), "hood-makeup-air-rate");
  EXPECT_EQ(unknown.verdict, rules::Verdict::not_shown);
  EXPECT_TRUE(asks_for(unknown, "depressurisation"));
}

// By two ratings it moves 211 to 450 cfm, 139 to 504 with the doubt.
std::string two_ratings(const std::string& makeup) {
  return "layout: 1\nappliance: {kind: range-hood, collar: 6 in round}\n"
         "fan: {speeds: [{name: high, rated: [{airflow: 520 cfm, pressure: 0.05 inH2O}, {airflow: "
         "450 cfm, pressure: 0.2 inH2O}]}]}\n"
         "run: {section: 6 in round, pieces: [{straight: 12 ft}, {elbow: {angle: 90 deg}}, {cap: "
         "wall-hood-flap}]}\n"
         "house: {" +
         kHeater + ", makeup: {kind: powered, airflow: " + makeup + ", interlocked: yes}}\n";
}

TEST(FanByBounds, MakeupAirIsJudgedByBothEnds) {
  const auto rate = [](const std::string& makeup) {
    return judged(reviewed_by(two_ratings(makeup), "irc-2021"), "hood-makeup-air-rate");
  };
  // Too little of what is moved at least; between the ends; too much of what is moved at most.
  EXPECT_EQ(rate("60 cfm").verdict, rules::Verdict::not_met);
  EXPECT_EQ(rate("300 cfm").verdict, rules::Verdict::not_shown);
  EXPECT_EQ(rate("900 cfm").verdict, rules::Verdict::not_met);
  const std::string said = rate("300 cfm").said.text(units::System::ip);
  EXPECT_EQ(said.find("not known"), std::string::npos) << said;
  EXPECT_NE(said.find("of the exhaust at most"), std::string::npos) << said;
}

TEST(FanByBounds, TheThresholdIsReadAtBothEnds) {
  const auto result = reviewed_by(two_ratings("300 cfm"), "irc-2021");
  const auto band = result::bounds_of(result.check.speeds.front());
  ASSERT_TRUE(band);
  const auto found = judged(result, "hood-makeup-air-threshold");
  const auto& observed = found.observed;
  const auto value = [&](const std::string& key) {
    const auto at =
        std::find_if(observed.begin(), observed.end(), [&](const auto& o) { return o.key == key; });
    return at == observed.end() ? 0.0 : at->value;
  };
  EXPECT_DOUBLE_EQ(value("delivered_airflow_low_m3_s"), band->low);
  EXPECT_DOUBLE_EQ(value("delivered_airflow_high_m3_s"), band->high);
}

// One rating at a pressure that the run does not ask for: it moves more than that, up to 751 cfm.
TEST(FanByBounds, OneRatingIsNotHeldWhereTheFanMovesMore) {
  const auto with = [](const std::string& leakage) {
    return reviewed_by(
        "layout: 1\nappliance: {kind: range-hood, collar: 8 in round}\n"
        "fan: {speeds: [{name: high, rated: {airflow: 300 cfm, pressure: 0.25 inH2O}}]}\n"
        "run: {section: 8 in round, pieces: [{straight: 6 ft}, {cap: {type: wall-hood-flap, "
        "coefficient: 1.5}}]}\n"
        "house: {leakage: {airflow: " +
            leakage + ", at: 50 Pa, exponent: 0.65}, " + kHeater + "}\n",
        "combustion-safety");
  };
  const auto result = with("4000 cfm");
  const result::SpeedResult& speed = result.check.speeds.front();
  ASSERT_TRUE(speed.house && speed.house->band && speed.point.bounds);
  EXPECT_EQ(speed.house->basis, house::AirflowBasis::bounds);
  EXPECT_GE(speed.house->judged_airflow_m3_s, speed.point.bounds->high_m3_s);
  EXPECT_LT(speed.house->band->low_pa, speed.house->band->high_pa);
  // The rated 300 cfm alone would stay within 2 Pa; what it moves at most does not.
  EXPECT_EQ(judged(result, "house-depressurisation-limit").verdict, rules::Verdict::not_shown);
  EXPECT_EQ(judged(with("900 cfm"), "house-depressurisation-limit").verdict,
            rules::Verdict::not_met);
  EXPECT_EQ(judged(with("20000 cfm"), "house-depressurisation-limit").verdict,
            rules::Verdict::authority);
}

std::string bath_fan(const std::string& airflow, const std::string& dwelling) {
  return "layout: 1\nappliance: {kind: bath-fan, collar: 6 in round, operation: continuous, "
         "serves: whole-dwelling}\n"
         "fan: {speeds: [{name: on, curve: {airflow: 0 " +
         airflow +
         " cfm, pressure: 0.8 0 inH2O}}]}\n"
         "run: {section: 6 in round, pieces: [{straight: 6 ft}, {cap: wall-hood-flap}]}\n" +
         dwelling;
}

// 3 cfm for each 100 ft2 of 2000 ft2 and 7.5 cfm for each of four: 60 + 30 = 90 cfm.
TEST(WholeDwellingRate, IsOfFloorAreaAndBedrooms) {
  const std::string dwelling = "dwelling: {floor_area: 2000 ft2, bedrooms: 3}\n";
  const auto rate = [](const std::string& text) {
    return judged(reviewed_by(text, "ashrae-62-2-2019"), "whole-dwelling-rate");
  };
  const auto enough = rate(bath_fan("300", dwelling));
  EXPECT_EQ(enough.verdict, rules::Verdict::met);
  EXPECT_NEAR(enough.limit.front().value, 90 * 0.3048 * 0.3048 * 0.3048 / 60, 1e-9);
  EXPECT_EQ(rate(bath_fan("60", dwelling)).verdict, rules::Verdict::authority);
  const auto unknown = rate(bath_fan("300", "dwelling: {floor_area: 2000 ft2}\n"));
  EXPECT_EQ(unknown.verdict, rules::Verdict::not_shown);
  EXPECT_TRUE(asks_for(unknown, "dwelling.bedrooms"));
}

}  // namespace
}  // namespace ductledger
