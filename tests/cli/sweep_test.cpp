#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/harness.hpp"
#include "cli/rows.hpp"
#include "support/well_formed.hpp"

// `ductledger sweep`: every row is what `check` says of the edited file.
namespace ductledger::test {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

const std::string kKitchen = R"(layout: 1
title: Kitchen of the sweep
site: {indoor: {temperature: 70 degF}}
appliance: {kind: range-hood, collar: 8 in round, required_airflow: 400 cfm}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}}
run:
  section: 8 in round
  heading: up
  pieces:
    - straight: 4 ft
    - elbow: {type: smooth-radius, turn: back, radius_ratio: 1.5}
    - straight: LENGTH
    - cap: {type: louver, coefficient: COEFFICIENT}
house: {leakage: {airflow: 900 cfm, at: 50 Pa, exponent: 0.65}}
)";

std::string kitchen(const std::string& length, const std::string& coefficient) {
  std::string text = kKitchen;
  text.replace(text.find("LENGTH"), 6, length);
  text.replace(text.find("COEFFICIENT"), 11, coefficient);
  return text;
}

TEST(Sweep, a_grid_is_what_check_says_of_each_edited_file) {
  const Folder folder;
  const std::string file = folder.write("k.yaml", kitchen("6 ft", "1.2"));
  const std::vector<json> table = rows(run({"sweep",
                                            file,
                                            "--vary",
                                            "run.pieces[3].length=2..40ft:3",
                                            "--vary",
                                            "run.pieces[4].coefficient=0.5,2.5",
                                            "--columns",
                                            "airflow_m3_s,airflow_low_m3_s,findings",
                                            "--format",
                                            "jsonl"})
                                           .out);
  ASSERT_EQ(table.size(), 6U);
  std::size_t row = 0;
  for (const std::string length : {"2 ft", "21 ft", "40 ft"}) {
    for (const std::string coefficient : {"0.5", "2.5"}) {
      const json& got = table[row++];
      const std::string edited = folder.write("e.yaml", kitchen(length, coefficient));
      const json whole = rows(run({"batch", edited}).out).at(0);
      EXPECT_EQ(got["row"], row);
      EXPECT_EQ(got["run.pieces[4].coefficient"], std::stod(coefficient));
      EXPECT_NEAR(got["airflow_m3_s"].get<double>(), whole["airflow_m3_s"].get<double>(), 1e-12);
      EXPECT_NEAR(
          got["airflow_low_m3_s"].get<double>(), whole["airflow_low_m3_s"].get<double>(), 1e-9);
      EXPECT_EQ(got["findings"], whole["findings"]);
    }
  }
  EXPECT_DOUBLE_EQ(table[0]["run.pieces[3].length_m"].get<double>(), 2.0 * 0.3048);
  EXPECT_DOUBLE_EQ(table[5]["run.pieces[3].length_m"].get<double>(), 40.0 * 0.3048);
}

TEST(Sweep, a_sample_has_the_distribution_it_names) {
  const Folder folder;
  const std::string file = folder.write("k.yaml", kitchen("6 ft", "1.2"));
  const auto drawn = [&](const std::string& distribution) {
    std::vector<double> values;
    for (const json& row : rows(run({"sweep",
                                     file,
                                     "--sample",
                                     "run.pieces[4].coefficient=" + distribution,
                                     "--draws",
                                     "4000",
                                     "--columns",
                                     "point",
                                     "--format",
                                     "jsonl"})
                                    .out)) {
      values.push_back(row["run.pieces[4].coefficient"]);
    }
    std::sort(values.begin(), values.end());
    return values;
  };
  // Of 4000 draws the share below a quantile is off by less than 3 standard deviations.
  const auto share_below = [](const std::vector<double>& values, double limit) {
    return static_cast<double>(std::lower_bound(values.begin(), values.end(), limit) -
                               values.begin()) /
           static_cast<double>(values.size());
  };
  const double three = 3.0 * std::sqrt(0.25 / 4000.0);
  const auto lognormal = drawn("lognormal(1.5, 40 %)");
  EXPECT_NEAR(share_below(lognormal, 1.5), 0.5, three);
  EXPECT_NEAR(share_below(lognormal, 1.5 * std::exp(0.4)), 0.8413, three);
  const auto normal = drawn("normal(5, 10 %)");
  EXPECT_NEAR(share_below(normal, 4.5), 0.1587, three);
  const auto uniform = drawn("uniform(1, 3)");
  EXPECT_GE(uniform.front(), 1.0);
  EXPECT_LE(uniform.back(), 3.0);
  EXPECT_NEAR(share_below(uniform, 1.5), 0.25, three);
  const auto triangular = drawn("triangular(1, 2, 5)");
  EXPECT_NEAR(share_below(triangular, 2.0), 0.25, three);
}

TEST(Sweep, the_same_seed_gives_the_same_bytes_with_any_number_of_threads) {
  const Folder folder;
  const std::string file = folder.write("k.yaml", kitchen("6 ft", "1.2"));
  const std::vector<std::string> call{"sweep",
                                      file,
                                      "--vary",
                                      "site.outdoor.temperature=-20degC..40degC:4",
                                      "--sample",
                                      "house.leakage.airflow=lognormal(900cfm, 40 %)",
                                      "--draws",
                                      "40",
                                      "--format",
                                      "csv"};
  const Outcome one = run(with(call, {"--threads", "1"}));
  EXPECT_EQ(std::count(one.out.begin(), one.out.end(), '\n'), 161);
  EXPECT_EQ(run(with(call, {"--threads", "2"})).out, one.out);
  EXPECT_EQ(run(with(call, {"--threads", "7"})).out, one.out);
  EXPECT_NE(run(with(call, {"--seed", "7"})).out, one.out);
}

TEST(Sweep, draws_of_one_place_stay_where_another_is_added) {
  const Folder folder;
  const std::string file = folder.write("k.yaml", kitchen("6 ft", "1.2"));
  const std::vector<std::string> call{"sweep",
                                      file,
                                      "--draws",
                                      "5",
                                      "--format",
                                      "jsonl",
                                      "--sample",
                                      "house.leakage.airflow=lognormal(900cfm, 40 %)"};
  const std::vector<json> alone = rows(run(call).out);
  const std::vector<json> both =
      rows(run(with(call, {"--sample", "run.pieces[3].length=uniform(2ft, 9ft)"})).out);
  for (std::size_t i = 0; i < alone.size(); ++i) {
    EXPECT_EQ(alone[i]["house.leakage.airflow_m3_s"], both[i]["house.leakage.airflow_m3_s"]);
  }
}

TEST(Sweep, words_and_sections_vary_too) {
  const Folder folder;
  const std::string file = folder.write("k.yaml", kitchen("6 ft", "1.2"));
  const std::vector<json> table = rows(run({"sweep",
                                            file,
                                            "--vary",
                                            "run.pieces[2].type=smooth-radius,gored-5",
                                            "--format",
                                            "jsonl"})
                                           .out);
  ASSERT_EQ(table.size(), 2U);
  EXPECT_EQ(table[1]["run.pieces[2].type"], "gored-5");
  EXPECT_NE(table[0]["airflow_m3_s"], table[1]["airflow_m3_s"]);
}

TEST(Sweep, shows_a_table_and_writes_a_page) {
  const Folder folder;
  const std::string file = folder.write("k.yaml", kitchen("6 ft", "1.2"));
  const std::string vary = "run.pieces[3].length=2ft..40ft:20";
  const Outcome shown = run({"sweep", file, "--vary", vary});
  EXPECT_EQ(shown.exit, 0);
  EXPECT_NE(shown.out.find("####"), std::string::npos) << shown.out;
  std::istringstream lines(shown.out);
  for (std::string line; std::getline(lines, line);) {
    EXPECT_LE(line.size(), 80U) << line;
  }
  for (const std::vector<std::string>& more :
       {std::vector<std::string>{"--vary", vary},
        {"--vary", vary, "--vary", "run.pieces[4].coefficient=0.5..2.5:9"},
        {"--sample", "run.pieces[4].coefficient=uniform(1, 3)", "--draws", "50"}}) {
    const Outcome page = run(with({"sweep", file, "-o", folder.path("p.html")}, more));
    EXPECT_EQ(page.exit, 0) << page.err;
    const std::string text = Folder::contents(folder.path("p.html"));
    const std::size_t begin = text.find("<svg");
    ASSERT_NE(begin, std::string::npos);
    EXPECT_EQ(xml_fault(text.substr(begin, text.find("</svg>") + 6 - begin)), "");
  }
}

TEST(Sweep, a_row_that_cannot_be_calculated_says_why) {
  const Folder folder;
  const std::string file = folder.write("k.yaml", kitchen("6 ft", "1.2"));
  const std::vector<json> table = rows(run({"sweep",
                                            file,
                                            "--sample",
                                            "run.pieces[3].length=normal(1ft, 3ft)",
                                            "--draws",
                                            "50",
                                            "--format",
                                            "jsonl"})
                                           .out);
  ASSERT_EQ(table.size(), 50U);
  std::size_t failed = 0;
  for (const json& row : table) {
    const bool negative = row["run.pieces[3].length_m"].get<double>() < 0.0;
    EXPECT_EQ(row["status"] == "failed", negative) << row;
    EXPECT_EQ(row["fault_message"].is_string(), negative) << row;
    failed += negative ? 1 : 0;
  }
  EXPECT_GT(failed, 0U);
}

TEST(Sweep, refuses_what_cannot_be_meant_with_one_message_each) {
  const Folder folder;
  const std::string file = folder.write("k.yaml", kitchen("6 ft", "1.2"));
  struct Wrong {
    std::vector<std::string> words;
    std::string said;
  };
  for (const Wrong& wrong : std::vector<Wrong>{
           {{"--vary", "run.pieces[3].lenght=2ft..4ft:3"}, "did you mean `length`?"},
           {{"--vary", "run.pieces[9].length=2ft..4ft:3"}, "has 4 items"},
           {{"--vary", "run.pieces[0].length=2ft..4ft:3"}, "items count from 1"},
           {{"--vary", "hous.leakage.airflow=1cfm,2cfm"}, "did you mean `house`?"},
           {{"--vary", "run.pieces[3].length=2degF..4degF:3"}, "run.pieces[3].length=2"},
           {{"--vary", "run.pieces[3].length=2ft..4degF:3"}, "no two quantities of one kind"},
           {{"--vary", "run.pieces[3].length=2ft..2ft:3"}, "the range is empty"},
           {{"--vary", "run.pieces[3].length=2ft..4ft"}, "does not say how many"},
           {{"--vary", "run.pieces[3].length=2ft..4ft:1"}, "a range has 2 to"},
           {{"--vary", "run.pieces[3].length"}, "needs a place and what to put there"},
           {{"--sample", "house.leakage.airflow=lognormal(900cfm, -40 %)"}, "is negative"},
           {{"--sample", "house.leakage.airflow=normal(900cfm, -4 cfm)"}, "is negative"},
           {{"--sample", "house.leakage.airflow=normal(900cfm, 3 ft)"}, "is neither an airflow"},
           {{"--sample", "house.leakage.airflow=uniform(9cfm, 3 cfm)"}, "have to rise"},
           {{"--sample", "house.leakage.airflow=lognormla(900cfm, 40 %)"},
            "did you mean `lognormal"},
           {{"--sample", "house.leakage.airflow=normal(900cfm)"}, "has 2 parameters, not 1"},
           {{"--vary", "run.pieces[3].length=2ft,3ft", "--vary", "run.pieces[3].length=4ft,5ft"},
            "is varied twice"},
           {{"--vary", "run.pieces[3].length=2ft,3ft", "--draws", "7"}, "nothing is sampled"},
           {{}, "neither `--vary` nor `--sample`"}}) {
    const Outcome outcome = run(with({"sweep", file, "-o", folder.path("out.csv")}, wrong.words));
    EXPECT_EQ(outcome.exit, 2) << wrong.said;
    EXPECT_EQ(outcome.out, "") << wrong.said;
    EXPECT_NE(outcome.err.find(wrong.said), std::string::npos) << outcome.err;
    EXPECT_EQ(outcome.err.find("error[", 1), std::string::npos) << outcome.err;
    EXPECT_EQ(folder.names(), std::vector<std::string>{"k.yaml"}) << wrong.said;
  }
}

}  // namespace
}  // namespace ductledger::test
