#include "layout/spoken_speed.hpp"

#include <gtest/gtest.h>

namespace ductledger::layout {
namespace {

TEST(SpokenSpeed, reads_as_part_of_a_sentence_whatever_the_file_calls_it) {
  EXPECT_EQ(spoken_speed("high"), "high speed");
  EXPECT_EQ(spoken_speed("Boost"), "Boost speed");
  EXPECT_EQ(spoken_speed("medium-high"), "medium-high speed");
  EXPECT_EQ(spoken_speed("3"), "speed 3");
  EXPECT_EQ(spoken_speed("III."), "speed III.");
  EXPECT_EQ(spoken_speed("a"), "speed a");
  EXPECT_EQ(spoken_speed("on"), "speed on");
  EXPECT_EQ(spoken_speed("night mode"), "speed night mode");
  EXPECT_EQ(spoken_speed("speed 3"), "speed 3");
  EXPECT_EQ(spoken_speed("Speed_2"), "Speed_2");
}

}  // namespace
}  // namespace ductledger::layout
