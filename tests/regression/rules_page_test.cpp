#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

#include "text/explain.hpp"

// docs/rules.md is written from the rules and findings; with DUCTLEDGER_ACCEPT set it is written
// anew (tests/accept).
namespace ductledger {
namespace {

TEST(RulesPage, is_as_the_rules_are) {
  const std::string path = std::string(DUCTLEDGER_SOURCE_DIR) + "/docs/rules.md";
  const std::string page = text::rules_page();
  if (std::getenv("DUCTLEDGER_ACCEPT") != nullptr) {
    std::ofstream(path, std::ios::binary) << page;
    return;
  }
  std::ifstream file(path, std::ios::binary);
  const std::string written{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  EXPECT_TRUE(written == page)
      << "docs/rules.md is stale: run tests/accept and read the difference";
}

}  // namespace
}  // namespace ductledger
