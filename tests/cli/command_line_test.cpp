#include <gtest/gtest.h>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

constexpr const char* kGable = "examples/gable-kitchen-up-through-roof.yaml";

TEST(CommandLine, alone_prints_the_short_help) {
  const Outcome outcome = run(std::vector<std::string>{});
  EXPECT_EQ(0, outcome.exit);
  EXPECT_EQ(run({"-h"}).out, outcome.out);
  EXPECT_LE(std::count(outcome.out.begin(), outcome.out.end(), '\n'), 24);
}

TEST(CommandLine, long_help_holds_examples_exits_and_environment) {
  const Outcome outcome = run({"--help"});
  EXPECT_EQ(0, outcome.exit);
  for (const char* part : {"Examples:", "Exit status:", "NO_COLOR", "--fail-on"}) {
    EXPECT_TRUE(holds(outcome.out, part)) << part;
  }
  EXPECT_EQ(outcome.out, run({"help"}).out);
}

TEST(CommandLine, help_of_a_command_is_the_same_both_ways) {
  EXPECT_EQ(run({"help", "check"}).out, run({"check", "--help"}).out);
  EXPECT_TRUE(holds(run({"help", "new"}).out, "--force"));
  EXPECT_FALSE(holds(run({"help", "new"}).out, "--speed"));
}

TEST(CommandLine, every_option_of_the_help_is_known) {
  const std::string help = run({"help", "check"}).out;
  for (std::size_t at = help.find("--"); at != std::string::npos; at = help.find("--", at + 2)) {
    const std::string name = help.substr(at, help.find_first_of(" ,;.\n", at) - at);
    EXPECT_FALSE(holds(run({"check", name}).err, "unknown-option")) << name;
  }
}

TEST(CommandLine, version_names_formats_and_catalogue) {
  const Outcome outcome = run({"--version"});
  EXPECT_EQ(0, outcome.exit);
  EXPECT_TRUE(holds(outcome.out, "ductledger.check/1"));
  EXPECT_TRUE(holds(outcome.out, "catalogue "));
}

TEST(CommandLine, unknown_words_suggest_the_nearest) {
  const Outcome command = run({"chek", kGable});
  EXPECT_EQ(2, command.exit);
  EXPECT_TRUE(holds(command.err, "did you mean `check`?"));
  const Outcome option = run({"check", "--unit", "si", kGable});
  EXPECT_EQ(2, option.exit);
  EXPECT_TRUE(holds(option.err, "did you mean `--units`?"));
  const Outcome value = run({"check", "--units", "sl", kGable});
  EXPECT_EQ(2, value.exit);
  EXPECT_TRUE(holds(value.err, "`--units` takes ip or si, not `sl`"));
}

TEST(CommandLine, all_faults_are_told_at_once) {
  const Outcome outcome = run({"check", "--units", "us", "--format", "xml"});
  EXPECT_TRUE(holds(outcome.err, "--units"));
  EXPECT_TRUE(holds(outcome.err, "--format"));
  EXPECT_TRUE(holds(outcome.err, "needs a layout file"));
}

TEST(CommandLine, a_file_without_a_command_is_told_what_to_write) {
  EXPECT_TRUE(holds(run({"kitchen.yaml"}).err, "ductledger check kitchen.yaml"));
}

TEST(CommandLine, an_option_without_its_value_is_refused) {
  EXPECT_EQ(2, run({"check", kGable, "--speed"}).exit);
  EXPECT_EQ(2, run({"check", kGable, "--json=no"}).exit);
}

TEST(CommandLine, an_empty_value_takes_no_word_that_follows) {
  const Outcome outcome = run({"check", "--speed=", kGable});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "`--speed` needs a value")) << outcome.err;
}

TEST(CommandLine, words_follow_two_hyphens) {
  EXPECT_EQ(run({"check", kGable}).out, run({"check", "--", kGable}).out);
  EXPECT_TRUE(holds(run({"check", "--", "--json"}).err, "there is no file `--json`"));
}

TEST(CommandLine, an_option_given_twice_says_the_same_or_is_refused) {
  EXPECT_EQ(0, run({"check", "--units", "si", "--units", "si", kGable}).exit);
  const Outcome outcome = run({"check", "--speed", "high", "--speed", "low", kGable});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "`--speed` is given 2 times")) << outcome.err;
}

TEST(CommandLine, numbers_have_a_range) {
  const std::vector<std::vector<std::string>> calls{{"parts", "--clearance", "400 ft"},
                                                    {"parts", "--clearance", "-1 in"},
                                                    {"parts", "--overlap", "20 ft"},
                                                    {"parts", "--hanger-spacing", "1 in"},
                                                    {"size", "--deliver", "1e9 cfm"},
                                                    {"size", "--max-depth", "0 in"},
                                                    {"size", "--max-velocity", "-5 fpm"},
                                                    {"measured", "--static", "900 inH2O"},
                                                    {"measured", "--airflow", "0 cfm"},
                                                    {"check", "--samples", "99"}};
  for (std::vector<std::string> call : calls) {
    const std::string option = call[1];
    call.emplace_back(kGable);
    const Outcome outcome = run(call);
    EXPECT_EQ(2, outcome.exit) << option;
    EXPECT_TRUE(holds(outcome.err, "`" + option + "` cannot be")) << outcome.err;
    EXPECT_TRUE(holds(outcome.err, "help: expected ")) << outcome.err;
  }
  EXPECT_NE(2, run({"parts", "--overlap", "11 in", kGable}).exit);
}

TEST(CommandLine, options_of_another_command_are_refused) {
  const Outcome outcome = run({"check", "--force", kGable});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "`check` does not take `--force`"));
}

TEST(CommandLine, options_stand_anywhere) {
  EXPECT_EQ(run({"check", kGable, "--units", "si"}).out,
            run({"--units", "si", "check", kGable}).out);
  EXPECT_EQ(run({"check", kGable, "--json"}).out, run({"check", "--format=json", kGable}).out);
}

TEST(CommandLine, json_stays_json_when_the_call_is_wrong) {
  const Outcome outcome = run({"check", "--json", "--unit", "si"});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.out, "\"format\": \"ductledger.error/1\""));
}

}  // namespace
}  // namespace ductledger::test
