#include "text/table.hpp"

#include <gtest/gtest.h>

#include "base/text.hpp"

namespace ductledger::text {
namespace {

TEST(Wrapped, hangs_the_lines_that_follow) {
  EXPECT_EQ("one two\n   three\n   four", text::wrapped("one two three four", {0, 3, 8}));
}

TEST(Wrapped, counts_what_stands_on_the_first_line) {
  EXPECT_EQ("one\n two", text::wrapped("one two", {4, 1, 8}));
}

TEST(Wrapped, counts_characters_and_not_bytes) {
  EXPECT_EQ("\u00e4\u00e4\u00e4 \u00e4\u00e4\u00e4\nx",
            text::wrapped("\u00e4\u00e4\u00e4 \u00e4\u00e4\u00e4 x", {0, 0, 7}));
}

TEST(Wrapped, leaves_a_word_longer_than_the_line_whole) {
  EXPECT_EQ("a\nbbbbbbbbbb\nc", text::wrapped("a bbbbbbbbbb c", {0, 0, 5}));
}

TEST(Shortened, shows_the_cut) {
  EXPECT_EQ("abcd", text::shortened("abcd", 4));
  EXPECT_EQ("a...", text::shortened("abcde", 4));
  EXPECT_EQ("\u00e4...", text::shortened("\u00e4\u00e4\u00e4\u00e4\u00e4", 4));
}

text::Table three_columns() {
  text::Table table({{"name", "", text::Align::left},
                     {"spare", "", text::Align::right, 1},
                     {"value", "Pa", text::Align::right}});
  table.row({"straight", "12345", "1.5"});
  return table;
}

TEST(Table, aligns_and_separates_by_two_spaces) {
  EXPECT_EQ(
      "name      spare  value\n"
      "                    Pa\n"
      "straight  12345    1.5\n",
      three_columns().text({0, 0, 80}));
}

TEST(Table, narrows_its_gaps_before_it_drops_a_column) {
  EXPECT_EQ(
      "name     spare value\n"
      "                  Pa\n"
      "straight 12345   1.5\n",
      three_columns().text({0, 0, 20}));
}

TEST(Table, drops_what_is_dispensable) {
  EXPECT_EQ(
      "name     value\n"
      "            Pa\n"
      "straight   1.5\n",
      three_columns().text({0, 0, 19}));
}

TEST(Table, cuts_the_first_text_last) {
  EXPECT_EQ(
      "name    value\n"
      "           Pa\n"
      "stra...   1.5\n",
      three_columns().text({0, 0, 13}));
}

TEST(Table, writes_a_strong_row_heavier) {
  text::Table table({{"name", "", text::Align::left}, {"value", "", text::Align::right}});
  table.row({"one", "1"});
  table.strong_row({"two", "2"});
  EXPECT_EQ("name value\none      1\n*two      2*\n",
            table.text({0, 0, 10}, [](const std::string& line) { return '*' + line + '*'; }));
  EXPECT_EQ("name  value\none       1\ntwo       2\n", table.text({0, 0, 80}));
}

TEST(Table, is_a_list_where_no_column_can_be_cut) {
  EXPECT_EQ("straight:\n  spare\n  12345,\n  value Pa\n  1.5\n", three_columns().text({0, 0, 11}));
}

TEST(Table, sets_headings_under_the_second_column) {
  text::Table table({{"#", "", text::Align::right}, {"piece", "", text::Align::left}});
  table.heading("8 in round");
  table.row({"1", "straight"});
  EXPECT_EQ(
      "  #  piece\n"
      "     8 in round\n"
      "  1  straight\n",
      table.text({0, 2, 80}));
}

}  // namespace
}  // namespace ductledger::text
