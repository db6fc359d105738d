#include "layout/facts.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>
#include <string>

#include "base/expects.hpp"
#include "support/check_text.hpp"
#include "units/quantity.hpp"

namespace ductledger::layout {
namespace {

std::string facts_with(const std::string& appliance,
                       const std::string& run,
                       const std::string& end) {
  return "layout: 1\nappliance:\n  kind: range-hood\n  collar: 6 in round\n" + appliance +
         "run:\n" + run + "  pieces:\n    - straight: 3 ft\n" + end;
}

/// A layout that states this one key by its example.
std::string layout_stating(const FactKey& key) {
  std::string path = key.path;
  std::string lines;
  std::string indent = "  ";
  const std::string top = path.substr(0, path.find('.'));
  path.erase(0, top.size() + 1);
  for (std::size_t dot = path.find('.'); dot != std::string::npos; dot = path.find('.')) {
    lines += indent + path.substr(0, dot) + ":\n";
    indent += "  ";
    path.erase(0, dot + 1);
  }
  lines += indent + path + ": " + key.example + "\n";
  if (std::string_view(key.path) == "appliance.ductless") {
    return facts_with(lines, "  discharge: room\n", "");
  }
  if (std::string_view(key.path) == "appliance.sound.at") {
    lines += indent + "sones: 1\n";
  }
  return top == "appliance" ? facts_with(lines, "", "")
         : top == "run"     ? facts_with("", lines, "")
                            : facts_with("", "", top + ":\n" + lines);
}

TEST(FactKeys, HaveEachAPlaceAnExampleAndAMeaning) {
  std::set<std::string> paths;
  for (const FactKey& key : fact_keys()) {
    EXPECT_TRUE(paths.insert(key.path).second) << key.path;
    EXPECT_NE(std::string(key.example), "") << key.path;
    EXPECT_NE(std::string(key.meaning), "") << key.path;
    EXPECT_EQ(fact_key(key.path), &key);
  }
  EXPECT_EQ(fact_key("run.termination.nothing"), nullptr);
}

TEST(FactKeys, ReadTheirOwnExamples) {
  for (const FactKey& key : fact_keys()) {
    if (std::string_view(key.path).starts_with("house.")) {
      continue;
    }
    SCOPED_TRACE(key.path);
    const std::string text = layout_stating(key);
    const auto layout = support::read(text);
    ASSERT_TRUE(layout) << base::render(layout.error()) << text;
    const StatedFact* fact = layout->facts.find(key.path);
    ASSERT_NE(fact, nullptr) << text;
    EXPECT_GT(fact->span.line, 0);
    EXPECT_EQ(fact->key, &key);
    // Nothing else is stated: what the file does not say has no value.
    EXPECT_EQ(layout->facts.all().size(),
              std::string_view(key.path) == "appliance.sound.at" ? 2U : 1U);
  }
}

TEST(Facts, AreReadInSiWithTheirPlace) {
  const auto layout = support::read(facts_with(
      "  listing: [ul-507, UL507, Z21.1]\n  airflow_test: [AMCA 210, hvi 916]\n",
      "  independent: no\n  construction: {gauge: 26 ga, seal: Mastic_with_fabric}\n"
      "  termination: {to_opening: 3 ft, to_mechanical_intake: none, above_grade: -6 in}\n",
      "electrical: {breaker: 15 amps}\ndwelling: {kitchen_volume: 960 cu ft}\n"));
  ASSERT_TRUE(layout) << base::render(layout.error());
  const Facts& facts = layout->facts;
  EXPECT_EQ(facts.find("appliance.listing")->words,
            (std::vector<std::string>{"UL 507", "UL 507", "Z21.1"}));
  EXPECT_TRUE(facts.find("appliance.airflow_test")->has_word("hvi-916"));
  EXPECT_EQ(facts.yes_no("run.independent"), std::optional<bool>(false));
  EXPECT_EQ(facts.value("run.construction.gauge"), std::optional<double>(26.0));
  EXPECT_EQ(facts.word("run.construction.seal"), "mastic-with-fabric");
  EXPECT_NEAR(*facts.value("run.termination.to_opening"), 0.9144, 1e-12);
  EXPECT_TRUE(std::isinf(*facts.value("run.termination.to_mechanical_intake")));
  EXPECT_NEAR(*facts.value("run.termination.above_grade"), -0.1524, 1e-12);
  EXPECT_EQ(facts.value("electrical.breaker"), std::optional<double>(15.0));
  EXPECT_NEAR(*facts.value("dwelling.kitchen_volume"), 960.0 * 0.028316846592, 1e-9);
  EXPECT_EQ(facts.find("run.termination.to_opening")->span.line, 10);
  EXPECT_EQ(facts.find("run.fireblocked"), nullptr);
  EXPECT_EQ(facts.yes_no("run.fireblocked"), std::nullopt);
  EXPECT_EQ(facts.word("run.termination.place"), "");
}

TEST(Facts, AskedForByAnUnknownPathIsAFaultOfOurs) {
  const Facts facts;
  EXPECT_THROW((void)facts.find("run.terminatoin.place"), base::LogicError);
}

TEST(ListingName, HasOneSpelling) {
  const std::map<std::string, std::string> names{{"UL 507", "UL 507"},
                                                 {"ul-507", "UL 507"},
                                                 {"UL507", "UL 507"},
                                                 {"ul 2158a", "UL 2158A"},
                                                 {"ANSI Z21.1", "ANSI Z21.1"},
                                                 {"CSA C22.2 No. 113", "CSA C22.2 NO. 113"},
                                                 {" none ", "NONE"}};
  for (const auto& [text, name] : names) {
    EXPECT_EQ(listing_name(text), name);
  }
}

TEST(SheetThickness, PairsGaugesAsDuctTablesDo) {
  EXPECT_NEAR(*sheet_thickness_m(30) / units::kMetresPerInch, 0.013, 1e-12);
  EXPECT_NEAR(*sheet_thickness_m(26) / units::kMetresPerInch, 0.019, 1e-12);
  EXPECT_NEAR(*sheet_thickness_m(16) / units::kMetresPerInch, 0.0575, 1e-12);
  EXPECT_FALSE(sheet_thickness_m(27));
}

}  // namespace
}  // namespace ductledger::layout
