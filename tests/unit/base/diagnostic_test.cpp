#include "base/diagnostic.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "base/checked.hpp"

namespace ductledger::base {
namespace {

SourcePtr source_of(std::string text) {
  return std::make_shared<const SourceText>("kitchen.yaml", std::move(text));
}

Diagnostic unknown_type(const SourcePtr& source, const Span& span) {
  Diagnostic diagnostic;
  diagnostic.rule = "unknown-type";
  diagnostic.message = "no elbow is named `smoth-radius`";
  diagnostic.source = source;
  diagnostic.span = span;
  diagnostic.label = "not in the catalogue";
  diagnostic.help = "did you mean `smooth-radius`?";
  return diagnostic;
}

TEST(Render, ShowsHeadingPlaceLineCaretAndHelp) {
  std::string text(13, '\n');
  text += "    - elbow: {type: smoth-radius}\n";
  const SourcePtr source = source_of(text);
  const std::string expected =
      "error[unknown-type]: no elbow is named `smoth-radius`\n"
      "  --> kitchen.yaml:14:21\n"
      "14 |     - elbow: {type: smoth-radius}\n"
      "   |                     ^^^^^^^^^^^^ not in the catalogue\n"
      "help: did you mean `smooth-radius`?\n";
  EXPECT_EQ(render(unknown_type(source, source->span_at(13 + 20, 12))), expected);
}

TEST(Render, WidensTabsBeforeTheCaret) {
  const SourcePtr source = source_of("\ta\tb");
  EXPECT_EQ(render(unknown_type(source, source->span_at(3, 1))),
            "error[unknown-type]: no elbow is named `smoth-radius`\n"
            " --> kitchen.yaml:1:4\n"
            "1 |     a   b\n"
            "  |         ^ not in the catalogue\n"
            "help: did you mean `smooth-radius`?\n");
}

TEST(Render, EscapesControlCharactersOfTheUser) {
  const SourcePtr source = source_of("a\x1b[2J b");
  const std::string text = render(unknown_type(source, source->span_at(6, 1)));
  EXPECT_EQ(text.find('\x1b'), std::string::npos);
  EXPECT_NE(text.find("1 | a\\x1b[2J b\n  |          ^ not"), std::string::npos) << text;
}

TEST(Render, ShowsTwoPlacesInTheOrderOfTheFile) {
  const SourcePtr source = source_of("title: a\nx: 1\ny: 2\ntitle: b\n");
  Diagnostic diagnostic;
  diagnostic.rule = "duplicate-key";
  diagnostic.message = "the key `title` stands twice";
  diagnostic.source = source;
  diagnostic.span = source->span_at(19, 5);
  diagnostic.label = "again here";
  diagnostic.others.push_back({source->span_at(0, 5), "first here"});
  EXPECT_EQ(render(diagnostic),
            "error[duplicate-key]: the key `title` stands twice\n"
            " --> kitchen.yaml:4:1\n"
            "1 | title: a\n"
            "  | ----- first here\n"
            "...\n"
            "4 | title: b\n"
            "  | ^^^^^ again here\n");
}

TEST(Render, CutsLongLinesAroundTheCaret) {
  const SourcePtr source = source_of(std::string(5000, 'x') + "HERE" + std::string(5000, 'y'));
  const std::string text = render(unknown_type(source, source->span_at(5000, 4)));
  EXPECT_LT(text.size(), 500U);
  const std::size_t line = text.find("1 | ");
  const std::size_t caret = text.find("^^^^");
  ASSERT_NE(caret, std::string::npos);
  EXPECT_EQ(caret - (text.rfind('\n', caret) + 1), text.find("HERE") - line);
}

TEST(Render, WithoutAPlaceNamesTheFileAlone) {
  Diagnostic diagnostic;
  diagnostic.rule = "empty-file";
  diagnostic.message = "the file is empty";
  diagnostic.source = source_of("");
  EXPECT_EQ(render(diagnostic), "error[empty-file]: the file is empty\n  --> kitchen.yaml\n");
  diagnostic.source = nullptr;
  EXPECT_EQ(render(diagnostic), "error[empty-file]: the file is empty\n");
}

TEST(Render, ColourNeverCarriesMeaningAlone) {
  const SourcePtr source = source_of("abc");
  const Diagnostic diagnostic = unknown_type(source, source->span_at(0, 3));
  std::string text = render(diagnostic, Paint::colour);
  EXPECT_NE(text.find("\x1b["), std::string::npos);
  for (std::size_t at = text.find('\x1b'); at != std::string::npos; at = text.find('\x1b')) {
    text.erase(at, text.find('m', at) + 1 - at);
  }
  EXPECT_EQ(text, render(diagnostic));
}

TEST(SortByPlace, OrdersByLineThenColumnAndKeepsTheRest) {
  Diagnostics list(3);
  list[0].span = {.line = 2, .column = 5};
  list[1].span = {.line = 2, .column = 1};
  list[2].span = {.line = 1, .column = 9};
  sort_by_place(list);
  EXPECT_EQ(list[0].span.line, 1);
  EXPECT_EQ(list[1].span.column, 1);
  EXPECT_EQ(list[2].span.column, 5);
}

TEST(HasError, IgnoresWarnings) {
  Diagnostics list(1);
  list[0].severity = Severity::warning;
  EXPECT_FALSE(has_error(list));
  list.emplace_back();
  EXPECT_TRUE(has_error(list));
}

TEST(Checked, CarriesAValueOrItsErrors) {
  const auto twice = [](int v) { return 2 * v; };
  EXPECT_EQ(Checked<int>(21).transform(twice).value(), 42);
  const auto failed = Checked<int>(Diagnostic{}).transform(twice);
  EXPECT_FALSE(failed);
  EXPECT_EQ(failed.error().size(), 1U);
  EXPECT_THROW((void)failed.value(), LogicError);
  EXPECT_THROW((void)Checked<int>(Diagnostics{}), LogicError);
  const auto refuse = [](int) { return Checked<double>(Diagnostic{}); };
  EXPECT_FALSE(Checked<int>(1).and_then(refuse));
}

}  // namespace
}  // namespace ductledger::base
