#include "fitting/stock.hpp"

#include <gtest/gtest.h>

namespace ductledger::fitting {
namespace {

using duct::Section;
using units::inches;

TEST(Stock, the_next_size_up) {
  EXPECT_EQ(next_stock_size(Section::round(inches(6.0)), Series::inch),
            Section::round(inches(7.0)));
  EXPECT_EQ(next_stock_size(Section::round(inches(8.0)), Series::inch),
            Section::round(inches(10.0)));
  EXPECT_EQ(next_stock_size(Section::round(units::metres(0.150)), Series::inch),
            Section::round(inches(6.0)));
  EXPECT_EQ(next_stock_size(Section::round(inches(6.0)), Series::metric),
            Section::round(units::metres(0.160)));
  EXPECT_FALSE(next_stock_size(Section::round(inches(20.0)), Series::inch));
  EXPECT_EQ(next_stock_size(Section::rectangular(inches(10.0), inches(3.25)), Series::inch),
            Section::rectangular(inches(12.0), inches(3.25)));
  EXPECT_EQ(next_stock_size(Section::rectangular(inches(3.25), inches(10.0)), Series::inch),
            Section::rectangular(inches(3.25), inches(12.0)));
}

TEST(Stock, sizes_ascend_and_hold_what_the_trade_stocks) {
  for (const duct::Shape shape :
       {duct::Shape::round, duct::Shape::rectangular, duct::Shape::flat_oval}) {
    for (const Series series : {Series::inch, Series::metric}) {
      const auto& sizes = stock_sizes(shape, series);
      ASSERT_GT(sizes.size(), 3U);
      for (std::size_t i = 1; i < sizes.size(); ++i) {
        EXPECT_GT(sizes[i].area_m2(), sizes[i - 1].area_m2() - 1e-9);
      }
    }
  }
  EXPECT_EQ(stock_sizes(duct::Shape::round, Series::inch).front(), Section::round(inches(3.0)));
  EXPECT_EQ(stock_sizes(duct::Shape::round, Series::inch).back(), Section::round(inches(20.0)));
}

TEST(Stock, an_oval_keeps_the_perimeter_of_the_round_it_was) {
  const auto keeps = [](Series series, std::vector<double> nominal_m, double step_m) {
    const auto& ovals = stock_sizes(duct::Shape::flat_oval, series);
    ASSERT_EQ(ovals.size(), nominal_m.size());
    for (std::size_t i = 0; i < ovals.size(); ++i) {
      const double round_m = 3.14159265358979 * nominal_m[i];
      EXPECT_NEAR(ovals[i].perimeter_m(), round_m, 2.0 * step_m) << nominal_m[i];
    }
  };
  keeps(Series::inch, {0.1016, 0.127, 0.1524, 0.1778, 0.2032}, 0.125 * 0.0254);
  keeps(Series::metric, {0.1, 0.125, 0.16, 0.2}, 0.005);
}

}  // namespace
}  // namespace ductledger::fitting
