#include "sheet/dimensions.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace ductledger::sheet {
namespace {

TEST(Dimensions, texts_stand_where_they_belong_or_as_near_as_there_is_room) {
  EXPECT_EQ(spread({}, 2.0), (std::vector<double>{}));
  EXPECT_EQ(spread({0.0, 5.0, 9.0}, 2.0), (std::vector<double>{0.0, 5.0, 9.0}));
  EXPECT_EQ(spread({0.0, 0.0, 9.0}, 2.0), (std::vector<double>{-1.0, 1.0, 9.0}));
  // The third is pushed by the first two, and pushes them.
  EXPECT_EQ(spread({0.0, 0.0, 1.5}, 2.0), (std::vector<double>{-1.5, 0.5, 2.5}));
}

TEST(Dimensions, run_from_a_ring_at_the_datum) {
  Drawing drawing;
  drawing.scale = 10.0;
  add_dimensions(drawing,
                 {.side = Side::left, .at_m = -2.0, .edge_m = -0.3},
                 {{{0.0, 0.0}, "2 m collar"}, {{-0.3, -2.0}, "0 floor"}, {{0.2, 0.01}, "2.01 m"}});
  ASSERT_EQ(drawing.circles.size(), 1U);
  EXPECT_DOUBLE_EQ(drawing.circles.front().center.y, -2.0);
  ASSERT_EQ(drawing.texts.size(), 3U);
  EXPECT_EQ(drawing.texts.front().text, "0 floor");
  // 10 mm of the building are 1 mm of paper: less than a text's height.
  EXPECT_GT(drawing.texts[2].at.y - drawing.texts[1].at.y, drawing.paper_m(2.2));
  for (const Text& text : drawing.texts) {
    EXPECT_LT(text.at.x, -0.3);
  }
}

TEST(Dimensions, step_down_below_a_view) {
  Drawing drawing;
  drawing.scale = 10.0;
  add_dimensions(drawing,
                 {.side = Side::below, .at_m = 0.0, .edge_m = -1.0},
                 {{{0.0, -1.0}, "0"}, {{1.5, 0.0}, "1.5 m cap 4"}});
  ASSERT_EQ(drawing.texts.size(), 2U);
  EXPECT_LT(drawing.texts[0].at.y, drawing.texts[1].at.y - drawing.paper_m(2.2));
  EXPECT_LT(drawing.texts[1].at.y, -1.0);
}

TEST(Dimensions, leave_a_gap_where_the_view_is_broken) {
  Drawing drawing;
  drawing.scale = 10.0;
  add_dimensions(drawing,
                 {.side = Side::below, .at_m = 0.0, .edge_m = -1.0, .gaps = {{{0.5, 0.52}}}},
                 {{{0.0, -1.0}, "0"}, {{1.5, -1.0}, "9 m cap 4"}});
  double along_m = 0.0;
  for (const Line& line : drawing.lines) {
    if (line.points.front().y == line.points.back().y) {
      along_m += std::abs(line.points.back().x - line.points.front().x);
    }
  }
  EXPECT_NEAR(along_m, 1.5 - 0.02, 1e-12);
}

}  // namespace
}  // namespace ductledger::sheet
