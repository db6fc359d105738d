#include <gtest/gtest.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <memory>
#include <set>
#include <string>

#include "study/review.hpp"
#include "support/check_text.hpp"

// Layouts that are right but for one thing: the rule it breaks, and those the same thing touches,
// are `not met`, and nothing else is. Ours, not published.
namespace ductledger {
namespace {

const std::string kFolder = std::string(DUCTLEDGER_SOURCE_DIR) + "/tests/regression/one_fault/";

std::set<std::string> not_met(const std::string& name) {
  std::ifstream file(kFolder + name + ".yaml", std::ios::binary);
  std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  auto source = std::make_shared<const base::SourceText>(name + ".yaml", std::move(text));
  auto layout = layout::read(source, fitting::Catalogue::built_in());
  if (!layout) {
    ADD_FAILURE() << base::render(layout.error());
    return {};
  }
  std::vector<rules::RuleSetName> names;
  for (const auto& asked : layout->rules) {
    names.push_back({.name = asked.name, .source = source, .span = asked.span});
  }
  auto sets = rules::select_rule_sets(names, {});
  if (!sets) {
    ADD_FAILURE() << base::render(sets.error());
    return {};
  }
  const auto result = study::review(
      *std::move(layout),
      fitting::Catalogue::built_in(),
      {.sets = std::make_shared<const std::vector<rules::RuleSet>>(*std::move(sets))});
  if (!result) {
    ADD_FAILURE() << base::render(result.error());
    return {};
  }
  std::set<std::string> ids;
  for (const rules::Judgement& judgement : result->judgements) {
    if (judgement.verdict == rules::Verdict::not_met) {
      ids.insert(judgement.rule->id);
    }
  }
  return ids;
}

TEST(OneFault, IsTheOnlyRuleNotMet) {
  const YAML::Node expected = YAML::LoadFile(kFolder + "expected.yaml");
  ASSERT_GE(expected.size(), 28U);
  for (const auto& entry : expected) {
    const std::string name = entry.first.as<std::string>();
    SCOPED_TRACE(name);
    std::set<std::string> wanted;
    if (entry.second["rule"]) {
      wanted.insert(entry.second["rule"].as<std::string>());
    }
    for (const auto& also : entry.second["also"]) {
      wanted.insert(also.as<std::string>());
    }
    EXPECT_EQ(not_met(name), wanted);
  }
}

}  // namespace
}  // namespace ductledger
