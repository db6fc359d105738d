#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "cli/harness.hpp"

// Our own pinned output, read by a person when it changes; no proof of any figure.
// cases/<name>/args holds the arguments, one a line; `stdin` may stand beside it. With
// DUCTLEDGER_ACCEPT set, stdout, stderr and exit are written instead of compared (tests/accept).
namespace ductledger::test {
namespace {

using Json = nlohmann::ordered_json;

std::string cases_folder() { return std::string(DUCTLEDGER_SOURCE_DIR) + "/tests/golden/cases"; }

std::vector<std::string> case_names() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(cases_folder())) {
    names.push_back(entry.path().filename().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::vector<std::string> lines(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    out.push_back(line);
  }
  return out;
}

// The last digits of a double may differ between machines and optimisation levels; a residual is
// nothing but such digits.
bool same_number(const std::string& path, double a, double b) {
  if (path.find("residual_pa") != std::string::npos) {
    return std::abs(a) < 1e-5 && std::abs(b) < 1e-5;
  }
  return std::abs(a - b) <= 1e-9 * std::max(std::abs(a), std::abs(b)) + 1e-12;
}

void expect_same(const std::string& path, const Json& expected, const Json& actual) {
  if (expected.is_number_float() && actual.is_number_float()) {
    EXPECT_TRUE(same_number(path, expected.get<double>(), actual.get<double>()))
        << path << ": expected " << expected << ", got " << actual;
  } else if (expected.is_structured() && expected.type() == actual.type() &&
             expected.size() == actual.size()) {
    const auto expected_items = expected.items();
    const auto actual_items = actual.items();
    auto other = actual_items.begin();
    for (auto item = expected_items.begin(); item != expected_items.end(); ++item, ++other) {
      EXPECT_EQ(item.key(), other.key()) << path;
      expect_same(path + "/" + item.key(), item.value(), other.value());
    }
  } else if (path.size() < 11 || path.compare(path.size() - 11, 11, "/iterations") != 0) {
    EXPECT_EQ(expected, actual) << path;
  }
}

// Hashes change with every word of a layout or the catalogue.
std::string without_hashes(const std::string& text) {
  static const std::regex kHash("[0-9a-f]{64}");
  return std::regex_replace(text, kHash, "<hash>");
}

void expect_same_text(const std::string& expected, const std::string& actual) {
  if (!expected.empty() && expected.front() == '{' && Json::accept(expected) &&
      Json::accept(actual)) {
    expect_same("", Json::parse(expected), Json::parse(actual));
  } else {
    EXPECT_EQ(expected, actual);
  }
}

class Golden : public testing::TestWithParam<std::string> {};

TEST_P(Golden, prints_what_it_printed_before) {
  const std::string folder = cases_folder() + "/" + GetParam() + "/";
  Call call{lines(Folder::contents(folder + "args"))};
  call.input = Folder::contents(folder + "stdin");
  Outcome outcome = run(call);
  outcome.out = without_hashes(outcome.out);
  if (std::getenv("DUCTLEDGER_ACCEPT") != nullptr) {
    std::ofstream(folder + "stdout") << outcome.out;
    std::ofstream(folder + "stderr") << outcome.err;
    std::ofstream(folder + "exit") << outcome.exit << '\n';
    return;
  }
  expect_same_text(Folder::contents(folder + "stdout"), outcome.out);
  EXPECT_EQ(Folder::contents(folder + "stderr"), outcome.err);
  EXPECT_EQ(Folder::contents(folder + "exit"), std::to_string(outcome.exit) + "\n");
}

INSTANTIATE_TEST_SUITE_P(Cases, Golden, testing::ValuesIn(case_names()), [](const auto& tested) {
  std::string name = tested.param;
  for (char& letter : name) {
    letter = std::isalnum(static_cast<unsigned char>(letter)) != 0 ? letter : '_';
  }
  return name;
});

TEST(Golden, holds_text_and_json_of_every_example) {
  for (const std::string& example : examples()) {
    const std::string name = std::filesystem::path(example).stem().string();
    for (const char* form : {"-text", "-json"}) {
      EXPECT_TRUE(std::filesystem::exists(cases_folder() + "/" + name + form + "/args"))
          << name << form;
    }
  }
}

}  // namespace
}  // namespace ductledger::test
