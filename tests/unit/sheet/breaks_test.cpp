#include "sheet/breaks.hpp"

#include <gtest/gtest.h>

namespace ductledger::sheet {
namespace {

TEST(Breaks, pull_what_lies_beyond_to_the_collar_from_both_sides) {
  Breaks breaks;
  EXPECT_TRUE(breaks.empty());
  breaks.add(0, {.from_m = 1.0, .to_m = 5.0, .gap_m = 0.5});
  breaks.add(0, {.from_m = -9.0, .to_m = -2.0, .gap_m = 1.0});
  EXPECT_FALSE(breaks.empty());
  EXPECT_DOUBLE_EQ(breaks.drawn(0, 0.0), 0.0);
  EXPECT_DOUBLE_EQ(breaks.drawn(0, 1.0), 1.0);
  EXPECT_DOUBLE_EQ(breaks.drawn(0, 5.0), 1.5);
  EXPECT_DOUBLE_EQ(breaks.drawn(0, 7.0), 3.5);
  EXPECT_DOUBLE_EQ(breaks.drawn(0, -2.0), -2.0);
  EXPECT_DOUBLE_EQ(breaks.drawn(0, -9.0), -3.0);
  EXPECT_DOUBLE_EQ(breaks.drawn(1, 7.0), 7.0);
  ASSERT_EQ(breaks.along(0).size(), 2U);
  EXPECT_LT(breaks.along(0)[0].from_m, breaks.along(0)[1].from_m);
}

TEST(Breaks, lie_between_what_stays_whole) {
  EXPECT_TRUE(free_between({}, 1.0).empty());
  const auto found = free_between({{9.0, 9.0}, {0.0, 2.0}, {1.0, 3.0}, {9.5, 12.0}}, 1.0);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_DOUBLE_EQ(found.front().from_m, 4.0);
  EXPECT_DOUBLE_EQ(found.front().to_m, 8.0);
}

}  // namespace
}  // namespace ductledger::sheet
