#include "base/wrap.hpp"

#include <gtest/gtest.h>

namespace ductledger::base {
namespace {

TEST(Wrapped, BreaksBetweenWordsAndHangs) {
  EXPECT_EQ(wrapped("four  cuts of duct", {.first = 0, .others = 2, .width = 9}),
            "four cuts\n  of duct");
  EXPECT_EQ(wrapped("four cuts", {.first = 5, .others = 0, .width = 9}), "four\ncuts");
}

TEST(Wrapped, ALongWordStandsAlone) {
  EXPECT_EQ(wrapped("a longest-of-all word", {.first = 0, .others = 0, .width = 6}),
            "a\nlongest-of-all\nword");
}

TEST(Wrapped, WhatColorsATerminalTakesNoRoom) {
  EXPECT_EQ(wrapped("\x1b[1mfour\x1b[0m cuts", {.first = 0, .others = 0, .width = 9}),
            "\x1b[1mfour\x1b[0m cuts");
  EXPECT_EQ(wrapped("an \x1b", {.first = 0, .others = 0, .width = 80}), "an \x1b");
}

}  // namespace
}  // namespace ductledger::base
