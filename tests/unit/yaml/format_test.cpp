#include "yaml/format.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>

#include "yaml/parse.hpp"

namespace ductledger::yaml {
namespace {

std::string formatted_text(const std::string& text) {
  const auto tree = parse(std::make_shared<const base::SourceText>("a.yaml", text));
  EXPECT_TRUE(tree) << text;
  return tree ? formatted(*tree) : "";
}

TEST(Format, TwoBlanksALevelAndDashesUnderTheirKey) {
  EXPECT_EQ(formatted_text("run:\n    section:   8 in round\n    pieces:\n    - straight: 4 ft\n"
                           "    -   elbow:\n            turn: back\n            type: gored-5\n"),
            "run:\n  section: 8 in round\n  pieces:\n    - straight: 4 ft\n    - elbow:\n"
            "        turn: back\n        type: gored-5\n");
}

TEST(Format, BlanksInBraces) {
  EXPECT_EQ(formatted_text("a: { b : 1 ,c: [ 2,3 ] }\nd: {}\ne: [ ]\n"),
            "a: {b: 1, c: [2, 3]}\nd: {}\ne: []\n");
}

TEST(Format, CommentsStayWithTheirLines) {
  EXPECT_EQ(formatted_text(
                "# top\n\n\n\na:\n      # of b\n      b: 1    # beside\n   # of c\n      c: 2\n"
                "# at the end\n"),
            "# top\n\na:\n  # of b\n  b: 1    # beside\n  # of c\n  c: 2\n# at the end\n");
}

TEST(Format, LineEndsAndBlanksAtThem) {
  EXPECT_EQ(formatted_text("\xEF\xBB\xBF"
                           "a: 1   \r\nb: two words  \r\n\r\n\r\n"),
            "a: 1\nb: two words\n");
}

TEST(Format, QuotesAndWaysToWriteStay) {
  const std::string text = "title: 'it''s: {here}'\nnote: \"a \\\" b\"\nlength: 4' 6\"\nyes: no\n";
  EXPECT_EQ(formatted_text(text), text);
}

TEST(Format, BracesOverSeveralLinesKeepTheirShape) {
  EXPECT_EQ(formatted_text("a:\n    b: {c: 1,\n        d: 2}\n    e: 3\n"),
            "a:\n  b: {c: 1,\n      d: 2}\n  e: 3\n");
}

TEST(Format, TextOfSeveralLinesStays) {
  EXPECT_EQ(formatted_text("a:\n    b: |\n        one\n\n          # two\n    c: 1\n"),
            "a:\n  b: |\n      one\n\n        # two\n  c: 1\n");
}

TEST(Format, WhatItCannotTellApartItLeaves) {
  EXPECT_EQ(formatted_text("a:\n  - - 1\n    - 2\n"), "");
}

TEST(Format, EveryExampleAndSchemaLayoutIsFormattedOnceAndForAll) {
  std::size_t count = 0;
  for (const char* folder : {"/examples", "/tests/schema/layouts", "/tests/regression/one_fault"}) {
    for (const auto& file :
         std::filesystem::directory_iterator(std::string(DUCTLEDGER_SOURCE_DIR) + folder)) {
      if (file.path().extension() != ".yaml") {
        continue;
      }
      std::ifstream in(file.path());
      const std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
      const std::string once = formatted_text(text);
      EXPECT_FALSE(once.empty()) << file.path();
      EXPECT_EQ(formatted_text(once), once) << file.path();
      ++count;
    }
  }
  EXPECT_GT(count, 40U);
}

}  // namespace
}  // namespace ductledger::yaml
