#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "cli/harness.hpp"
#include "fitting/catalogue.hpp"
#include "fitting/entry.hpp"
#include "harness.hpp"
#include "study/fitting_sheet.hpp"
#include "support/well_formed.hpp"

// `fittings` over everything the catalogue holds.
namespace ductledger {
namespace {

using fitting::Catalogue;
using fitting::Entry;

nlohmann::json document(const test::Outcome& outcome) {
  return nlohmann::json::parse(outcome.out, nullptr, false);
}

std::string value_text(const study::FittingVariable& v, double si) {
  switch (v.dimension) {
    case units::Dimension::angle:
      return std::to_string(si * 180.0 / 3.14159265358979323846) + "deg";
    case units::Dimension::length:
      return std::to_string(1000.0 * si) + "mm";
    case units::Dimension::area:
      return std::to_string(si) + "m2";
    case units::Dimension::ratio:
      return std::to_string(100.0 * si) + "%";
    default:
      return std::to_string(si);
  }
}

/// Variables that a caller can state.
std::vector<study::FittingVariable> stated_variables(const Entry& entry) {
  study::FittingAsk ask{.entry = &entry, .piece = study::usual_piece(entry)};
  std::vector<study::FittingVariable> out;
  for (const auto& v : study::fitting_sheet(Catalogue::built_in(), ask).variables) {
    const bool from_section = v.name == "diameter" || v.name == "aspect_ratio" ||
                              v.name == "small_over_large" ||
                              (v.name == "area_ratio" && entry.kind == fitting::Kind::transition);
    if (!from_section) {
      out.push_back(v);
    }
  }
  return out;
}

// By number: the catalogue cannot be read before `main`.
constexpr std::size_t kFittings = 45;

class EveryFitting : public testing::TestWithParam<std::size_t> {
 protected:
  const Entry& entry() const { return *Catalogue::built_in().entries()[GetParam()]; }
  std::string key() const { return entry().key(); }
};

TEST_P(EveryFitting, Shows) {
  const auto shown = test::run({"fittings", "show", key()});
  EXPECT_EQ(shown.exit, 0) << shown.err;
  EXPECT_NE(shown.out.find(entry().title), std::string::npos);
  for (const fitting::DataSet& set : entry().data) {
    EXPECT_NE(shown.out.find(set.key), std::string::npos) << set.key;
  }
  std::size_t at = 0;
  while (at < shown.out.size()) {
    const std::size_t end = shown.out.find('\n', at);
    EXPECT_LE(base::character_count(shown.out.substr(at, end - at)), 80U)
        << shown.out.substr(at, end - at);
    at = end + 1;
  }
  EXPECT_EQ(shown.out.find("nan"), std::string::npos) << shown.out;
}

TEST_P(EveryFitting, PlotsAWellFormedPicture) {
  const auto plot = test::run({"fittings", "plot", key()});
  EXPECT_EQ(plot.exit, 0) << plot.err;
  EXPECT_EQ(test::xml_fault(plot.out), "");
}

TEST_P(EveryFitting, EvaluatesAtTheCornersOfItsRange) {
  const auto variables = stated_variables(entry());
  ASSERT_LE(variables.size(), 6U);
  for (unsigned corner = 0; corner < (1U << variables.size()); ++corner) {
    std::vector<std::string> words{"fittings", "evaluate", key(), "--json"};
    bool both = false;  // a length and the angle that follows from it
    for (std::size_t i = 0; i < variables.size(); ++i) {
      const auto& v = variables[i];
      both = both || v.name == "length";
      if (v.name != "length") {
        words.push_back(v.name + "=" + value_text(v, (corner >> i) & 1U ? v.highest : v.lowest));
      }
    }
    const auto outcome = test::run(words);
    ASSERT_EQ(outcome.exit, 0) << testing::PrintToString(words) << outcome.err;
    const auto json = document(outcome);
    ASSERT_EQ(json["format"], "ductledger.fittings/1");
    if (json["values"].empty()) {
      EXPECT_FALSE(json["quantities"].empty());
    } else {
      EXPECT_TRUE(json["values"][0]["coefficient"].is_number());
      EXPECT_GE(json["values"][0]["coefficient"].get<double>(), 0.0);
    }
    if (variables.size() == 1 && both) {
      break;
    }
  }
}

TEST_P(EveryFitting, SaysThatItIsOutsideAndGivesNoFigure) {
  for (const auto& v : stated_variables(entry())) {
    if (v.name == "length" || v.name == "face") {
      continue;  // nothing is read along them; `possible` bounds them
    }
    const bool only_a_bound =
        std::none_of(entry().data.begin(),
                     entry().data.end(),
                     [&](const auto& set) {
                       return Catalogue::built_in().covered(entry(), set, v.name).has_value();
                     }) &&
        entry().kind != fitting::Kind::junction && entry().kind != fitting::Kind::flex;
    if (only_a_bound) {
      continue;
    }
    const double beyond = v.highest + 0.5 * (v.highest - v.lowest) + 0.01;
    const auto outcome =
        test::run({"fittings", "evaluate", key(), v.name + "=" + value_text(v, beyond)});
    EXPECT_EQ(outcome.exit, 2) << v.name << outcome.out;
    EXPECT_EQ(outcome.out, "") << v.name;
    EXPECT_NE(outcome.err.find(v.name), std::string::npos) << outcome.err;
  }
}

std::vector<std::string> keys() {
  std::vector<std::string> out;
  for (const Entry* entry : Catalogue::built_in().entries()) {
    out.push_back(entry->key());
  }
  return out;
}

INSTANTIATE_TEST_SUITE_P(
    Catalogue, EveryFitting, testing::Range<std::size_t>(0, kFittings), [](const auto& test) {
      std::string name = Catalogue::built_in().entries()[test.param]->key();
      std::replace_if(
          name.begin(), name.end(), [](char c) { return c == '/' || c == '-'; }, '_');
      return name;
    });

TEST(Fittings, TheTestsAboveCoverAllOfThem) { EXPECT_EQ(keys().size(), kFittings); }

TEST(Fittings, ListHoldsEveryEntry) {
  const auto json = document(test::run({"fittings", "list", "--json"}));
  ASSERT_EQ(json["fittings"].size(), keys().size());
  const auto text = test::run({"fittings", "list"});
  EXPECT_EQ(text.exit, 0);
  for (const Entry* entry : Catalogue::built_in().entries()) {
    EXPECT_NE(text.out.find(entry->type), std::string::npos) << entry->type;
  }
}

TEST(Fittings, ListFindsWordsOfTitlesAndSources) {
  EXPECT_NE(test::run({"fittings", "list", "rain"}).out.find("conical-rain-cap"),
            std::string::npos);
  const auto by_source = test::run({"fittings", "list", "Idelchik", "mitered"});
  EXPECT_NE(by_source.out.find("mitered"), std::string::npos);
  EXPECT_EQ(by_source.out.find("louver"), std::string::npos);
  const auto caps = test::run({"fittings", "list", "--kind", "cap"});
  EXPECT_EQ(caps.out.find("elbow"), std::string::npos);
  EXPECT_EQ(test::run({"fittings", "list", "no-such-word"}).exit, 2);
}

TEST(Fittings, AnUnknownNameSuggestsTheNearest) {
  const auto type = test::run({"fittings", "show", "elbow/smoth-radius"});
  EXPECT_EQ(type.exit, 2);
  EXPECT_NE(type.err.find("did you mean `elbow/smooth-radius`?"), std::string::npos) << type.err;
  const auto kind = test::run({"fittings", "list", "--kind", "elbo"});
  EXPECT_EQ(kind.exit, 2);
  EXPECT_NE(kind.err.find("did you mean `elbow`?"), std::string::npos) << kind.err;
  const auto command = test::run({"fittings", "shwo", "elbow/mitered"});
  EXPECT_EQ(command.exit, 2);
  EXPECT_NE(command.err.find("did you mean `show`?"), std::string::npos) << command.err;
  const auto parameter =
      test::run({"fittings", "evaluate", "elbow/smooth-radius", "radius_rato=1"});
  EXPECT_EQ(parameter.exit, 2);
  EXPECT_NE(parameter.err.find("did you mean `radius_ratio`?"), std::string::npos) << parameter.err;
}

TEST(Fittings, AFaultWithJsonIsOneDocument) {
  const auto outcome = test::run({"fittings", "show", "cap/nothing", "--json"});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_EQ(document(outcome)["format"], "ductledger.error/1");
}

// smacna4, Table A-7: r/D 1.0 at 90 degrees 0.22; the size factor is 0.11/0.15 at 200 mm.
TEST(Fittings, EvaluateGivesThePrintedNode) {
  const auto json = document(test::run({"fittings",
                                        "evaluate",
                                        "elbow/smooth-radius",
                                        "radius_ratio=1",
                                        "angle=90deg",
                                        "--section",
                                        "8 in round",
                                        "--airflow",
                                        "400cfm",
                                        "--json"}));
  // idelchik 6-1: 0.21 at r/D 1, times 11.5/Re^0.19.
  const double reynolds = json["values"][0]["reynolds"].get<double>();
  EXPECT_NEAR(reynolds, 7.8e4, 0.1e4);
  EXPECT_NEAR(
      json["values"][0]["coefficient"].get<double>(), 0.21 * 11.5 / std::pow(reynolds, 0.19), 1e-9);
  EXPECT_GT(json["equivalent_length_m"].get<double>(), 0.0);
}

TEST(Fittings, TheEquivalentLengthHasTheSameLoss) {
  const auto json = document(test::run({"fittings",
                                        "evaluate",
                                        "damper/backdraft-flap",
                                        "--section",
                                        "6 in round",
                                        "--airflow",
                                        "200 cfm",
                                        "--json"}));
  const double length_m = json["equivalent_length_m"].get<double>();
  const test::Folder folder;
  const std::string layout = folder.write(
      "a.yaml",
      "layout: 1\n"
      "site: {air: {density: 1.20138 kg/m3}}\n"
      "appliance: {collar: 6 in round}\n"
      // Near 200 cfm, where the length was made; it depends on the airflow.
      "fan: {speeds: [{name: high, curve: {airflow: 0 199 201 cfm, pressure: 1 0.9 0 inH2O}}]}\n"
      "run:\n  section: 6 in round\n  material: galvanized-steel\n  pieces:\n    - straight: " +
          std::to_string(length_m) + " m\n    - damper: backdraft-flap\n");
  const auto check = document(test::run({"check", layout, "--json", "--fail-on", "never"}));
  double straight_pa = 0.0;
  double damper_pa = 1.0;
  for (const auto& row : check["speeds"][0]["ledger"]) {
    straight_pa = row["piece"] == "straight" ? row["loss_pa"].get<double>() : straight_pa;
    damper_pa = row["piece"] == "damper" ? row["loss_pa"].get<double>() : damper_pa;
  }
  EXPECT_NEAR(straight_pa / damper_pa, 1.0, 5e-3);
}

}  // namespace
}  // namespace ductledger
