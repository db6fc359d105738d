#include <gtest/gtest.h>

#include <cmath>

#include "fitting/catalogue.hpp"

namespace ductledger::fitting {
namespace {

TEST(ReynoldsFactor, IsOneWhenNothingIsSaid) {
  const ReynoldsFactor factor;
  EXPECT_TRUE(factor.is_constant());
  EXPECT_EQ(factor.at(1.0), 1.0);
  EXPECT_EQ(factor.at(1e9), 1.0);
}

TEST(ReynoldsFactor, IsStraightBetweenNodesAndKeepsItsEdges) {
  const auto factor = ReynoldsFactor::table({{1e4, 1.4}, {2e4, 1.2}, {4e4, 1.0}});
  EXPECT_DOUBLE_EQ(factor.at(1e4), 1.4);
  EXPECT_DOUBLE_EQ(factor.at(1.5e4), 1.3);
  EXPECT_DOUBLE_EQ(factor.at(3e4), 1.1);
  EXPECT_DOUBLE_EQ(factor.at(10.0), 1.4);
  EXPECT_DOUBLE_EQ(factor.at(1e7), 1.0);
  EXPECT_EQ(factor.lowest(), 1e4);
  EXPECT_EQ(factor.highest(), 4e4);
}

TEST(ReynoldsFactor, MayStayConstantBeyondItsTable) {
  const auto factor =
      ReynoldsFactor::table({{1e4, 1.4}, {4e4, 1.0}}, ReynoldsFactor::Beyond::constant);
  EXPECT_GT(factor.highest(), 1e100);
}

TEST(ReynoldsFactor, LawsHaveNoJump) {
  using Law = ReynoldsFactor::Law;
  for (const Law law : {Law::bend_sharp, Law::bend_tight, Law::bend_smooth}) {
    const auto factor = ReynoldsFactor::law(law);
    double before = factor.at(1e4);
    for (double re = 1e4; re < 1e6; re *= 1.001) {
      const double now = factor.at(re);
      EXPECT_LE(now, before + 1e-12);  // falls with Re
      EXPECT_NEAR(now, before, 2e-3);  // by small steps
      EXPECT_GE(now, 1.0);
      before = now;
    }
    EXPECT_EQ(factor.lowest(), 4e4);
  }
}

TEST(ReynoldsFactor, LossStillRisesWithAirflow) {
  using Law = ReynoldsFactor::Law;
  for (const Law law : {Law::bend_sharp, Law::bend_tight, Law::bend_smooth}) {
    const auto factor = ReynoldsFactor::law(law);
    double before = 0.0;
    for (double re = 1e3; re < 1e6; re *= 1.01) {
      const double loss = factor.at(re) * re * re;
      EXPECT_GT(loss, before);
      before = loss;
    }
  }
}

}  // namespace
}  // namespace ductledger::fitting
