#pragma once

#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

/// What the tests of the commands that write rows share.
namespace ductledger::test {

/// JSON Lines, one document a row.
inline std::vector<nlohmann::json> rows(const std::string& text) {
  std::vector<nlohmann::json> out;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    out.push_back(nlohmann::json::parse(line));
  }
  return out;
}

/// A call's words with more behind them.
inline std::vector<std::string> with(std::vector<std::string> words,
                                     const std::vector<std::string>& more) {
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

}  // namespace ductledger::test
