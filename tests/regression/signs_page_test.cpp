#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

#include "picture/signs.hpp"

// docs/signs.svg is the legend of the drawings; with DUCTLEDGER_ACCEPT set it is written anew
// (tests/accept).
namespace ductledger {
namespace {

TEST(SignsPage, is_as_the_drawings_are) {
  const std::string path = std::string(DUCTLEDGER_SOURCE_DIR) + "/docs/signs.svg";
  const std::string page = picture::legend_svg();
  if (std::getenv("DUCTLEDGER_ACCEPT") != nullptr) {
    std::ofstream(path, std::ios::binary) << page;
    return;
  }
  std::ifstream file(path, std::ios::binary);
  const std::string written{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  EXPECT_TRUE(written == page)
      << "docs/signs.svg is stale: run tests/accept and read the difference";
}

}  // namespace
}  // namespace ductledger
