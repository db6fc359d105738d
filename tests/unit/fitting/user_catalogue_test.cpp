#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "fitting/catalogue.hpp"
#include "fitting/entry.hpp"

namespace ductledger::fitting {
namespace {

// Invented data.
const std::string kOwn = R"(sources:
  sheet-7: {title: pressure drop sheet of a wall cap, author: invented, status: seen}
kind: cap
type: low-loss-wall
title: Wall cap with a long flap
use: a cap with a measured curve
sections: [round]
reference: upstream
includes_friction: yes
parameters:
  - {name: flap_ratio, dimension: number, default: 1, range: [0.5, 2], meaning: flap length over duct diameter}
uncertainty: {u: 0.15, basis: measured curve}
data:
  - key: sheet-7
    role: default
    source: sheet-7
    status: seen
    axes:
      - {name: flap_ratio, unit: "-", at: [0.5, 1, 2]}
    values: [2.0, 1.6, 1.4]
)";

base::SourcePtr source(const std::string& text) {
  return std::make_shared<const base::SourceText>("own.yaml", text);
}

std::string with(const std::string& from, const std::string& to) {
  std::string text = kOwn;
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

TEST(UserCatalogue, AddsAnEntryWithItsOwnSource) {
  Catalogue catalogue = Catalogue::built_in();
  const auto faults = catalogue.add(source(kOwn));
  EXPECT_TRUE(faults.empty()) << base::render(faults);
  const auto section = duct::Section::round(units::inches(6.0));
  Piece piece{
      .kind = Kind::cap, .type = "low-loss-wall", .upstream = section, .downstream = section};
  piece.parameters["flap_ratio"] = 1.5;
  const auto result = catalogue.coefficient(piece);
  ASSERT_TRUE(std::holds_alternative<Coefficient>(result));
  EXPECT_NEAR(std::get<Coefficient>(result).value, 1.5, 1e-12);
  EXPECT_EQ(catalogue.source("sheet-7")->author, "invented");
  EXPECT_NE(catalogue.content_hash(), Catalogue::built_in().content_hash());
  EXPECT_EQ(catalogue.content_hash().size(), 64U);
  // The compiled-in catalogue is untouched.
  EXPECT_FALSE(Catalogue::built_in().source("sheet-7").has_value());
}

TEST(UserCatalogue, ReplacesAnEntryOfTheSameKey) {
  Catalogue catalogue = Catalogue::built_in();
  EXPECT_TRUE(catalogue.add(source(with("low-loss-wall", "wall-hood-flap"))).empty());
  const auto section = duct::Section::round(units::inches(6.0));
  Piece piece{
      .kind = Kind::cap, .type = "wall-hood-flap", .upstream = section, .downstream = section};
  EXPECT_NEAR(std::get<Coefficient>(catalogue.coefficient(piece)).value, 1.6, 1e-12);
  const auto entries = catalogue.entries();
  EXPECT_EQ(std::count_if(entries.begin(),
                          entries.end(),
                          [](const Entry* e) { return e->key() == "cap/wall-hood-flap"; }),
            1);
  EXPECT_EQ(entries.size(), Catalogue::built_in().entries().size());
  // What the file does not state stays: the traits, and which place's default it is.
  EXPECT_TRUE(catalogue.traits(Kind::cap, "wall-hood-flap").stands_at(Outlet::wall));
  EXPECT_EQ(catalogue.traits(Kind::cap, "wall-hood-flap").flap, Flap::gravity);
  EXPECT_EQ(catalogue.default_cap(Outlet::wall, section), "wall-hood-flap");
}

TEST(UserCatalogue, AFileMayHoldSeveral) {
  const std::string text = R"(sources:
  mine: {title: two measured caps, author: invented, status: seen}
fittings:
  - kind: cap
    type: one
    title: One
    use: a test
    sections: [any]
    reference: upstream
    includes_friction: yes
    uncertainty: {u: 0.2, basis: invented}
    data: [{key: mine, role: default, source: mine, status: seen, value: 1.5}]
  - kind: cap
    type: two
    title: Two
    use: a test
    sections: [any]
    reference: upstream
    includes_friction: yes
    uncertainty: {u: 0.2, basis: invented}
    data: [{key: mine, role: default, source: mine, status: seen, value: 2.5}]
)";
  Catalogue catalogue;
  const auto faults = catalogue.add(source(text));
  EXPECT_TRUE(faults.empty()) << base::render(faults);
  EXPECT_EQ(catalogue.types(Kind::cap), (std::vector<std::string>{"one", "two"}));
}

/// A slip in a catalogue file and the one diagnostic it gets.
struct Slip {
  const char* name;
  const char* from;
  const char* to;
  const char* rule;
  int line;
};

class UserCatalogueFaults : public testing::TestWithParam<Slip> {};

TEST_P(UserCatalogueFaults, GetOneDiagnosticInItsPlace) {
  const Slip& slip = GetParam();
  Catalogue catalogue = Catalogue::built_in();
  const auto before = catalogue.content_hash();
  const auto faults = catalogue.add(source(with(slip.from, slip.to)));
  ASSERT_EQ(faults.size(), 1U) << base::render(faults);
  EXPECT_EQ(faults.front().rule, slip.rule) << base::render(faults);
  EXPECT_EQ(faults.front().span.line, slip.line) << base::render(faults);
  EXPECT_FALSE(faults.front().message.empty());
  EXPECT_EQ(catalogue.content_hash(), before) << "a file with a fault changes nothing";
}

INSTANTIATE_TEST_SUITE_P(
    Each,
    UserCatalogueFaults,
    testing::Values(
        Slip{"UnknownKey", "title: Wall", "titel: x\ntitle: Wall", "unknown-key", 5},
        Slip{"UnknownKind", "kind: cap", "kind: hat", "unknown-word", 3},
        Slip{"MissingTitle", "title: Wall cap with a long flap\n", "", "missing-key", 3},
        Slip{"UnknownShape", "sections: [round]", "sections: [triangular]", "unknown-word", 7},
        Slip{"MissingUnit", "unit: \"-\", ", "", "missing-key", 19},
        Slip{"UnknownUnit", "unit: \"-\"", "unit: furlong", "unknown-unit", 19},
        Slip{"WrongUnit", "unit: \"-\"", "unit: deg", "wrong-unit", 19},
        Slip{"NotAscending", "at: [0.5, 1, 2]", "at: [0.5, 2, 1]", "not-ascending", 19},
        Slip{"TooFewValues", "[2.0, 1.6, 1.4]", "[2.0, 1.6]", "wrong-count", 20},
        Slip{"NotANumber", "[2.0, 1.6, 1.4]", "[2.0, x, 1.4]", "not-a-number", 20},
        Slip{"UnknownSource", "source: sheet-7", "source: sheet-8", "unknown-source", 16},
        Slip{"UnknownStatus", "    status: seen\n", "    status: glimpsed\n", "unknown-word", 17},
        Slip{"UnknownVariable",
             "name: flap_ratio, unit",
             "name: flap_rato, unit",
             "unknown-variable",
             19},
        Slip{"NoDefault", "role: default", "role: companion", "missing-default", 14},
        Slip{"NoUncertainty",
             "uncertainty: {u: 0.15, basis: measured curve}\n",
             "",
             "missing-key",
             3},
        Slip{"UncertaintyInPercent", "u: 0.15", "u: 15", "outside-range", 12},
        Slip{"DefaultOutsideRange", "default: 1,", "default: 3,", "outside-range", 11},
        Slip{"RangeUpsideDown", "range: [0.5, 2]", "range: [2, 0.5]", "not-ascending", 11},
        Slip{"UnknownLaw",
             "    values: [2.0, 1.6, 1.4]\n",
             "    values: [2.0, 1.6, 1.4]\n    factors: [{law: borda-carno}]\n",
             "unknown-word",
             21},
        Slip{"UnknownTable",
             "    values: [2.0, 1.6, 1.4]\n",
             "    values: [2.0, 1.6, 1.4]\n    factors: [{table: elbow-angel, data: smacna4}]\n",
             "unknown-table",
             14},
        Slip{"UnknownDataSet",
             "    values: [2.0, 1.6, 1.4]\n",
             "    values: [2.0, 1.6, 1.4]\n    factors: [{table: elbow-angle, data: smacna5}]\n",
             "unknown-data-set",
             14},
        Slip{"ValueBesideAxes",
             "    values: [2.0, 1.6, 1.4]\n",
             "    values: [2.0, 1.6, 1.4]\n    value: 2\n",
             "conflicting-keys",
             21},
        Slip{"AxesAlone", "    values: [2.0, 1.6, 1.4]\n", "", "missing-key", 19},
        Slip{"LogarithmOfZero",
             "    values: [2.0, 1.6, 1.4]\n",
             "    scale: logarithmic\n    values: [2.0, 1.6, 0]\n",
             "not-positive",
             21},
        Slip{"FrictionWithoutLength",
             "includes_friction: yes",
             "includes_friction: no",
             "missing-key",
             9},
        Slip{"FaceWithoutParameter",
             "reference: upstream",
             "reference: face",
             "unknown-variable",
             8}),
    [](const auto& test) { return std::string(test.param.name); });

TEST(UserCatalogue, IndependentFaultsComeInOnePass) {
  std::string text = kOwn;
  text.replace(text.find("kind: cap"), 9, "kind: hat");
  text.replace(text.find("[2.0, 1.6, 1.4]"), 15, "[2.0, 1.6]");
  Catalogue catalogue;
  EXPECT_EQ(catalogue.add(source(text)).size(), 2U);
}

TEST(UserCatalogue, AnEmptyOrForeignFileIsOneFault) {
  Catalogue catalogue;
  EXPECT_EQ(catalogue.add(source("- a\n- b\n")).size(), 1U);
  EXPECT_GE(catalogue.add(source("")).size(), 1U);
}

}  // namespace
}  // namespace ductledger::fitting
