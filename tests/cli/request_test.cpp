#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>
#include <string>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

TEST(Request, AsksWithBlankValuesAndSaysWhy) {
  const Outcome outcome =
      run({"review", "--request", "--fail-on", "never", "examples/duplex-hood-as-submitted.yaml"});
  ASSERT_EQ(outcome.exit, 0) << outcome.err;
  std::istringstream lines(outcome.out);
  std::size_t keys = 0;
  std::size_t reasons = 0;
  std::size_t questions = 0;
  for (std::string line; std::getline(lines, line);) {
    const std::size_t begin = line.find_first_not_of(' ');
    ASSERT_NE(begin, std::string::npos) << outcome.out;
    if (line[begin] == '#') {
      reasons += line.find("# why: ") == std::string::npos ? 0U : 1U;
      questions += line.back() == '?' ? 1U : 0U;
      continue;
    }
    EXPECT_EQ(line.back(), ':') << line;  // an example left standing would read as an answer
    ++keys;
  }
  EXPECT_GT(keys, 5U);
  EXPECT_GT(questions, 5U);
  EXPECT_GE(reasons, questions);
  EXPECT_NE(outcome.out.find("an answer looks like: "), std::string::npos);
  EXPECT_NE(outcome.out.find("M1503"), std::string::npos) << outcome.out;
}

TEST(Request, ABlankAnswerStatesNothingAndIsTold) {
  const std::string run_of =
      "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\n"
      "run:\n  section: 6 in round\n  material: galvanized-steel\n";
  const std::string pieces = "  pieces: [{straight: 10 ft}]\n";
  const Outcome blank = run(Call{
      {"review", "-"},
      run_of + "  independent:\n  termination:\n    to_opening:\n    onto_walkway:\n" + pieces});
  const Outcome plain = run(Call{{"review", "-"}, run_of + pieces});
  EXPECT_EQ(blank.exit, plain.exit);
  // Lines behind the blanks have other numbers.
  const std::regex line(", line\\s+[0-9]+");
  EXPECT_EQ(std::regex_replace(blank.out, line, ""), std::regex_replace(plain.out, line, ""));
  EXPECT_NE(blank.err.find("run.independent, run.termination.to_opening and "
                           "run.termination.onto_walkway left blank"),
            std::string::npos)
      << blank.err;
}

TEST(Request, ABlankThatNobodyAskedForIsRefused) {
  const Outcome outcome = run(Call{{"review", "-"},
                                   "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\n"
                                   "run:\n  section:\n  pieces: [{straight: 10 ft}]\n"});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_NE(outcome.err.find("`section` has no value"), std::string::npos) << outcome.err;
}

/// The request itself, added to the layout as it stands, changes nothing.
TEST(Request, LeftUnansweredItChangesNoVerdict) {
  const Folder folder;
  const std::string layout =
      "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\n"
      "run: {section: 6 in round, pieces: [{straight: 10 ft}]}\n";
  const std::string path = folder.write("a.yaml", layout);
  const std::string request = run({"review", "--request", path}).out;
  // The keys at the top that the layout does not hold can be added as they stand.
  std::string added;
  bool in_new_group = false;
  std::istringstream lines(request);
  for (std::string line; std::getline(lines, line);) {
    if (!line.empty() && line[0] != ' ' && line[0] != '#') {
      in_new_group = line != "run:" && line != "appliance:";
    }
    added += in_new_group ? line + '\n' : "";
  }
  ASSERT_NE(added, "");
  const std::string answered = folder.write("b.yaml", layout + added);
  const Outcome before = run({"review", "--json", path});
  const Outcome after = run({"review", "--json", answered});
  const auto judgements = [](const std::string& text) {
    return nlohmann::json::parse(text)["judgements"];
  };
  EXPECT_EQ(judgements(before.out), judgements(after.out));
}

}  // namespace
}  // namespace ductledger::test
