#include <gtest/gtest.h>

#include <array>
#include <string>

#include "rules/judge.hpp"
#include "study/case.hpp"
#include "support/check_text.hpp"

// Makeup air over 400 cfm, by edition. International Residential Code M1503.4 (2015: every hood
// over 400 cfm), M1503.6 (2018 on: with a natural-draft appliance inside the air barrier);
// International Mechanical Code 505.2 (2015) and 505.4: no such condition. Exactly 400 cfm is not
// more than 400 cfm. The layouts state the label alone, so
// that nothing stands on the other side of the threshold.
namespace ductledger::rules {
namespace {

std::string layout_text(int airflow_cfm, const std::string& house) {
  return "layout: 1\nappliance: {kind: range-hood, collar: 8 in round, nameplate_airflow: " +
         std::to_string(airflow_cfm) +
         " cfm}\nrun: {material: galvanized-steel, pieces: [{straight: 4 ft}, {cap: "
         "wall-hood-flap}]}\n" +
         house;
}

rules::Verdict verdict(const std::string& set_id, const std::string& text) {
  const study::CheckResult result = support::check(text);
  const result::Case subject = study::as_case(result, fitting::Catalogue::built_in());
  const rules::RuleSet* set = rules::find_built_in(set_id);
  EXPECT_NE(set, nullptr) << set_id;
  for (const rules::Rule& rule : set->rules) {
    if (rule.id == "hood-makeup-air-threshold") {
      return rules::judge(*set, rule, subject).verdict;
    }
  }
  ADD_FAILURE() << set_id << " has no such rule";
  return rules::Verdict::not_applicable;
}

const std::string kNaturalDraft =
    "house: {combustion: [{kind: natural-draft-water-heater, inside_air_barrier: yes}], "
    "makeup: {kind: none}}\n";
const std::string kDirectVent =
    "house: {combustion: [{kind: direct-vent-furnace, inside_air_barrier: yes}], "
    "makeup: {kind: none}}\n";
const std::string kOutsideBarrier =
    "house: {combustion: [{kind: natural-draft-water-heater, inside_air_barrier: no}], "
    "makeup: {kind: none}}\n";

constexpr std::array<const char*, 3> kOnCondition{"irc-2018", "irc-2021", "irc-2024"};
constexpr std::array<const char*, 5> kAlways{
    "irc-2015", "imc-2015", "imc-2018", "imc-2021", "imc-2024"};

TEST(MakeupThreshold, four_hundred_is_not_over_it) {
  for (const auto& set : rules::built_in_rule_sets()) {
    if (set.id.rfind("irc", 0) != 0 && set.id.rfind("imc", 0) != 0) {
      continue;
    }
    EXPECT_EQ(verdict(set.id, layout_text(399, kNaturalDraft)), rules::Verdict::not_applicable)
        << set.id;
    EXPECT_EQ(verdict(set.id, layout_text(400, kNaturalDraft)), rules::Verdict::not_applicable)
        << set.id;
    EXPECT_EQ(verdict(set.id, layout_text(401, kNaturalDraft)), rules::Verdict::not_met) << set.id;
  }
}

TEST(MakeupThreshold, from_2018_the_residential_code_asks_for_a_natural_draft_inside) {
  for (const char* set : kOnCondition) {
    EXPECT_EQ(verdict(set, layout_text(401, kDirectVent)), rules::Verdict::not_applicable) << set;
    EXPECT_EQ(verdict(set, layout_text(401, kOutsideBarrier)), rules::Verdict::not_applicable)
        << set;
    EXPECT_EQ(verdict(set, layout_text(401, "")), rules::Verdict::not_shown) << set;
  }
}

TEST(MakeupThreshold, others_ask_whatever_burns_inside) {
  for (const char* set : kAlways) {
    EXPECT_EQ(verdict(set, layout_text(401, kDirectVent)), rules::Verdict::not_met) << set;
    EXPECT_EQ(verdict(set, layout_text(401, "")), rules::Verdict::not_shown) << set;
  }
}

TEST(MakeupThreshold, makeup_air_in_the_file_meets_it) {
  const std::string with_makeup =
      "house: {combustion: [{kind: natural-draft-water-heater, inside_air_barrier: yes}], "
      "makeup: {kind: powered, airflow: 401 cfm, interlocked: yes}}\n";
  for (const char* set : kOnCondition) {
    EXPECT_EQ(verdict(set, layout_text(401, with_makeup)), rules::Verdict::met) << set;
  }
}

}  // namespace
}  // namespace ductledger::rules
