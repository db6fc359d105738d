#include <gtest/gtest.h>

#include <map>
#include <memory>
#include <set>
#include <string>

#include "rules/fact.hpp"
#include "rules/judge.hpp"
#include "rules/rule.hpp"

namespace ductledger::rules {
namespace {

using Files = std::map<std::string, std::string>;

rules::RuleFileLoader loader(const Files& files) {
  return [files](const rules::RuleFileAsked& asked) -> base::Checked<base::SourcePtr> {
    const auto found = files.find(asked.name);
    if (found == files.end()) {
      base::Diagnostic fault;
      fault.rule = "no-such-file";
      return fault;
    }
    return base::SourcePtr(std::make_shared<base::SourceText>(asked.name, found->second));
  };
}

base::Checked<std::vector<rules::RuleSet>> select(const std::string& name, const Files& files) {
  const std::vector<rules::RuleSetName> names{{name, nullptr, {}}};
  return rules::select_rule_sets(names, loader(files));
}

/// The one fault of a file, rendered.
std::string fault_of(const Files& files) {
  const auto sets = select("county.yaml", files);
  EXPECT_FALSE(sets);
  if (sets) {
    return "";
  }
  EXPECT_EQ(sets.error().size(), 1U) << base::render(sets.error());
  return sets.error().front().rule;
}

const rules::Rule* rule(const rules::RuleSet& set, const std::string& id) {
  for (const rules::Rule& one : set.rules) {
    if (one.id == id) {
      return &one;
    }
  }
  return nullptr;
}

TEST(Rules, every_built_in_set_is_read_and_holds_rules_once) {
  ASSERT_GE(rules::built_in_rule_sets().size(), 14U);
  for (const rules::RuleSet& set : rules::built_in_rule_sets()) {
    std::set<std::string> ids;
    for (const rules::Rule& one : set.rules) {
      EXPECT_TRUE(ids.insert(one.id).second) << set.id << ' ' << one.id;
      EXPECT_FALSE(one.requirement.empty()) << one.id;
      EXPECT_FALSE(one.mend.empty()) << one.id;
    }
    EXPECT_FALSE(ids.empty()) << set.id;
  }
}

TEST(Rules, what_was_not_seen_is_never_called_seen) {
  for (const rules::RuleSet& set : rules::built_in_rule_sets()) {
    for (const rules::Rule& one : set.rules) {
      EXPECT_EQ(one.status == rules::SourceStatus::seen, !one.source.empty())
          << set.id << ' ' << one.id;
    }
  }
}

TEST(Rules, a_county_changes_one_limit_and_keeps_the_others) {
  const auto sets =
      select("county.yaml",
             {{"county.yaml",
               "rule_set: my-county\n"
               "title: My County 2026\n"
               "extends: irc-2021\n"
               "omit: [dryer-shield-plates]\n"
               "rules:\n"
               "  - rule: exhaust-opening-property-line\n"
               "    section: ordinance 12.3\n"
               "    limits: [{fact: run.termination.to_property_line, min: 5 ft}]\n"}});
  ASSERT_TRUE(sets) << base::render(sets.error());
  ASSERT_EQ(sets->size(), 1U);
  const rules::RuleSet& set = sets->front();
  EXPECT_EQ(set.rules.size(), rules::find_built_in("irc-2021")->rules.size() - 1);
  EXPECT_EQ(rule(set, "dryer-shield-plates"), nullptr);
  const rules::Rule* line = rule(set, "exhaust-opening-property-line");
  ASSERT_NE(line, nullptr);
  EXPECT_NEAR(line->limits.front().value_si, 5 * 0.3048, 1e-12);
  EXPECT_EQ(rules::citation(set, *line), "My County 2026, ordinance 12.3");
  EXPECT_EQ(rules::citation(set, *rule(set, "hood-duct-material")),
            "International Residential Code 2021, M1503.4");
}

TEST(Rules, a_file_takes_the_place_of_the_set_it_extends) {
  const Files files{{"county.yaml", "rule_set: my-county\nextends: irc-2021\n"}};
  const std::vector<rules::RuleSetName> names{
      {"irc-2021", nullptr, {}}, {"county.yaml", nullptr, {}}, {"common-practice", nullptr, {}}};
  const auto sets = rules::select_rule_sets(names, loader(files));
  ASSERT_TRUE(sets) << base::render(sets.error());
  ASSERT_EQ(sets->size(), 2U);
  EXPECT_EQ(sets->at(0).id, "my-county");
}

TEST(Rules, an_unknown_set_suggests_the_nearest) {
  const auto sets = select("irc-2012", {});
  ASSERT_FALSE(sets);
  EXPECT_EQ(sets.error().front().rule, "unknown-rule-set");
  EXPECT_NE(sets.error().front().help.find("irc-20"), std::string::npos);
}

TEST(Rules, an_unknown_key_is_one_message) {
  EXPECT_EQ(fault_of({{"county.yaml",
                       "rule_set: c\nrules:\n  - rule: r\n    requirement: x\n"
                       "    limit: [{fact: delivered-airflow, min: 3 cfm}]\n"
                       "    authority: ask\n"}}),
            "unknown-key");
}

TEST(Rules, a_limit_without_a_unit_is_one_message) {
  EXPECT_EQ(fault_of({{"county.yaml",
                       "rule_set: c\nrules:\n  - rule: r\n    requirement: x\n"
                       "    limits: [{fact: run.termination.to_opening, min: 3}]\n"}}),
            "missing-unit");
}

TEST(Rules, limits_that_contradict_are_one_message) {
  EXPECT_EQ(fault_of({{"county.yaml",
                       "rule_set: c\nrules:\n  - rule: r\n    requirement: x\n"
                       "    limits:\n"
                       "      - {fact: run.termination.to_opening, min: 3 ft}\n"
                       "      - {fact: run.termination.to_opening, max: 2 ft}\n"}}),
            "contradicting-limits");
}

TEST(Rules, a_circle_of_extensions_is_one_message) {
  const Files files{{"county.yaml", "rule_set: c\nextends: state.yaml\n"},
                    {"state.yaml", "rule_set: s\nextends: county.yaml\n"}};
  EXPECT_EQ(fault_of(files), "rule-sets-extend-each-other");
}

TEST(Rules, a_rule_that_decides_nothing_is_one_message) {
  EXPECT_EQ(fault_of({{"county.yaml", "rule_set: c\nrules: [{rule: r, requirement: x}]\n"}}),
            "rule-decides-nothing");
}

TEST(Rules, an_unknown_fact_suggests_the_nearest) {
  const auto sets = select("county.yaml",
                           {{"county.yaml",
                             "rule_set: c\nrules:\n  - rule: r\n    requirement: x\n"
                             "    limits: [{fact: delivered-airflo, min: 3 cfm}]\n"}});
  ASSERT_FALSE(sets);
  ASSERT_EQ(sets.error().size(), 1U) << base::render(sets.error());
  EXPECT_NE(sets.error().front().help.find("delivered-airflow"), std::string::npos);
}

TEST(Rules, a_bound_that_does_not_fit_its_fact_is_one_message) {
  EXPECT_EQ(fault_of({{"county.yaml",
                       "rule_set: c\nrules:\n  - rule: r\n    requirement: x\n"
                       "    limits: [{fact: duct-material, min: 3 ft}]\n"}}),
            "bound-does-not-fit");
}

TEST(Rules, a_name_of_the_program_cannot_be_taken) {
  EXPECT_EQ(fault_of({{"county.yaml", "rule_set: irc-2021\n"}}), "set-name-taken");
}

}  // namespace
}  // namespace ductledger::rules
