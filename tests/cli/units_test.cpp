#include <gtest/gtest.h>

#include <string>

#include "cli/harness.hpp"

// A layout is answered in the units that it is written in; `--units` says otherwise.
namespace ductledger::test {
namespace {

// Invented.
const std::string kMetric =
    "layout: 1\ntitle: Up 8 in and 9 ft\nappliance: {collar: 150 mm round, required_airflow: 60 "
    "L/s}\nfan: {speeds: [{name: high, curve: {airflow: 0 60 120 L/s, pressure: 200 150 0 Pa}}]}\n"
    "run:\n  heading: up\n  pieces:\n    - straight: 3 m\n    - cap: wall-hood-flap\n";

TEST(Units, follow_the_file) {
  const Folder folder;
  const std::string file = folder.write("metric.yaml", kMetric);
  for (const char* command : {"check", "parts", "commission"}) {
    const std::string text = run({command, file}).out;
    EXPECT_NE(text.find(std::string(command) == "commission" ? "L/s" : "150 mm round"),
              std::string::npos)
        << command << '\n'
        << text;
    EXPECT_EQ(text.find("cfm"), std::string::npos) << command << '\n' << text;
  }
  const std::string page = run({"report", file, "-o", "-"}).out;
  EXPECT_NE(page.find("size:A4"), std::string::npos);
}

TEST(Units, of_airflow_are_those_that_most_airflows_are_written_in) {
  const Folder folder;
  std::string hourly = kMetric;
  const auto put = [&hourly](const std::string& old, const std::string& now) {
    hourly.replace(hourly.find(old), old.size(), now);
  };
  put("60 L/s", "216 m3/h");
  put("0 60 120 L/s", "0 216 432 m3/h");
  const std::string file = folder.write("hourly.yaml", hourly);
  const std::string text = run({"check", file}).out;
  EXPECT_NE(text.find("216 m3/h required"), std::string::npos) << text;
  EXPECT_EQ(text.find("L/s"), std::string::npos) << text;
  EXPECT_NE(run({"check", file, "--units", "si"}).out.find("60 L/s required"), std::string::npos);
}

TEST(Units, of_a_file_in_metric_are_billed_in_metric_lengths) {
  const Folder folder;
  const std::string file = folder.write("metric.yaml", kMetric);
  const std::string text = run({"parts", file}).out;
  EXPECT_NE(text.find("lengths of 3.00 m and 1.00 m"), std::string::npos) << text;
}

TEST(Units, are_those_asked_for) {
  const Folder folder;
  const std::string file = folder.write("metric.yaml", kMetric);
  const std::string text = run({"check", file, "--units", "ip"}).out;
  EXPECT_NE(text.find("cfm"), std::string::npos);
  EXPECT_EQ(text.find("L/s"), std::string::npos);
}

TEST(Units, of_runs_side_by_side_are_those_of_the_first) {
  const Folder folder;
  const std::string metric = folder.write("metric.yaml", kMetric);
  const std::string other = folder.write(
      "inch.yaml",
      "layout: 1\ntitle: Other\nappliance: {collar: 6 in round}\nfan: {speeds: [{name: high, "
      "curve: {airflow: 0 120 250 cfm, pressure: 0.8 0.6 0 inH2O}}]}\nrun:\n  heading: up\n"
      "  pieces:\n    - straight: 10 ft\n    - cap: wall-hood-flap\n");
  EXPECT_EQ(run({"compare", metric, other}).out.find("cfm"), std::string::npos);
  EXPECT_EQ(run({"compare", other, metric}).out.find("L/s"), std::string::npos);
}

}  // namespace
}  // namespace ductledger::test
