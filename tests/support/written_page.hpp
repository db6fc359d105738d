#pragma once

#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

namespace ductledger::support {

/// A page of docs/ that is made from the data: compared, or written anew where DUCTLEDGER_ACCEPT is
/// set (tests/accept).
inline void expect_written(const std::string& name, const std::string& page) {
  const std::string path = std::string(DUCTLEDGER_SOURCE_DIR) + "/docs/" + name;
  if (std::getenv("DUCTLEDGER_ACCEPT") != nullptr) {
    std::ofstream(path, std::ios::binary) << page;
    return;
  }
  std::ifstream file(path, std::ios::binary);
  const std::string written{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  EXPECT_TRUE(written == page) << "docs/" << name
                               << " is stale: run tests/accept and read the difference";
}

}  // namespace ductledger::support
