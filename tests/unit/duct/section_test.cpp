#include "duct/section.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "base/expects.hpp"

namespace ductledger::duct {
namespace {

using std::numbers::pi;

TEST(Section, RoundIsItsOwnEquivalent) {
  const Section section = Section::round(units::metres(0.2));
  EXPECT_EQ(section.shape(), Shape::round);
  EXPECT_EQ(section.equivalent_diameter_m(), 0.2);
  EXPECT_DOUBLE_EQ(section.hydraulic_diameter_m(), 0.2);
  EXPECT_DOUBLE_EQ(section.area_m2(), pi * 0.01);
}

TEST(Section, RectangularHasItsTrueAreaAndPerimeter) {
  const Section section = Section::rectangular(units::metres(0.25), units::metres(0.08));
  EXPECT_DOUBLE_EQ(section.area_m2(), 0.02);
  EXPECT_DOUBLE_EQ(section.perimeter_m(), 0.66);
  EXPECT_DOUBLE_EQ(section.hydraulic_diameter_m(), 2.0 * 0.25 * 0.08 / 0.33);
}

TEST(Section, RectangularEquivalentIgnoresWhichSideIsWhich) {
  const Section flat = Section::rectangular(units::inches(10.0), units::inches(3.25));
  const Section tall = Section::rectangular(units::inches(3.25), units::inches(10.0));
  EXPECT_DOUBLE_EQ(flat.equivalent_diameter_m(), tall.equivalent_diameter_m());
  EXPECT_NE(flat, tall);
}

TEST(Section, OvalOfEqualAxesIsRound) {
  const Section oval = Section::flat_oval(units::metres(0.2), units::metres(0.2));
  EXPECT_DOUBLE_EQ(oval.area_m2(), pi * 0.01);
  EXPECT_DOUBLE_EQ(oval.perimeter_m(), pi * 0.2);
  // 1.55 (pi/4)^0.625 / pi^0.25 = 1.001: the correlation is a fit, not an identity.
  EXPECT_NEAR(oval.equivalent_diameter_m(), 0.2, 0.2 * 0.002);
}

TEST(Section, OvalIsACircleAndARectangle) {
  const Section oval = Section::flat_oval(units::metres(0.30), units::metres(0.15));
  EXPECT_DOUBLE_EQ(oval.area_m2(), pi / 4.0 * 0.15 * 0.15 + 0.15 * 0.15);
  EXPECT_DOUBLE_EQ(oval.perimeter_m(), pi * 0.15 + 0.30);
}

TEST(Section, BrokenContractIsSaid) {
  EXPECT_THROW((void)Section::round(units::metres(0.0)), base::LogicError);
  EXPECT_THROW((void)Section::round(units::metres(std::nan(""))), base::LogicError);
  EXPECT_THROW((void)Section::rectangular(units::metres(0.1), units::metres(-0.1)),
               base::LogicError);
  EXPECT_THROW((void)Section::flat_oval(units::metres(0.1), units::metres(0.2)), base::LogicError);
}

}  // namespace
}  // namespace ductledger::duct
