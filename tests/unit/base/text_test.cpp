#include "base/text.hpp"

#include <gtest/gtest.h>

#include <array>
#include <string>

namespace ductledger::base {
namespace {

TEST(CharacterCount, CountsCodePointsNotBytes) {
  EXPECT_EQ(character_count(""), 0U);
  EXPECT_EQ(character_count("8 in"), 4U);
  EXPECT_EQ(character_count("3¼ in"), 5U);
  EXPECT_EQ(character_count("\U0001F525x"), 2U);
}

TEST(FirstInvalidUtf8, AcceptsEveryLengthOfSequence) {
  EXPECT_FALSE(first_invalid_utf8("a¼→\U0001F525"));
}

TEST(FirstInvalidUtf8, NamesTheFirstWrongByte) {
  const auto at = [](std::string_view text) { return first_invalid_utf8(text).value_or(999); };
  EXPECT_EQ(at("ab\xE9"), 2U);            // Latin-1
  EXPECT_EQ(at("a\xC0\xAF"), 1U);         // overlong
  EXPECT_EQ(at("\xED\xA0\x80"), 0U);      // surrogate
  EXPECT_EQ(at("abc\xE2\x82"), 3U);       // cut off
  EXPECT_EQ(at("\xF4\x90\x80\x80"), 0U);  // beyond U+10FFFF
  EXPECT_EQ(at("\x80"), 0U);              // continuation alone
  EXPECT_EQ(at("\xFF\xFE"), 0U);          // UTF-16 mark
}

TEST(Escaped, ShowsWhatWouldDisturbATerminal) {
  EXPECT_EQ(escaped("a\nb\tc\rd"), "a\\nb\\tc\\rd");
  EXPECT_EQ(escaped("\x1b[31m"), "\\x1b[31m");
  EXPECT_EQ(escaped(std::string_view("\0", 1)), "\\x00");
  EXPECT_EQ(escaped("\u202E"), "\\u202e");
  EXPECT_EQ(escaped("\u0085"), "\\u0085");
  EXPECT_EQ(escaped("\xE9"), "\\xe9");
  EXPECT_EQ(escaped("3¼ in"), "3¼ in");
}

TEST(Escaped, TwiceIsOnce) {
  const std::string once = escaped("a\x01\xFF\u202E\\");
  EXPECT_EQ(escaped(once), once);
}

TEST(Shown, CutsLongTextAtACharacter) {
  std::string text;
  for (int i = 0; i < 100; ++i) {
    text += "ü";
  }
  const std::string shown_text = shown(text);
  EXPECT_EQ(character_count(shown_text), 60U + 5U);  // backticks and `...`
  EXPECT_FALSE(first_invalid_utf8(shown_text));
}

const std::array<std::string, 5> kTypes{
    "smooth-radius", "gored-3", "mitered", "mitered-vaned", "conical-rain-cap"};

TEST(Nearest, FindsAMisspelling) {
  EXPECT_EQ(nearest("smoth-radius", kTypes), "smooth-radius");
  EXPECT_EQ(nearest("Smooth_Radius", kTypes), "smooth-radius");
  EXPECT_EQ(nearest("mitred", kTypes), "mitered");
  EXPECT_EQ(nearest("gored3", kTypes), "gored-3");
}

TEST(Nearest, FindsTheStem) {
  const std::vector<std::string> keys{"name", "curve", "rated", "speed_ratio", "locked_out"};
  EXPECT_EQ(nearest("rating", keys), "rated");
  EXPECT_EQ(nearest("ratings", keys), "rated");
  EXPECT_FALSE(nearest("rooms", keys));
}

TEST(Nearest, FindsAPartOfALongName) { EXPECT_EQ(nearest("rain-cap", kTypes), "conical-rain-cap"); }

TEST(Nearest, ASwapOfNeighboursIsOneSlip) {
  const std::array<std::string, 2> units{"cfm", "fpm"};
  EXPECT_EQ(nearest("cmf", units), "cfm");
}

TEST(Nearest, NamesNothingWhenNothingIsNear) {
  EXPECT_FALSE(nearest("banana", kTypes));
  EXPECT_FALSE(nearest("", kTypes));
  EXPECT_FALSE(nearest("x", kTypes));
  EXPECT_FALSE(nearest(std::string(10'000, 'a'), kTypes));
  const std::array<std::string, 1> one{"m"};
  EXPECT_FALSE(nearest("k", one));
}

TEST(Joined, ReadsAsASentence) {
  const std::array<std::string, 3> words{"in", "ft", "mm"};
  EXPECT_EQ(joined(words), "in, ft or mm");
  EXPECT_EQ(joined(std::span(words).first(2), "and"), "in and ft");
  EXPECT_EQ(joined(std::span(words).first(1)), "in");
  EXPECT_EQ(joined(std::span(words).first(0)), "");
}

TEST(CanonicalWord, ForgivesCaseUnderscoresAndSpaces) {
  EXPECT_EQ(canonical_word("  Wall_Hood flap "), "wall-hood-flap");
}

}  // namespace
}  // namespace ductledger::base
