#include <gtest/gtest.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <array>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "study/review.hpp"
#include "support/example_layout.hpp"

// The table in tests/verdicts: layouts that are right but for one thing, and what every rule has to
// say of them; and layouts that are right, of which no rule and no finding may complain.
namespace ductledger::study {
namespace {

using rules::Verdict;
using Verdicts = std::map<std::string, std::string>;

const YAML::Node& table() {
  static const YAML::Node kTable =
      YAML::LoadFile(std::string(DUCTLEDGER_SOURCE_DIR) + "/tests/verdicts/layouts.yaml");
  return kTable;
}

/// The node under a dotted path; a part that is a number is a place in a list.
void put(YAML::Node node, const std::string& path, const YAML::Node& value) {
  const std::size_t dot = path.find('.');
  const std::string key = path.substr(0, dot);
  if (dot != std::string::npos) {
    if (node.IsSequence()) {
      put(node[std::stoul(key)], path.substr(dot + 1), value);
    } else {
      put(node[key], path.substr(dot + 1), value);
    }
  } else if (node.IsSequence()) {
    node[std::stoul(key)] = value;
  } else if (value.IsNull()) {
    node.remove(key);
  } else {
    node[key] = value;
  }
}

std::string layout_text(const YAML::Node& row) {
  YAML::Node layout = YAML::Clone(table()["bases"][row["base"].as<std::string>()]["layout"]);
  for (const auto& edit : row["set"]) {
    put(layout, edit.first.as<std::string>(), edit.second);
  }
  YAML::Emitter out;
  out << layout;
  return std::string(out.c_str()) + '\n';
}

ReviewResult reviewed(const std::string& text) {
  std::vector<rules::RuleSet> sets;
  for (const std::string& name : default_rule_sets()) {
    sets.push_back(*rules::find_built_in(name));
  }
  const ReviewAsked asked{
      .sets = std::make_shared<const std::vector<rules::RuleSet>>(std::move(sets)),
      .sets_by_default = true};
  auto result = review(test::layout_of_text(text), fitting::Catalogue::built_in(), asked);
  EXPECT_TRUE(result) << text << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

const char* letter_of(Verdict verdict) {
  switch (verdict) {
    case Verdict::not_met:
      return "n";
    case Verdict::not_shown:
      return "s";
    case Verdict::authority:
      return "a";
    case Verdict::met:
      return "m";
    case Verdict::not_applicable:
      break;
  }
  return "x";
}

/// Every rule that says something else than expected, with its words.
std::string unexpected(const Verdicts& expected, const std::string& text) {
  std::ostringstream out;
  Verdicts open = expected;
  const ReviewResult result = reviewed(text);
  for (const rules::Judgement& one : result.judgements) {
    const auto found = expected.find(one.rule->id);
    const std::string wanted = found == expected.end() ? "x" : found->second;
    open.erase(one.rule->id);
    if (wanted != letter_of(one.verdict)) {
      out << "  " << one.rule->id << ": expected " << wanted << ", is " << letter_of(one.verdict)
          << ": " << one.said.text(units::System::ip) << '\n';
    }
  }
  for (const auto& [id, verdict] : open) {
    out << "  no set holds the rule " << id << '\n';
  }
  return out.str();
}

Verdicts verdicts_of(const YAML::Node& node, Verdicts all = {}) {
  for (const auto& one : node) {
    all[one.first.as<std::string>()] = one.second.as<std::string>();
  }
  return all;
}

TEST(VerdictTable, EveryRuleSaysOfABaseWhatItsCodeSays) {
  for (const auto& base : table()["bases"]) {
    YAML::Node row;
    row["base"] = base.first;
    const std::string faults = unexpected(verdicts_of(base.second["verdicts"]), layout_text(row));
    EXPECT_EQ(faults, "") << base.first.as<std::string>();
  }
}

TEST(VerdictTable, OneThingOtherwiseMovesItsRulesAndNoOther) {
  ASSERT_GE(table()["cases"].size(), 120U);
  for (const YAML::Node& row : table()["cases"]) {
    const Verdicts of_base =
        verdicts_of(table()["bases"][row["base"].as<std::string>()]["verdicts"]);
    EXPECT_EQ(unexpected(verdicts_of(row["verdicts"], of_base), layout_text(row)), "")
        << row["name"].as<std::string>();
  }
}

TEST(VerdictTable, ARightLayoutIsNotComplainedOf) {
  ASSERT_GE(table()["clean"].size(), 40U);
  for (const YAML::Node& row : table()["clean"]) {
    const ReviewResult result = reviewed(layout_text(row));
    std::string faults;
    for (const rules::Judgement& one : result.judgements) {
      if (one.verdict == Verdict::not_met) {
        faults += one.rule->id + ": " + one.said.text(units::System::ip) + '\n';
      }
    }
    for (const findings::Finding& one : result.check.findings) {
      bool known = false;
      for (const auto& warned : row["warns"]) {
        known =
            known || (one.level == findings::Level::warn && warned.as<std::string>() == one.code);
      }
      if (one.level != findings::Level::note && !known) {
        faults += one.code + ": " + one.message.text(units::System::ip) + '\n';
      }
    }
    EXPECT_EQ(faults, "") << row["name"].as<std::string>();
  }
}

/// How bad a verdict is for who hands the file in; nothing is better than met.
int badness(Verdict verdict) {
  switch (verdict) {
    case Verdict::not_met:
      return 3;
    case Verdict::not_shown:
      return 2;
    case Verdict::authority:
      return 1;
    case Verdict::met:
    case Verdict::not_applicable:
      break;
  }
  return 0;
}

std::string improved(const ReviewResult& before, const ReviewResult& now) {
  std::string out;
  for (std::size_t i = 0; i < before.judgements.size(); ++i) {
    const rules::Judgement& was = before.judgements[i];
    const rules::Judgement& is = now.judgements[i];
    EXPECT_EQ(was.rule->id, is.rule->id);
    if (badness(is.verdict) < badness(was.verdict)) {
      out += "  " + was.rule->id + ": was " + word(was.verdict) + ", is " + word(is.verdict) +
             ": " + is.said.text(units::System::ip) + '\n';
    }
  }
  return out;
}

/// Property: a speed more never helps. A speed that moves more air than any other makes another fan
/// of it: what asks for air at least may then be met, and is left out for that one.
TEST(VerdictTable, ASpeedMoreImprovesNoVerdict) {
  struct Added {
    const char* what;
    const char* speed;
  };
  constexpr std::array kAdded{
      Added{"slower", "{name: added, speed_ratio: 0.5}"},
      Added{"unknown", "{name: added, rated: {airflow: 2000 cfm, pressure: 0 inH2O}}"},
      Added{"unknown and weak", "{name: added, rated: {airflow: 20 cfm, pressure: 0 inH2O}}"},
      Added{"locked out", "{name: added, speed_ratio: 2, locked_out: yes}"},
      Added{"faster", "{name: added, speed_ratio: 1.5}"},
  };
  std::size_t turn = 0;  // each layout is given two of them
  for (const YAML::Node& row : table()["cases"]) {
    const std::string text = layout_text(row);
    const YAML::Node layout = YAML::Load(text);
    if (!layout["fan"] || !layout["fan"]["speeds"][0]["curve"]) {
      continue;
    }
    const ReviewResult before = reviewed(text);
    for (int i = 0; i < 2; ++i) {
      const Added& added = kAdded.at(turn++ % kAdded.size());
      YAML::Node with = YAML::Clone(layout);
      with["fan"]["speeds"].push_back(YAML::Load(added.speed));
      YAML::Emitter out;
      out << with;
      std::string faults = improved(before, reviewed(std::string(out.c_str()) + '\n'));
      const bool rate_alone = faults.find("-exhaust-rate") != std::string::npos &&
                              std::count(faults.begin(), faults.end(), '\n') == 1;
      if (std::string_view(added.what) == "faster" && rate_alone) {
        faults.clear();
      }
      EXPECT_EQ(faults, "") << row["name"].as<std::string>() << ", a speed more: " << added.what;
    }
  }
}

/// Property: the request answered with nothing but its blanks changes no verdict.
TEST(VerdictTable, AnAnswerLeftBlankChangesNoVerdict) {
  std::size_t blanks = 0;
  for (const YAML::Node& row : table()["cases"]) {
    const std::string text = layout_text(row);
    const ReviewResult before = reviewed(text);
    YAML::Node layout = YAML::Load(text);
    for (const rules::Judgement& one : before.judgements) {
      for (const std::size_t fact : one.missing) {
        const std::string& key = rules::facts()[fact].key;
        if (key.empty() || key.find(':') != std::string::npos || key.starts_with("run.pieces")) {
          continue;
        }
        YAML::Node at = layout;
        std::size_t dot = 0;
        std::string rest = key;
        while ((dot = rest.find('.')) != std::string::npos) {
          at.reset(at[rest.substr(0, dot)]);
          rest.erase(0, dot + 1);
        }
        if (!at[rest]) {
          at[rest] = YAML::Node();
          ++blanks;
        }
      }
    }
    YAML::Emitter out;
    out << layout;
    const ReviewResult now = reviewed(std::string(out.c_str()) + '\n');
    ASSERT_EQ(before.judgements.size(), now.judgements.size());
    for (std::size_t i = 0; i < before.judgements.size(); ++i) {
      EXPECT_EQ(before.judgements[i].verdict, now.judgements[i].verdict)
          << row["name"].as<std::string>() << ": " << before.judgements[i].rule->id << '\n'
          << out.c_str();
    }
  }
  EXPECT_GT(blanks, 20U);
}

/// Property: a set that the file names adds rules and takes nothing from the default ones.
TEST(VerdictTable, ARuleSetNamedInTheFileImprovesNoVerdict) {
  std::vector<rules::RuleSet> defaults;
  for (const std::string& name : default_rule_sets()) {
    defaults.push_back(*rules::find_built_in(name));
  }
  const auto lax = rules::read_rule_set(
      std::make_shared<const base::SourceText>(
          "lax.yaml",
          "rule_set: lax\nextends: irc-2021\nomit: [exhaust-outdoors, independent-exhaust]\n"
          "rules:\n  - rule: exhaust-opening-windows-doors\n    limits:\n"
          "      - {fact: run.termination.to_opening, min: 0 ft}\n"),
      [](const rules::RuleFileAsked&) -> base::Checked<base::SourcePtr> {
        return base::Diagnostics{};
      });
  ASSERT_TRUE(lax);
  const ReviewAsked plain{.sets = std::make_shared<const std::vector<rules::RuleSet>>(defaults)};
  for (const std::vector<rules::RuleSet>& requested :
       {std::vector{*lax}, std::vector{*rules::find_built_in("umc")}}) {
    const ReviewAsked asked = with_requested(defaults, requested);
    for (const YAML::Node& row : table()["cases"]) {
      const std::string text = layout_text(row);
      const auto& catalogue = fitting::Catalogue::built_in();
      const auto before = review(test::layout_of_text(text), catalogue, plain);
      const auto now = review(test::layout_of_text(text), catalogue, asked);
      ASSERT_TRUE(before && now);
      ASSERT_GT(now->judgements.size(), before->judgements.size());
      EXPECT_EQ(improved(*before, *now), "") << row["name"].as<std::string>();
    }
  }
}

}  // namespace
}  // namespace ductledger::study
