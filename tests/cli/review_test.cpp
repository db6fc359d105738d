#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "cli/harness.hpp"

// What an inspector gets from `review`: figures that stand in place of the catalogue's, a letter,
// what became of an earlier file, and who says what.
namespace ductledger::test {
namespace {

using Json = nlohmann::json;

// Invented.
struct Parts {
  std::string appliance = "";
  std::string run = "";
  std::string pieces =
      "    - straight: {length: 6 ft, through: conditioned}\n    - cap: wall-hood-flap\n";
  std::string rest = "";
};
std::string kitchen_of(const Parts& parts) {
  return "layout: 1\n"
         "appliance: {kind: range-hood, collar: 8 in round" +
         parts.appliance + "}\n" +
         "fan: {speeds: [{name: high, curve: {airflow: 0 200 350 470 550 600 cfm, pressure: 1.05 "
         "0.94 0.74 0.46 0.2 0 inH2O}}]}\n"
         "run:\n  section: 8 in round\n  material: galvanized-steel\n" +
         parts.run + "  pieces:\n" + parts.pieces + parts.rest;
}

/// One blank for every run of them: lines are broken where they are full.
std::string flat(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\n';
    if (!blank || out.empty() || out.back() != ' ') {
      out += blank ? ' ' : c;
    }
  }
  return out;
}

std::vector<std::string> kinds(const Json& review) {
  std::vector<std::string> all;
  for (const Json& one : review["overrides"]) {
    all.push_back(one["kind"]);
  }
  return all;
}

TEST(Review, ListsFiguresThatStandInPlaceOfTheCatalogue) {
  const Folder folder;
  const std::string path = folder.write(
      "a.yaml",
      kitchen_of(
          {.pieces = "    - straight: 6 ft\n"
                     "    - elbow: {type: smooth-radius, angle: 90 deg, coefficient: 0.01}\n"
                     "    - elbow: {type: smooth-radius, angle: 90 deg, coefficient: 0.25 +- 0 %}\n"
                     "    - loss: {coefficient: 0.35, note: coil in the way}\n"
                     "    - cap: {type: wall-hood-flap, coefficient: 0.4}\n",
           .rest = "uncertainty: {diameter: 0 mm}\n"}));
  const Json review = Json::parse(run({"review", path, "--json"}).out);
  EXPECT_EQ(kinds(review),
            (std::vector<std::string>{
                "coefficient", "no-uncertainty", "loss", "cap-below-exit", "no-uncertainty"}))
      << review["overrides"].dump(1);
  const Json& elbow = review["overrides"][0];
  EXPECT_EQ(elbow["number"], 2);
  EXPECT_EQ(elbow["stated"], 0.01);
  EXPECT_GT(elbow["catalogue"].get<double>(), 0.1);
  EXPECT_EQ(review["overrides"][3]["level"], "warn");
  const std::string text = flat(run({"review", path}).out);
  EXPECT_TRUE(holds(text, "Stated in place of the catalogue")) << text;
  EXPECT_TRUE(holds(text, "coil in the way"));
  EXPECT_TRUE(holds(run({"report", "--review", path}).out, "Stated in place of the catalogue"));
}

TEST(Review, AFigureNearTheCatalogueIsNotListed) {
  const Folder folder;
  const std::string path = folder.write(
      "a.yaml",
      kitchen_of({.pieces = "    - straight: 6 ft\n"
                            "    - elbow: {type: smooth-radius, angle: 90 deg, coefficient: 0.25}\n"
                            "    - cap: wall-hood-flap\n"}));
  EXPECT_EQ(kinds(Json::parse(run({"review", path, "--json"}).out)), std::vector<std::string>{});
}

TEST(Review, APointOffTheCurveIsNoFaultOfTheRun) {
  const Folder folder;
  const std::string off = folder.write(
      "a.yaml",
      kitchen_of(
          {.rest = "submitted: [{speed: high, airflow: 350 cfm, static_pressure: 0.3 inH2O}]\n"}));
  const Json review = Json::parse(run({"review", off, "--json"}).out);
  EXPECT_TRUE(review["arithmetic"][0]["off_curve"].is_string()) << review["arithmetic"].dump(1);
  EXPECT_TRUE(holds(flat(run({"review", off}).out), "is no point of the fan's curve"));
  const std::string on = folder.write(
      "b.yaml",
      kitchen_of(
          {.rest = "submitted: [{speed: high, airflow: 350 cfm, static_pressure: 0.74 inH2O}]\n"}));
  const Json other = Json::parse(run({"review", on, "--json"}).out);
  EXPECT_TRUE(other["arithmetic"][0]["off_curve"].is_null()) << other["arithmetic"].dump(1);
  // Beyond the band it counts in the summary line and as a warning.
  EXPECT_TRUE(holds(flat(run({"review", on}).out), "handed in differ")) << run({"review", on}).out;
  EXPECT_EQ(run({"review", on, "--fail-on", "warn"}).exit, 1);
}

TEST(Review, TellsStatedFromSeenOnSite) {
  const Folder folder;
  const std::string facts =
      "  independent: yes\n  termination: {to_opening: 4 ft, to_property_line: 5 ft}\n";
  const std::string path = folder.write(
      "a.yaml",
      kitchen_of(
          {.run = facts,
           .rest = "seen_on_site: [{date: 2026-03-14, keys: [run.termination.to_opening]}]\n"}));
  const std::string text = flat(run({"review", path}).out);
  EXPECT_TRUE(holds(text, "opening: 4 ft (seen on site, 2026-03-14)")) << text;
  EXPECT_TRUE(holds(text, "property line: 5 ft (stated)")) << text;
  EXPECT_TRUE(holds(flat(run({"review", "--sheet", path}).out), "(seen on site, 2026-03-14)"));
  EXPECT_TRUE(holds(run({"report", "--review", path}).out, "(seen on site, 2026-03-14)"));
  bool found = false;
  const Json document = Json::parse(run({"review", path, "--json"}).out);
  for (const Json& judgement : document["judgements"]) {
    for (const Json& test : judgement["tests"]) {
      if (test["fact"] == "run.termination.to_opening") {
        found = true;
        EXPECT_EQ(test["basis"], "seen-on-site");
        EXPECT_EQ(test["seen_on_site"], "2026-03-14");
      }
    }
  }
  EXPECT_TRUE(found);
  const Outcome wrong = run(Call{
      {"review", "-"},
      kitchen_of(
          {.rest = "seen_on_site: [{date: 2026-03-14, keys: [run.termination.to_opening]}]\n"})});
  EXPECT_EQ(wrong.exit, 2);
  EXPECT_TRUE(holds(wrong.err, "the layout states no `run.termination.to_opening`")) << wrong.err;
}

TEST(Review, TheLetterListsWhatIsOpenAndNothingThatIsMet) {
  const Folder folder;
  const std::string path = folder.write(
      "a.yaml", kitchen_of({.run = "  independent: yes\n  termination: {to_opening: 1 ft}\n"}));
  const Json review = Json::parse(run({"review", path, "--json"}).out);
  const std::string letter = run({"review", "--letter", path}).out;
  for (const char* field : {"Permit:", "Address:", "Date:", "Signature:"}) {
    EXPECT_TRUE(holds(letter, field)) << field;
  }
  EXPECT_TRUE(holds(letter, review["layout"]["sha256"].get<std::string>()));
  std::size_t open = 0;
  for (const Json& one : review["judgements"]) {
    const bool listed = one["verdict"] == "not-met" || one["verdict"] == "not-shown";
    open += listed ? 1U : 0U;
    const std::string title = one["rule"]["title"].get<std::string>() + ":";
    if (one["verdict"] == "met") {
      EXPECT_FALSE(holds(letter, title)) << title;
    }
  }
  EXPECT_TRUE(holds(letter, "\n  " + std::to_string(open) + ".")) << letter;
  EXPECT_LT(letter.find("the outlet and windows or doors: not met"),
            letter.find("duct length by table"));
  const std::string page = run({"review", "--letter", "--format", "html", path}).out;
  EXPECT_TRUE(holds(page, "<dt>Signature</dt>"));
  EXPECT_TRUE(holds(page, "the outlet and windows or doors: not met"));
  EXPECT_EQ(run({"review", "--letter", "--json", path}).exit, 2);
  EXPECT_EQ(run({"review", "--letter", "--sheet", path}).exit, 2);
}

TEST(Review, SaysWhatBecameOfAnEarlierFile) {
  const Folder folder;
  const std::string before = folder.write(
      "a.yaml", kitchen_of({.run = "  termination: {to_opening: 1 ft, to_property_line: 9 ft}\n"}));
  const std::string now = folder.write(
      "b.yaml", kitchen_of({.run = "  termination: {to_opening: 5 ft, to_property_line: 1 ft}\n"}));
  const Json against =
      Json::parse(run({"review", now, "--against", before, "--json"}).out)["against"];
  ASSERT_EQ(against["cleared"].size(), 1U) << against.dump(1);
  EXPECT_EQ(against["cleared"][0]["rule"], "exhaust-opening-windows-doors");
  ASSERT_EQ(against["new"].size(), 1U);
  EXPECT_EQ(against["new"][0]["rule"], "exhaust-opening-property-line");
  EXPECT_EQ(against["new"][0]["before"]["verdict"], "met");
  const std::string text = run({"review", now, "--against", before}).out;
  EXPECT_TRUE(holds(text, "1 new, 0 changed, 1 cleared")) << text;
  EXPECT_TRUE(holds(text, "was not met, is met"));
  EXPECT_TRUE(holds(run({"review", now, "--against", before, "--format", "html"}).out,
                    "was not met, is met"));
  EXPECT_TRUE(holds(run({"review", now, "--against", now}).out, "Both files hold the same."));
  EXPECT_EQ(run({"review", now, "--against", folder.path("none.yaml")}).exit, 2);
  EXPECT_EQ(run({"review", now, now, "--against", before}).exit, 2);
}

TEST(Review, EndsAndCountsAsTheReportDoes) {
  for (const std::string& path : examples()) {
    const auto review = nlohmann::ordered_json::parse(run({"review", path, "--json"}).out);
    const Outcome page = run({"report", "--review", path});
    for (const char* level : {"fail", "warn", "note"}) {
      EXPECT_EQ(run({"review", path, "--fail-on", level}).exit,
                run({"report", "--review", path, "--fail-on", level}).exit)
          << path << ' ' << level;
    }
    const std::string text = review["counts"].dump();
    EXPECT_TRUE(holds(page.out, "\"counts\":" + text)) << path << text;
  }
}

TEST(Review, EveryRecalledRuleSaysSoInEveryView) {
  const Folder folder;
  const std::string path = folder.write("a.yaml", kitchen_of({}));
  const std::string open = "recalled; number in this edition not verified";
  std::size_t recalled = 0;
  const Json document = Json::parse(run({"review", path, "--json"}).out);
  for (const Json& one : document["judgements"]) {
    const bool shown = one["verdict"] != "not-applicable";
    recalled += shown && one["rule"]["not_verified"] == open ? 1U : 0U;
  }
  ASSERT_GT(recalled, 5U);
  for (const std::vector<std::string>& arguments :
       {std::vector<std::string>{"report", "--review", path}}) {
    const std::string text = run(arguments).out;
    std::size_t count = 0;
    for (std::size_t at = 0; (at = text.find("(" + open + ")", at)) != std::string::npos; ++at) {
      ++count;
    }
    EXPECT_EQ(count, recalled);
  }
}

TEST(Review, ASetsSentenceFollowsItsBoundAndExplainShowsTheChain) {
  const Folder folder;
  const std::string county =
      folder.write("county.yaml",
                   "rule_set: county\nextends: irc-2021\nrules:\n"
                   "  - rule: exhaust-opening-windows-doors\n    section: ordinance 4\n"
                   "    limits: [{fact: run.termination.to_opening, min: 5 ft}]\n");
  const std::string city =
      folder.write("city.yaml",
                   "rule_set: city\nextends: county.yaml\nrules:\n"
                   "  - rule: exhaust-opening-windows-doors\n    section: by-law 7\n"
                   "    limits: [{fact: run.termination.to_opening, min: 6 ft}]\n");
  const std::string text = run({"explain", "exhaust-opening-windows-doors", "--rules", city}).out;
  EXPECT_TRUE(holds(text, "irc-2021: outlet to nearest opening: at least 3 ft")) << text;
  EXPECT_TRUE(holds(text, "county: outlet to nearest opening: at least 5 ft")) << text;
  EXPECT_TRUE(holds(text, "city changed it: outlet to nearest opening: at least 6 ft")) << text;
  EXPECT_FALSE(holds(text, "is at least 3 ft")) << text;
}

TEST(Review, AConditionMayBeThePlaceOrAnAnswer) {
  const Folder folder;
  const std::string set = folder.write(
      "high.yaml",
      "rule_set: high-country\nrules:\n"
      "  - rule: high-places\n    requirement: Above 5000 ft the duct is its own.\n"
      "    when: [{fact: elevation, above: 5000 ft}, {fact: site.climate_zone, one_of: [6b, 7]}]\n"
      "    limits: [{fact: run.independent, required: yes}]\n"
      "  - rule: slow-air\n    requirement: Air moves.\n"
      "    limits: [{fact: duct-velocity, min: 300 ft/min}, {fact: share-of-rated, min: 10 %}]\n");
  const auto verdict = [&](const std::string& site, std::size_t rule) {
    const std::string path = folder.write("a.yaml", kitchen_of({.rest = site}));
    return Json::parse(
               run({"review", path, "--rules", set, "--json"}).out)["judgements"][rule]["verdict"]
        .get<std::string>();
  };
  EXPECT_EQ(verdict("site: {elevation: 6000 ft, climate_zone: 7}\n", 0), "not-shown");
  EXPECT_EQ(verdict("site: {elevation: 1000 ft, climate_zone: 7}\n", 0), "not-applicable");
  EXPECT_EQ(verdict("site: {elevation: 6000 ft, climate_zone: 2a}\n", 0), "not-applicable");
  EXPECT_EQ(verdict("", 1), "met");
}

TEST(Review, AnAssumedFanShapeMeetsNothing) {
  const Folder folder;
  const std::string path = folder.write(
      "a.yaml",
      "layout: 1\n"
      "appliance: {kind: range-hood, collar: 8 in round, operation: intermittent, "
      "required_airflow: 50 cfm}\n"
      "fan: {free_air: 390 cfm, blower: generic}\n"
      "run: {section: 8 in round, material: galvanized-steel, pieces: [{straight: 2 ft}, "
      "{cap: wall-hood-flap}]}\n");
  EXPECT_TRUE(holds(flat(run({"check", path}).out), "since the fan's shape is assumed"))
      << run({"check", path}).out;
  const Json document = Json::parse(run({"review", path, "--json"}).out);
  for (const Json& one : document["judgements"]) {
    if (one["rule"]["id"] == "kitchen-exhaust-rate") {
      EXPECT_EQ(one["verdict"], "not-shown") << one.dump(1);
    }
  }
}

}  // namespace
}  // namespace ductledger::test
