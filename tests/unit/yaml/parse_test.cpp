#include "yaml/parse.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

namespace ductledger::yaml {
namespace {

base::SourcePtr source_of(std::string text) {
  return std::make_shared<const base::SourceText>("test.yaml", std::move(text));
}

Tree tree_of(std::string text) {
  auto tree = parse(source_of(std::move(text)));
  if (!tree) {
    throw std::runtime_error(base::render(tree.error()));
  }
  return *std::move(tree);
}

base::Diagnostics errors_of(std::string text, const Limits& limits = {}) {
  auto tree = parse(source_of(std::move(text)), limits);
  return tree ? base::Diagnostics{} : std::move(tree).error();
}

std::string rules_of(const base::Diagnostics& list) {
  std::string out;
  for (const base::Diagnostic& diagnostic : list) {
    out += diagnostic.rule + "@" + std::to_string(diagnostic.span.line) + ":" +
           std::to_string(diagnostic.span.column) + " ";
  }
  return out;
}

TEST(Parse, KeepsTextAndPlaceOfEveryScalar) {
  const Tree tree = tree_of("run:\n  pieces:\n    - straight: {length: 6' 6\", at: 'a'}\n");
  const Node* pieces = tree.root.find("run")->find("pieces");
  ASSERT_EQ(pieces->kind, NodeKind::sequence);
  const Entry& straight = pieces->items.at(0).entries.at(0);
  EXPECT_EQ(straight.key, "straight");
  EXPECT_EQ(straight.key_span.line, 3);
  EXPECT_EQ(straight.key_span.column, 7);
  EXPECT_EQ(straight.key_span.length, 8);
  const Node* length = straight.value.find("length");
  EXPECT_EQ(length->text, "6' 6\"");
  EXPECT_FALSE(length->quoted);
  EXPECT_EQ(length->span.column, 26);
  EXPECT_EQ(length->span.length, 5);
  EXPECT_TRUE(straight.value.find("at")->quoted);
  EXPECT_EQ(straight.value.find("at")->span.length, 3);
}

TEST(Parse, ScalarsStayTextWhateverTheyLookLike) {
  const Tree tree = tree_of("a: on\nb: 3\nc: 0x1F\nd: 1e3\ne: 12:30:00\nf: ~\nh: ''\ng:\n");
  for (const char* key : {"a", "b", "c", "d", "e"}) {
    EXPECT_EQ(tree.root.find(key)->kind, NodeKind::scalar) << key;
  }
  EXPECT_EQ(tree.root.find("b")->text, "3");
  EXPECT_EQ(tree.root.find("f")->kind, NodeKind::null);
  EXPECT_EQ(tree.root.find("h")->kind, NodeKind::scalar);
  EXPECT_EQ(tree.root.find("h")->text, "");
}

TEST(Parse, ColumnsAreTheSameWithMarkAndWindowsLines) {
  const std::string text = "ü: 1\nrun:\n  übung: {a: 1, ¼: 2}\n";
  std::string windows = "\xEF\xBB\xBF";
  for (const char c : text) {
    windows += c == '\n' ? "\r\n" : std::string(1, c);
  }
  const Tree plain = tree_of(text);
  const Tree marked = tree_of(windows);
  const Entry& a = plain.root.find("run")->entries.at(0);
  const Entry& b = marked.root.find("run")->entries.at(0);
  EXPECT_EQ(a.value.entries.at(1).key, "¼");
  EXPECT_EQ(a.value.entries.at(1).key_span.column, 17);
  EXPECT_EQ(b.value.entries.at(1).key_span.column, 17);
  EXPECT_EQ(b.value.entries.at(1).key_span.line, 3);
  EXPECT_EQ(a.value.entries.at(1).value.span.column, b.value.entries.at(1).value.span.column);
}

TEST(Parse, ARealCommentDoesNotWarn) {
  EXPECT_TRUE(tree_of("section: 8 in round   # the size\n").warnings.empty());
  EXPECT_TRUE(tree_of("section: 8 in round  ## the size\n").warnings.empty());
  EXPECT_TRUE(tree_of("section: 8#2\npieces: #none\n  - a\n#2\nx: \"a\" #2\ny: {a: b} #2\n")
                  .warnings.empty());
}

TEST(Parse, AHashThatCutsTextWarns) {
  const Tree tree = tree_of("a: 1\ntitle: Unit #2\nlist: [Unit #3\n  , b]\n");
  EXPECT_EQ(rules_of(tree.warnings), "comment-cuts-text@2:13 comment-cuts-text@3:13 ");
  EXPECT_EQ(tree.root.find("title")->text, "Unit");
}

TEST(Parse, WarningsStandBesideErrors) {
  EXPECT_EQ(rules_of(errors_of("title: Unit #2\na: 1\na: 2\n")),
            "comment-cuts-text@1:13 duplicate-key@3:1 ");
}

TEST(Parse, IndependentFaultsAreToldInOnePass) {
  EXPECT_EQ(rules_of(errors_of("a: {note: x, y}\n"
                               "b: {length:4 ft}\n"
                               "c: 1\n"
                               "c: 2\n"
                               "section:8 in round\n"
                               "d: &x 1\n")),
            "missing-value@1:14 missing-space@2:11 duplicate-key@4:1 missing-space@5:8 "
            "anchor@6:4 ");
}

TEST(Parse, OneCommaSlipIsOneFault) {
  EXPECT_EQ(errors_of("a: {airflow: 0, 250, 450, 600 cfm, pressure: 1 Pa}\n").size(), 1U);
  EXPECT_EQ(errors_of("a: {b: 0, 0, 0 cfm}\n").size(), 1U);  // though `0` then stands twice
}

TEST(Parse, ListsTakeCommas) {
  const Tree tree = tree_of("a: [0 cfm, 250 cfm]\nb: [x, {c: d}, [e]]\n");
  EXPECT_EQ(tree.root.find("a")->items.size(), 2U);
  EXPECT_EQ(tree.root.find("b")->items.size(), 3U);
}

TEST(Parse, AnEmptyValueIsLeftToTheReader) {
  const Tree tree = tree_of("pieces:\n  - fan:\n  - cap:\nhouse:\n  makeup:\n");
  EXPECT_EQ(tree.root.find("pieces")->items.at(0).find("fan")->kind, NodeKind::null);
}

TEST(Parse, DuplicatesShowBothPlaces) {
  const auto errors = errors_of("run: {heading: up, heading: left}\n");
  ASSERT_EQ(errors.size(), 1U);
  ASSERT_EQ(errors[0].others.size(), 1U);
  EXPECT_EQ(errors[0].others[0].span.column, 7);
  EXPECT_EQ(errors[0].span.column, 20);
}

TEST(Parse, TheSameKeyInTwoMappingsIsNoDuplicate) {
  EXPECT_TRUE(errors_of("a: {x: 1}\nb: {x: 1}\nc:\n  - x: 1\n  - x: 1\n").empty());
}

TEST(Parse, LimitsHold) {
  EXPECT_EQ(rules_of(errors_of("a: 1\nb: 2\n", {.bytes = 5})), "too-large@0:0 ");
  EXPECT_EQ(rules_of(errors_of("a: 1\nb: 2\n", {.nodes = 3})), "too-large@0:0 ");
  EXPECT_TRUE(errors_of("a: {b: {c: 1}}\n", {.depth = 3}).empty());
  EXPECT_EQ(rules_of(errors_of("a: {b: {c: 1}}\n", {.depth = 2})), "too-deep@1:8 ");
  EXPECT_EQ(rules_of(errors_of("a:\n  b:\n    c: 1\n", {.depth = 2})), "too-deep@3:5 ");
}

TEST(Parse, EmptyFilesSayJustThat) {
  for (const char* text : {"", "\n\n", "# a\n", "\xEF\xBB\xBF", "---\n", "~\n"}) {
    const auto errors = errors_of(text);
    ASSERT_EQ(errors.size(), 1U);
    EXPECT_EQ(errors[0].message, "the file is empty");
  }
}

// What the second look at the text must not take for a slip.
class Fine : public testing::TestWithParam<const char*> {};

TEST_P(Fine, ReadsWithoutAWord) {
  auto tree = parse(source_of(GetParam()));
  ASSERT_TRUE(tree) << base::render(tree.error());
  EXPECT_TRUE(tree->warnings.empty()) << base::render(tree->warnings);
}

INSTANTIATE_TEST_SUITE_P(All,
                         Fine,
                         testing::Values("title: a, b\n",
                                         "note: 10:30 at the site\n",
                                         "note: see https://example.org/a:b\n",
                                         "- https://example.org\n- a\n",
                                         "a: {at: 10:30, b: c}\n",
                                         "a: {note: \"x, y\", b: 'z: w'}\n",
                                         "a: {b: {}, c: []}\n",
                                         "a: {b: 1, }\n",
                                         "a: {\n  b: 1,\n  c: 2\n}\n",
                                         "a: [\n  1,\n  2\n]\n",
                                         "a: |\n  x:y\n  - z\n  t #2\nb: 1\n",
                                         "a: >\n\n  x:y\n\nb: 1\n",
                                         "- |\n  x:y\n- b\n",
                                         "a: x\n  y:z\n",
                                         "a: 'it''s'\nb: \"q\\\"q\"\n",
                                         "a: \"one\n  two: three\"\nb: 1\n",
                                         "a: it's 6\" wide\n",
                                         "a:\n- b\n- c:\n    d: 1\ne: 1\n",
                                         "a:\n  - - 1\n    - 2\n  -\n    b: 1\n",
                                         "? a\n: b\n",
                                         "\"a\": 1\n'b': 2\n",
                                         "{\"a\":1,\"b\":{\"c\":2}}\n",
                                         "a:    # note\n  b: 1\n\n  # more\n\n  c: 1\n",
                                         "a: -1\nb: -x\n",
                                         "a b: 1\nc-d_e: 2\n",
                                         "a: b\n...\n",
                                         "--- \na: 1\n"));

}  // namespace
}  // namespace ductledger::yaml
