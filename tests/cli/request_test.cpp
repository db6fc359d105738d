#include <gtest/gtest.h>

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

TEST(Request, ABlankAnswerIsRefusedAndJudgesNothing) {
  const Outcome outcome = run(Call{{"review", "-"},
                                   "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\n"
                                   "run:\n  section: 6 in round\n  material: galvanized-steel\n"
                                   "  independent:\n  pieces: [{straight: 10 ft}]\n"});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_EQ(outcome.out, "");
  EXPECT_NE(outcome.err.find("`independent` has no value"), std::string::npos) << outcome.err;
}

}  // namespace
}  // namespace ductledger::test
