#include "base/source.hpp"

#include <gtest/gtest.h>

namespace ductledger::base {
namespace {

TEST(SourceText, LinesEndAtEveryKindOfBreak) {
  const SourceText source("a", "one\ntwo\r\nthree\rfour");
  ASSERT_EQ(source.line_count(), 4);
  EXPECT_EQ(source.line(1), "one");
  EXPECT_EQ(source.line(2), "two");
  EXPECT_EQ(source.line(3), "three");
  EXPECT_EQ(source.line(4), "four");
  EXPECT_EQ(source.line(0), "");
  EXPECT_EQ(source.line(5), "");
}

TEST(SourceText, ColumnsCountCharacters) {
  const SourceText source("a", "x\n3¼ in");
  const Span span = source.span_at(5, 3);  // the blank behind the fraction
  EXPECT_EQ(span.line, 2);
  EXPECT_EQ(span.column, 3);
  EXPECT_EQ(span.length, 3);
}

TEST(SourceText, AByteOrderMarkIsNoColumn) {
  const SourceText source("a", "\xEF\xBB\xBFlayout: 1");
  EXPECT_EQ(source.line(1), "layout: 1");
  EXPECT_EQ(source.span_at(3, 6).column, 1);
  EXPECT_EQ(source.span_at(0, 0).column, 1);
}

TEST(SourceText, PlacesBeyondTheEndAreTheEnd) {
  const SourceText source("a", "ab");
  const Span span = source.span_at(100, 100);
  EXPECT_EQ(span.line, 1);
  EXPECT_EQ(span.column, 3);
  EXPECT_EQ(span.length, 1);
}

TEST(SourceText, AnEmptyTextHasOneEmptyLine) {
  const SourceText source("a", "");
  EXPECT_EQ(source.line_count(), 1);
  EXPECT_EQ(source.line(1), "");
  EXPECT_EQ(source.span_at(0, 0).line, 1);
}

}  // namespace
}  // namespace ductledger::base
