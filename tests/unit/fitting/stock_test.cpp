#include "fitting/stock.hpp"

#include <gtest/gtest.h>

namespace ductledger::fitting {
namespace {

using duct::Section;
using units::inches;

TEST(Stock, the_next_size_up) {
  EXPECT_EQ(next_stock_size(Section::round(inches(6.0))), Section::round(inches(7.0)));
  EXPECT_EQ(next_stock_size(Section::round(inches(8.0))), Section::round(inches(10.0)));
  EXPECT_EQ(next_stock_size(Section::round(units::metres(0.150))), Section::round(inches(6.0)));
  EXPECT_FALSE(next_stock_size(Section::round(inches(20.0))));
  EXPECT_EQ(next_stock_size(Section::rectangular(inches(10.0), inches(3.25))),
            Section::rectangular(inches(12.0), inches(3.25)));
  EXPECT_EQ(next_stock_size(Section::rectangular(inches(3.25), inches(10.0))),
            Section::rectangular(inches(3.25), inches(12.0)));
}

TEST(Stock, sizes_ascend_and_hold_what_the_trade_stocks) {
  for (const duct::Shape shape :
       {duct::Shape::round, duct::Shape::rectangular, duct::Shape::flat_oval}) {
    const auto& sizes = stock_sizes(shape);
    ASSERT_GT(sizes.size(), 3U);
    for (std::size_t i = 1; i < sizes.size(); ++i) {
      EXPECT_GT(sizes[i].area_m2(), sizes[i - 1].area_m2() - 1e-9);
    }
  }
  EXPECT_EQ(stock_sizes(duct::Shape::round).front(), Section::round(inches(3.0)));
  EXPECT_EQ(stock_sizes(duct::Shape::round).back(), Section::round(inches(20.0)));
}

TEST(Stock, an_oval_keeps_the_perimeter_of_the_round_it_was) {
  const auto& ovals = stock_sizes(duct::Shape::flat_oval);
  const double nominal[] = {4.0, 5.0, 6.0, 7.0, 8.0};
  ASSERT_EQ(ovals.size(), 5U);
  for (std::size_t i = 0; i < ovals.size(); ++i) {
    const double round_m = 3.14159265358979 * nominal[i] * 0.0254;
    EXPECT_NEAR(ovals[i].perimeter_m(), round_m, 2.0 * 0.125 * 0.0254) << nominal[i];
  }
}

}  // namespace
}  // namespace ductledger::fitting
