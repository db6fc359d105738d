#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/harness.hpp"

// Layouts with branches, from the file to the answer.
namespace ductledger::test {
namespace {

using Json = nlohmann::json;

constexpr const char* kTwoBathrooms = "examples/branches/two-bathrooms-and-utility-room.yaml";

/// A trunk with its fan on the roof, one passive branch; `more` of the branch.
std::string layout_with(const std::string& trunk_fan, const std::string& branch) {
  return "layout: 1\n"
         "site: {air: {density: 1.20138 kg/m3}}\n"
         "appliance: {kind: exhaust}\n" +
         trunk_fan +
         "run:\n"
         "  section: 5 in round\n"
         "  pieces:\n"
         "    - entry: plain\n"
         "    - straight: 10 ft\n"
         "    - junction: {type: wye-45, branch: bath, section: 6 in round}\n"
         "    - straight: 6 ft\n"
         "    - fan\n"
         "    - cap: roof-hood-flap\n"
         "branches:\n"
         "  bath:\n"
         "    section: 4 in round\n" +
         branch;
}
const std::string kFan =
    "fan:\n"
    "  speeds: [{name: high, curve: {airflow: 0 100 200 300 cfm, pressure: 0.8 0.7 0.45 0 "
    "inH2O}}]\n";

Json checked(const std::string& text, int exit = 0) {
  const Folder folder;
  const Outcome outcome =
      run({"check", "--json", "--fail-on", "never", folder.write("net.yaml", text)});
  EXPECT_EQ(outcome.exit, exit) << outcome.err;
  return Json::parse(outcome.out);
}

TEST(Branches, mass_is_kept_and_the_ledger_of_each_path_ends_outdoors) {
  const Outcome outcome = run({"check", "--json", "--fail-on", "never", kTwoBathrooms});
  ASSERT_EQ(outcome.exit, 0) << outcome.err;
  const Json document = Json::parse(outcome.out);
  for (const Json& speed : document["speeds"]) {
    double sum = speed["collar"]["airflow_m3_s"];
    EXPECT_EQ(speed["operating_point"]["airflow_m3_s"], speed["collar"]["airflow_m3_s"]);
    ASSERT_EQ(speed["branches"].size(), 2U);
    std::vector<Json> inlets{speed["collar"]};
    for (const Json& branch : speed["branches"]) {
      EXPECT_EQ(branch["status"], "flowing");
      sum += branch["airflow_m3_s"].get<double>();
      inlets.push_back(branch);
    }
    const double all = speed["discharge_airflow_m3_s"];
    EXPECT_NEAR(sum, all, 1e-10 * all);
    for (const Json& inlet : inlets) {
      double total_pa = 0.0;
      for (const Json& row : inlet["path"]) {
        total_pa -= row["loss_pa"].get<double>();
        EXPECT_NEAR(row["total_pressure_after_pa"].get<double>(), total_pa, 1e-6)
            << row["piece"] << ' ' << row["number"];
      }
      EXPECT_NEAR(total_pa, 0.0, 1e-6);
      EXPECT_LT(inlet["airflow_band_m3_s"][0].get<double>(), inlet["airflow_m3_s"].get<double>());
      EXPECT_GT(inlet["airflow_band_m3_s"][1].get<double>(), inlet["airflow_m3_s"].get<double>());
    }
  }
}

TEST(Branches, the_balance_names_dampers_that_bring_each_inlet_to_its_airflow) {
  const std::string text = layout_with(kFan,
                                       "    required_airflow: 60 cfm\n"
                                       "    pieces: [{entry: plain}, {straight: 8 ft}]\n");
  std::string required = text;
  required.replace(
      required.find("{kind: exhaust}"), 15, "{kind: exhaust, required_airflow: 90 cfm}");
  const Json speed = checked(required)["speeds"][0];
  const std::vector<Json> inlets{speed["collar"], speed["branches"][0]};
  double least = 1e9;
  int controlling = 0;
  for (const Json& inlet : inlets) {
    least = std::min(least, inlet["surplus_pa"].get<double>());
    controlling += inlet["controlling"].get<bool>() ? 1 : 0;
  }
  EXPECT_EQ(controlling, 1);
  for (const Json& inlet : inlets) {
    EXPECT_NEAR(inlet["damper_pa"].get<double>(), inlet["surplus_pa"].get<double>() - least, 1e-9);
  }
  // With the dampers, and the rest of the surplus taken after the junction, each has what it asks.
  const auto loss = [](double pa, const char* at) {
    return "{loss: {pressure: " + std::to_string(pa) + " Pa, at: " + at + "}}";
  };
  const double collar_pa = inlets[0]["damper_pa"];
  const double bath_pa = inlets[1]["damper_pa"];
  std::string damped = required;
  if (collar_pa > 0.0) {
    damped.replace(damped.find("    - straight: 10 ft\n"),
                   22,
                   "    - straight: 10 ft\n    - " + loss(collar_pa, "90 cfm") + "\n");
  }
  if (bath_pa > 0.0) {
    damped.replace(
        damped.find("{straight: 8 ft}"), 16, "{straight: 8 ft}, " + loss(bath_pa, "60 cfm"));
  }
  damped.replace(damped.find("    - straight: 6 ft\n"),
                 21,
                 "    - straight: 6 ft\n    - " + loss(least, "150 cfm") + "\n");
  const Json balanced = checked(damped)["speeds"][0];
  const double cfm = 0.028316846592 / 60.0;
  EXPECT_NEAR(balanced["collar"]["airflow_m3_s"].get<double>(), 90.0 * cfm, 1e-5 * 90.0 * cfm);
  EXPECT_NEAR(balanced["branches"][0]["airflow_m3_s"].get<double>(), 60.0 * cfm, 1e-5 * 60.0 * cfm);
}

TEST(Branches, a_trunk_fan_pushes_air_out_of_a_passive_branch_and_a_flap_shuts_it) {
  std::string text = layout_with(kFan, "    pieces: [{entry: plain}, {straight: 8 ft}]\n");
  text.erase(text.find("    - fan\n"), 10);  // the fan at the collar
  const Json open = checked(text);
  EXPECT_EQ(open["speeds"][0]["branches"][0]["status"], "reversed");
  EXPECT_LT(open["speeds"][0]["branches"][0]["airflow_m3_s"].get<double>(), 0.0);
  EXPECT_EQ(open["findings"][0]["code"], "branch-reversed");
  EXPECT_EQ(open["findings"][0]["level"], "fail");
  text.replace(text.find("{straight: 8 ft}"), 16, "{damper: backdraft-flap}, {straight: 8 ft}");
  const Json shut = checked(text);
  EXPECT_EQ(shut["speeds"][0]["branches"][0]["status"], "shut");
  EXPECT_EQ(shut["speeds"][0]["branches"][0]["airflow_m3_s"], 0.0);
  EXPECT_EQ(shut["speeds"][0]["discharge_airflow_m3_s"],
            shut["speeds"][0]["collar"]["airflow_m3_s"]);
}

TEST(Branches, a_shut_branch_of_no_straight_loss_leaves_the_single_run) {
  std::string text =
      layout_with(kFan, "    pieces: [{damper: backdraft-flap}, {straight: 8 ft}]\n");
  text.erase(text.find("    - fan\n"), 10);
  std::string single = text.substr(0, text.find("branches:"));
  const std::string junction =
      "    - junction: {type: wye-45, branch: bath, section: 6 in round}\n";
  text.replace(text.find(junction),
               junction.size(),
               "    - junction: {branch: bath, straight_coefficient: 0, branch_coefficient: 0}\n");
  single.erase(single.find(junction), junction.size());
  const Json net = checked(text)["speeds"][0];
  const Json run = checked(single)["speeds"][0];
  ASSERT_EQ(net["branches"][0]["status"], "shut");
  const double expected = run["operating_point"]["airflow_m3_s"];
  EXPECT_NEAR(net["operating_point"]["airflow_m3_s"].get<double>(), expected, 1e-9 * expected);
  EXPECT_NEAR(net["operating_point"]["collar_static_pressure_pa"].get<double>(),
              run["operating_point"]["collar_static_pressure_pa"].get<double>(),
              1e-6);
}

TEST(Branches, a_fan_of_a_branch_alone_blows_back_out_of_the_open_collar) {
  std::string text = layout_with("",
                                 "    fan:\n"
                                 "      speeds:\n"
                                 "        - {name: a, curve: {airflow: 0 60 120 cfm, pressure: "
                                 "0.4 0.3 0 inH2O}}\n"
                                 "        - {name: b, speed_ratio: 0.5}\n"
                                 "    speed: b\n"
                                 "    pieces: [{straight: 8 ft}]\n");
  text.erase(text.find("    - fan\n"), 10);
  const Json slow = checked(text)["speeds"][0];
  EXPECT_EQ(slow["operating_point"]["status"], "found");
  EXPECT_EQ(slow["collar"]["status"], "reversed");
  EXPECT_EQ(slow["branches"][0]["status"], "flowing");
  text.erase(text.find("    speed: b\n"), 13);
  const Json fast = checked(text)["speeds"][0];
  EXPECT_GT(fast["branches"][0]["airflow_m3_s"].get<double>(),
            1.5 * slow["branches"][0]["airflow_m3_s"].get<double>());
}

TEST(Branches, a_fan_behind_every_junction_leaves_no_leg_unanswered) {
  const Folder folder;
  const std::string text = layout_with(
      kFan, "    pieces: [{entry: plain}, {straight: 8 ft}, {elbow: {angle: 90 deg}}]\n");
  const Outcome outcome =
      run({"check", "--verbose", "--fail-on", "never", folder.write("net.yaml", text)});
  EXPECT_EQ(outcome.exit, 0) << outcome.err;
  EXPECT_EQ(checked(text)["speeds"][0]["network"]["status"], "solved");
}

TEST(Branches, a_hood_whose_duct_others_join_has_no_duct_of_its_own_whatever_it_says) {
  const Folder folder;
  std::string text = layout_with(kFan, "    pieces: [{straight: 8 ft}]\n");
  text.replace(text.find("kind: exhaust"), 13, "kind: range-hood");
  text.replace(text.find("run:\n"), 5, "run:\n  independent: yes\n");
  const Json document = Json::parse(run({"review", "--json", folder.write("net.yaml", text)}).out);
  std::string verdict;
  for (const Json& rule : document["judgements"]) {
    if (rule["rule"]["id"] == "independent-exhaust") {
      verdict = rule["verdict"];
    }
  }
  EXPECT_EQ(verdict, "not-met");
}

TEST(Branches, readings_name_their_inlet_and_the_sheet_tells_each) {
  const Json sheet = Json::parse(run({"commission", "--json", kTwoBathrooms}).out);
  ASSERT_EQ(sheet["network"].size(), 2U);
  ASSERT_EQ(sheet["network"][0]["inlets"].size(), 3U);
  const Json& bath = sheet["network"][0]["inlets"][1];
  EXPECT_EQ(bath["name"], "second-bathroom");
  const double airflow = bath["airflow_m3_s"];
  const std::string text = fmt::format("{} m3/s", 0.4 * airflow);
  const Json read = Json::parse(run({"measured",
                                     "--json",
                                     "--branch",
                                     "second-bathroom",
                                     "--airflow",
                                     text,
                                     "--airflow-accuracy",
                                     "2%",
                                     kTwoBathrooms})
                                    .out);
  const Json& reading = read["readings"][0];
  EXPECT_EQ(reading["inlet"], "second-bathroom");
  EXPECT_EQ(reading["calculated_airflow_m3_s"], airflow);
  EXPECT_EQ(reading["verdict"], "more-resistance");
  EXPECT_EQ(reading["requirement"], "not met");
  const Outcome slip =
      run({"measured", "--branch", "second-bathrom", "--airflow", "9cfm", kTwoBathrooms});
  EXPECT_EQ(slip.exit, 2);
  EXPECT_NE(slip.err.find("did you mean `second-bathroom`"), std::string::npos) << slip.err;
}

TEST(Branches, parts_report_size_and_compare_take_them) {
  const Json parts = Json::parse(run({"parts", "--json", kTwoBathrooms}).out);
  EXPECT_EQ(parts["branches"].size(), 2U);
  EXPECT_GT(parts["in_all"]["part_count"], parts["part_count"]);
  const Outcome page = run({"report", "--fail-on", "never", "-o", "-", kTwoBathrooms});
  EXPECT_EQ(page.exit, 0) << page.err;
  EXPECT_NE(page.out.find("to the outside"), std::string::npos);
  EXPECT_NE(run({"report", "--svg", "route", "--fail-on", "never", kTwoBathrooms}).out.find("<svg"),
            std::string::npos);
  const Outcome curves = run({"report", "--svg", "curves", kTwoBathrooms});
  EXPECT_EQ(curves.exit, 2);
  EXPECT_NE(curves.err.find("nothing-to-draw"), std::string::npos);
  const Json size = Json::parse(run({"size", "--json", kTwoBathrooms}).out);
  EXPECT_EQ(size["found"], true);
  EXPECT_EQ(size["legs"].size(), 5U);
  const Json both = Json::parse(
      run({"compare", "--json", kTwoBathrooms, "examples/attic-bath-fan-on-flex.yaml"}).out);
  EXPECT_EQ(both["runs"].size(), 2U);
  EXPECT_EQ(both["runs"][0]["speeds"][0]["inlets"].size(), 3U);
}

// A makeup opening and a burner that draws by itself: all that leaves the house pulls it down.
TEST(Branches, what_leaves_the_house_is_judged_by_the_limit_of_what_burns_inside) {
  const std::string text =
      layout_with(kFan, "    pieces: [{entry: plain}, {straight: 8 ft}]\n") +
      "house:\n  leakage: {airflow: 900 cfm, at: 50 Pa, exponent: 0.65}\n"
      "  combustion: [{kind: natural-draft-water-heater, inside_air_barrier: true}]\n";
  const Json document = checked(text);
  const Json& house = document["speeds"][0]["house"];
  const double drawn = document["speeds"][0]["discharge_airflow_m3_s"];
  EXPECT_EQ(house["verdict"], "not-met");
  EXPECT_EQ(document["findings"][0]["code"], "house-depressurised");
  EXPECT_GT(house["judged_airflow_m3_s"].get<double>(), drawn);
  // One density: the leaks bring what is drawn, by the power law.
  const double cfm = 0.028316846592 / 60.0;
  EXPECT_NEAR(house["depressurisation_pa"].get<double>(),
              50.0 * std::pow(drawn / (900.0 * cfm), 1.0 / 0.65),
              1e-6);
}

}  // namespace
}  // namespace ductledger::test
