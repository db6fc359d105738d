#include <gtest/gtest.h>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

TEST(Readme, shows_what_the_program_prints) {
  const std::string readme = Folder::contents(std::string(DUCTLEDGER_SOURCE_DIR) + "/README.md");
  const std::string command = "$ ductledger check examples/gable-kitchen-up-through-roof.yaml\n";
  const std::size_t begin = readme.find(command);
  ASSERT_NE(std::string::npos, begin);
  const std::size_t from = begin + command.size();
  const std::string shown = readme.substr(from, readme.find("```", from) - from);
  const Outcome outcome = run({"check", "examples/gable-kitchen-up-through-roof.yaml"});
  EXPECT_EQ(shown, outcome.out.substr(0, shown.size()));
}

}  // namespace
}  // namespace ductledger::test
