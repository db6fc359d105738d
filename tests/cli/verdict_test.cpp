#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/harness.hpp"

// The worst that was found stands above the answer, in every view.
namespace ductledger::test {
namespace {

using Json = nlohmann::json;

// Invented. A tight house with a wood fireplace: the hood delivers what is required and draws the
// house down too far.
std::string kitchen_requiring(const std::string& required, const std::string& house) {
  return "layout: 1\n"
         "appliance: {kind: range-hood, collar: 8 in round, required_airflow: " +
         required +
         "}\n"
         "fan: {speeds: [{name: high, curve: {airflow: 0 200 350 470 550 600 cfm, pressure: 1.05 "
         "0.94 0.74 0.46 0.2 0 inH2O}}]}\n" +
         house +
         "run:\n  section: 8 in round\n  material: galvanized-steel\n  pieces:\n"
         "    - straight: 6 ft\n    - cap: conical-rain-cap\n";
}
const std::string kTight =
    "house:\n"
    "  floor_area: 1500 ft2\n"
    "  leakage: {airflow: 500 cfm, at: 50 Pa, exponent: 0.65}\n"
    "  combustion: [{kind: wood-fireplace, inside_air_barrier: yes}]\n";

/// Where the first of two texts stands before the second.
bool before(const std::string& text, const std::string& first, const std::string& second) {
  const std::size_t a = text.find(first);
  const std::size_t b = text.find(second);
  return a != std::string::npos && b != std::string::npos && a < b;
}

TEST(Verdict, StandsAboveTheAnswerInEveryView) {
  const Folder folder;
  const std::string path = folder.write("a.yaml", kitchen_requiring("200 cfm", kTight));
  const std::string other = folder.write("b.yaml", kitchen_requiring("200 cfm", ""));
  const std::string check = run({"check", path}).out;
  EXPECT_TRUE(before(check, "FAIL  high", "High speed delivers")) << check;
  EXPECT_TRUE(before(check, "wood-fireplace", "High speed delivers")) << check;
  const std::string sheet = run({"commission", path}).out;
  EXPECT_TRUE(before(sheet, "FAIL  high", "Readings")) << sheet;
  const std::string compare = run({"compare", path, other}).out;
  EXPECT_TRUE(before(compare, "FAIL high", "needs at")) << compare;
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"parts", path},
        std::vector<std::string>{"review", path},
        std::vector<std::string>{"review", "--sheet", path},
        std::vector<std::string>{"sweep", path, "--vary", "site.wind=0mph..9mph:3"},
        std::vector<std::string>{"measured", "--airflow", "300cfm", path}}) {
    const std::string view = run(words).out;
    EXPECT_TRUE(before(view, "FAIL  high", ".\n")) << words[0] << ' ' << words[1] << '\n' << view;
  }
  const Json bill = Json::parse(run({"parts", path, "--json"}).out);
  EXPECT_EQ(bill["verdict"]["finding"]["code"], "house-depressurised");
  const std::string page = run({"report", path}).out;
  EXPECT_TRUE(before(page, "<strong>FAIL</strong> high", "<p class=\"answer\">"));
  const Json json = Json::parse(run({"check", path, "--json"}).out);
  EXPECT_EQ(json["verdict"]["standing"], "fail");
  EXPECT_EQ(json["verdict"]["finding"]["code"], "house-depressurised");
}

TEST(Verdict, NamesTheRequiredAirflowByItsOwnWord) {
  const Folder folder;
  const Json missed = Json::parse(
      run({"check", folder.write("a.yaml", kitchen_requiring("900 cfm", "")), "--json"}).out);
  EXPECT_EQ(missed["verdict"]["standing"], "not-met");
  const double delivered =
      missed["speeds"][0]["operating_point"]["airflow_m3_s"].get<double>() * 3600.0;
  const std::string just_under = std::to_string(delivered * 0.98) + " m3/h";
  const std::string open = folder.write("b.yaml", kitchen_requiring(just_under, ""));
  EXPECT_EQ(Json::parse(run({"check", open, "--json"}).out)["verdict"]["standing"], "not-shown");
  EXPECT_NE(run({"check", open}).out.find("NOT SHOWN  high"), std::string::npos);
}

TEST(Verdict, ReviewAndReportEndAlike) {
  const Folder folder;
  const std::string missed = folder.write("a.yaml", kitchen_requiring("900 cfm", ""));
  const std::string fine = folder.write("b.yaml", kitchen_requiring("200 cfm", ""));
  for (const std::string& path : {missed, fine}) {
    for (const char* level : {"fail", "warn", "note", "never"}) {
      EXPECT_EQ(run({"review", path, "--fail-on", level}).exit,
                run({"report", path, "--review", "--fail-on", level}).exit)
          << path << level;
    }
  }
  const Outcome outcome = run({"review", missed});
  EXPECT_EQ(outcome.exit, 1);
  EXPECT_TRUE(before(outcome.out, "NOT MET  high", " not shown, ")) << outcome.out;
}

TEST(Verdict, ThePageWithoutAnAnswerShowsItsFindings) {
  const Folder folder;
  const std::string dryer =
      folder.write("a.yaml",
                   "layout: 1\nappliance: {kind: clothes-dryer, collar: 4 in round}\n"
                   "run:\n  section: 4 in round\n  material: galvanized-steel\n  pieces:\n"
                   "    - straight: 60 ft\n    - cap: wall-hood-flap\n");
  const std::string page = run({"report", dryer}).out;
  EXPECT_TRUE(before(page, "<p class=\"verdict warn\">", "<p class=\"answer\">"));
  EXPECT_NE(page.find("<p>Findings: "), std::string::npos);
}

}  // namespace
}  // namespace ductledger::test
