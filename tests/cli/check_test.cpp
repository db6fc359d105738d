#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <nlohmann/json.hpp>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

using Json = nlohmann::json;

constexpr const char* kExample = "examples/gable-kitchen-up-through-roof.yaml";

// 4 in duct for far more air than it passes: a `fail` whatever the catalogue says.
constexpr const char* kFailing =
    "layout: 1\n"
    "appliance: {kind: exhaust, required_airflow: 900 cfm}\n"
    "fan: {speeds: [{name: high, curve: {airflow: 0 500 1000 cfm, pressure: 1 0.6 0 inH2O}}]}\n"
    "run: {section: 4 in round, material: galvanized-steel, pieces: [{straight: 40 ft}]}\n";

TEST(Check, every_example_calculates) {
  ASSERT_GE(examples().size(), 7U);
  for (const std::string& example : examples()) {
    const Outcome outcome = run({"check", "--fail-on", "never", example});
    EXPECT_EQ(0, outcome.exit) << example << '\n' << outcome.err;
    EXPECT_EQ("", outcome.err) << example;
  }
}

TEST(Check, exit_status_follows_the_level_chosen) {
  Folder folder;
  const std::string file = folder.write("failing.yaml", kFailing);
  EXPECT_EQ(1, run({"check", file}).exit);
  EXPECT_EQ(1, run({"check", "--fail-on", "note", file}).exit);
  EXPECT_EQ(0, run({"check", "--fail-on", "never", file}).exit);
}

TEST(Check, the_worst_of_several_files_counts) {
  Folder folder;
  const std::string failing = folder.write("failing.yaml", kFailing);
  EXPECT_EQ(2, run({"check", failing, "nowhere.yaml"}).exit);
  const Outcome outcome = run({"check", "--json", failing, "nowhere.yaml"});
  EXPECT_EQ(2, outcome.exit);
  const Json document = Json::parse(outcome.out);
  EXPECT_EQ("ductledger.checks/1", document.at("format"));
  EXPECT_EQ("ductledger.check/1", document.at("results").at(0).at("format"));
  EXPECT_EQ("ductledger.error/1", document.at("results").at(1).at("format"));
}

TEST(Check, reads_standard_input) {
  const Outcome outcome = run(Call{{"check", "-"}, kFailing});
  EXPECT_EQ(1, outcome.exit);
  EXPECT_TRUE(holds(outcome.out, "<stdin>"));
  EXPECT_TRUE(holds(run(Call{{"check", "-"}, "layout: 1\nrum: {}\n"}).err, "<stdin>:2:1"));
}

TEST(Check, two_runs_print_the_same_bytes) {
  for (const std::string& example : examples()) {
    EXPECT_EQ(run({"check", "--json", example}).out, run({"check", "--json", example}).out);
  }
}

TEST(Check, samples_are_counted_and_a_number_that_is_none_is_refused) {
  const Outcome asked = run({"check", "--json", "--samples", "500", kExample});
  const Json samples = Json::parse(asked.out).at("/speeds/0/uncertainty/samples"_json_pointer);
  EXPECT_EQ(500, samples.at("count").get<int>());
  EXPECT_TRUE(holds(run({"check", "--samples", "500", kExample}).out, "500 samples"));
  for (const char* wrong : {"12", "many", "2000000", "1000.5"}) {
    const Outcome refused = run({"check", "--samples", wrong, kExample});
    EXPECT_EQ(2, refused.exit) << wrong;
    EXPECT_TRUE(holds(refused.err, "--samples")) << wrong;
  }
}

TEST(Check, units_change_text_and_not_json) {
  EXPECT_NE(run({"check", kExample}).out, run({"check", "--units", "si", kExample}).out);
  EXPECT_EQ(run({"check", "--json", kExample}).out,
            run({"check", "--json", "--units", "si", kExample}).out);
}

TEST(Check, a_file_that_cannot_be_read_is_one_diagnostic) {
  Folder folder;
  const Outcome missing = run({"check", "nowhere.yaml"});
  EXPECT_EQ(2, missing.exit);
  EXPECT_TRUE(holds(missing.err, "there is no file `nowhere.yaml`"));
  EXPECT_TRUE(holds(run({"check", folder.path(".")}).err, "is a directory"));
  const std::string large = folder.write("large.yaml", std::string(10U << 20U, 'x'));
  const Outcome outcome = run({"check", large});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "is larger than 4 MiB"));
}

TEST(Check, json_stays_one_document_on_failure) {
  const Outcome outcome = run({"check", "--json", "nowhere.yaml"});
  EXPECT_EQ(2, outcome.exit);
  const Json document = Json::parse(outcome.out);
  EXPECT_EQ("ductledger.error/1", document.at("format"));
  EXPECT_EQ("no-such-file", document.at("diagnostics").at(0).at("rule"));
}

TEST(Check, output_goes_to_the_file_and_nowhere_else) {
  Folder folder;
  const Outcome outcome = run({"check", "--fail-on", "never", kExample, "-o", folder.path("out")});
  EXPECT_EQ(0, outcome.exit);
  EXPECT_EQ("", outcome.out);
  EXPECT_EQ(run({"check", kExample}).out, folder.read("out"));
  EXPECT_EQ(std::vector<std::string>{"out"}, folder.names());
}

TEST(Check, output_that_cannot_be_written_leaves_nothing_behind) {
  Folder folder;
  EXPECT_EQ(2, run({"check", kExample, "-o", folder.path("none/out")}).exit);
  EXPECT_TRUE(folder.names().empty());
  const Outcome outcome = run({"check", kExample, "-o", folder.path(".")});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "is a directory"));
}

TEST(Check, never_writes_over_its_input) {
  Folder folder;
  const std::string file = folder.write("layout.yaml", kFailing);
  EXPECT_EQ(2, run({"check", file, "-o", file}).exit);
  EXPECT_EQ(kFailing, folder.read("layout.yaml"));
}

TEST(Check, a_full_disk_is_told) {
  Call call{{"check", kExample}};
  call.out = "/dev/full";
  const Outcome outcome = run(call);
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "cannot-write"));
}

TEST(Check, a_closed_pipe_is_no_fault) {
  Folder folder;
  const std::string pipe = folder.path("pipe");
  ASSERT_EQ(0, mkfifo(pipe.c_str(), 0600));
  // A reader that leaves as soon as the program opens its end.
  const pid_t reader = fork();
  if (reader == 0) {
    close(open(pipe.c_str(), O_RDONLY));
    _exit(0);
  }
  Call call{{"check", "--fail-on", "never", kExample}};
  call.out = pipe;
  const Outcome outcome = run(call);
  waitpid(reader, nullptr, 0);
  EXPECT_EQ(0, outcome.exit);
  EXPECT_EQ("", outcome.err);
}

TEST(Check, colour_only_where_asked_for) {
  EXPECT_FALSE(holds(run({"check", kExample}).out, "\x1b["));
  EXPECT_TRUE(holds(run({"check", "--color", "always", kExample}).out, "\x1b["));
  EXPECT_TRUE(holds(run({"check", "--color", "always", "nowhere.yaml"}).err, "\x1b["));
}

TEST(Check, another_speed_changes_the_ledger_and_not_the_answer) {
  const std::string high = run({"check", kExample}).out;
  const std::string low = run({"check", "--speed", "low", kExample}).out;
  EXPECT_EQ(high.substr(0, high.find("required")), low.substr(0, low.find("required")));
  EXPECT_TRUE(holds(low, "Ledger of low speed at"));
  const Outcome unknown = run({"check", "--speed", "lwo", kExample});
  EXPECT_EQ(2, unknown.exit);
  EXPECT_TRUE(holds(unknown.err, "low"));
}

TEST(Check, without_a_fan_it_shows_what_the_run_asks_for) {
  const Outcome outcome = run(Call{{"check", "-"},
                                   "layout: 1\n"
                                   "appliance: {kind: exhaust, required_airflow: 200 cfm}\n"
                                   "run: {section: 6 in round, material: galvanized-steel, pieces: "
                                   "[{straight: 10 ft}]}\n"});
  EXPECT_EQ(0, outcome.exit) << outcome.err;
  EXPECT_TRUE(holds(outcome.out, "No fan is stated"));
  EXPECT_TRUE(holds(outcome.out, "At 200 cfm the fan has to make"));
}

TEST(New, writes_a_layout_that_check_accepts) {
  Folder folder;
  const std::string file = folder.path("mine.yaml");
  EXPECT_EQ(0, run({"new", file}).exit);
  EXPECT_EQ(0, run({"check", "--fail-on", "never", file}).exit);
  const Outcome again = run({"new", file});
  EXPECT_EQ(2, again.exit);
  EXPECT_TRUE(holds(again.err, "--force"));
  EXPECT_EQ(0, run({"new", "--force", file}).exit);
  EXPECT_EQ(folder.read("mine.yaml"), run({"new", "-"}).out);
}

}  // namespace
}  // namespace ductledger::test
