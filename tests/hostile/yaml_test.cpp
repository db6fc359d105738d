// Every file of hostile/corpus is read as it is; the text beside it says what must come out: `read`
// or the diagnostics, word for word. A new nasty case is a new pair of files, no code.

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>
#include <vector>

#include "yaml/parse.hpp"

namespace ductledger {
namespace {

namespace fs = std::filesystem;

const fs::path kCorpus = fs::path(DUCTLEDGER_SOURCE_DIR) / "tests" / "hostile" / "corpus";

std::string bytes_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<std::string> cases() {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(kCorpus)) {
    if (entry.path().extension() == ".yaml") {
      names.push_back(entry.path().stem().string());
    }
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::string outcome(const std::string& name, std::string text) {
  const auto tree =
      yaml::parse(std::make_shared<const base::SourceText>(name + ".yaml", std::move(text)));
  return tree ? base::render(tree->warnings) + "read\n" : base::render(tree.error());
}

class Corpus : public testing::TestWithParam<std::string> {};

TEST_P(Corpus, SaysWhatIsWritten) {
  const fs::path written = kCorpus / (GetParam() + ".txt");
  const std::string actual = outcome(GetParam(), bytes_of(kCorpus / (GetParam() + ".yaml")));
  if (std::getenv("DUCTLEDGER_ACCEPT") != nullptr) {
    std::ofstream(written, std::ios::binary) << actual;
  }
  EXPECT_EQ(actual, bytes_of(written));
  EXPECT_EQ(actual.find('\x1b'), std::string::npos);
}

INSTANTIATE_TEST_SUITE_P(All, Corpus, testing::ValuesIn(cases()), [](const auto& entry) {
  std::string name = entry.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

std::string repeated(std::string_view part, std::size_t bytes) {
  std::string out;
  out.reserve(bytes + part.size());
  while (out.size() < bytes) {
    out += part;
  }
  return out;
}

// Sizes at which anything that grows with the square would hang; a generous limit, as the machine
// may be busy and the build may carry sanitizers.
TEST(Large, AnyShapeOfTextIsAnsweredQuickly) {
  constexpr std::size_t kBytes = 300'000;
  for (const char* part :
       {"[",      "{a: ",    "[]",      "\"",       "'\n",  "a:",   "a: ",    "- ",     "- a\n",
        "a: 1\n", "a: b #c", "a #b\n",  "?",        "? ",   "!a ",  "&a ",    "[*a,",   "---\n",
        "a:b\n",  "{a:b,",   "{a,b:c,", "\ta: b\n", "\\",   "\"\\", "é",      "a: |\n", "{\"a\":",
        "}",      "]",       ",",       "\r",       "\r\n", " ",    "a: {b\n"}) {
    const auto start = std::chrono::steady_clock::now();
    const std::string text = outcome("large", repeated(part, kBytes));
    const auto took = std::chrono::steady_clock::now() - start;
    EXPECT_LT(took, std::chrono::seconds(20)) << part;
    EXPECT_LT(text.size(), 60'000U) << part;
  }
}

TEST(Large, ManyKeysAndValuesOnOneLineAreRead) {
  std::string keys = "{";
  for (int i = 0; i < 20'000; ++i) {
    keys += "k" + std::to_string(i) + ": 1, ";
  }
  EXPECT_EQ(outcome("keys", keys + "}\n"), "read\n");
  EXPECT_EQ(outcome("list", "[" + repeated("1, ", 300'000) + "]\n"), "read\n");
}

TEST(Large, TenMegabytesOfGarbageAreRefusedAtOnce) {
  std::string garbage(10'000'000, '\0');
  unsigned state = 7;  // fixed seed
  for (char& c : garbage) {
    state = state * 1664525U + 1013904223U;
    c = static_cast<char>(state >> 24U);
  }
  const auto start = std::chrono::steady_clock::now();
  EXPECT_EQ(outcome("garbage", std::move(garbage)),
            "error[too-large]: the file has 10000000 bytes, more than the 4194304 that are read\n"
            "  --> garbage.yaml\n");
  EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(10));
}

// Texts made of the marks of YAML, and real texts with one byte changed or lost: never a crash, and
// each diagnostic has a message and a place inside the file.
class Mutation : public testing::Test {
 protected:
  unsigned next(unsigned below) {
    state_ = state_ * 1664525U + 1013904223U;
    return (state_ >> 16U) % below;
  }
  static void check(const std::string& text) {
    const auto source = std::make_shared<const base::SourceText>("m.yaml", text);
    const auto tree = yaml::parse(source);
    if (tree) {
      return;
    }
    for (const base::Diagnostic& diagnostic : tree.error()) {
      ASSERT_FALSE(diagnostic.message.empty()) << text;
      ASSERT_GE(diagnostic.span.line, 0) << text;
      ASSERT_LE(diagnostic.span.line, source->line_count()) << text;
      ASSERT_LE(diagnostic.span.offset, text.size()) << text;
    }
    ASSERT_FALSE(base::render(tree.error()).empty());
  }

 private:
  unsigned state_ = 2024;  // fixed seed: the same texts on every machine
};

TEST_F(Mutation, TextsOfMarks) {
  const std::string marks = "ab1:{}[],-#'\" \n\n  \t&*!|>%@?\\";
  for (int i = 0; i < 5'000; ++i) {
    std::string text;
    for (unsigned length = next(60); length > 0; --length) {
      text += marks[next(static_cast<unsigned>(marks.size()))];
    }
    check(text);
  }
}

TEST_F(Mutation, OneByteOff) {
  const std::string layout =
      "layout: 1\ntitle: \"Gable kitchen\"\nsite:\n  indoor: {temperature: 75 degF, humidity: 40 "
      "%}\n"
      "fan:\n  speeds:\n    - name: high\n      curve: {airflow: 0 250 cfm, pressure: 0.9 0 "
      "inH2O}\n"
      "run:\n  section: 8 in round\n  pieces:\n    - straight: 6' 6\"\n    - elbow:\n        turn: "
      "up\n"
      "    - cap: louver   # last\n";
  const std::string marks = ":{}[],-#'\" \n\t&*!|>%@?";
  for (std::size_t at = 0; at < layout.size(); ++at) {
    std::string lost = layout;
    check(lost.erase(at, 1));
    std::string changed = layout;
    changed[at] = marks[next(static_cast<unsigned>(marks.size()))];
    check(changed);
    std::string added = layout;
    check(added.insert(at, 1, marks[next(static_cast<unsigned>(marks.size()))]));
  }
}

}  // namespace
}  // namespace ductledger
