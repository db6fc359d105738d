#include <gtest/gtest.h>

#include "network/network.hpp"
#include "support/allocations.hpp"

namespace ductledger::network {
namespace {

TEST(NetworkSolver, SolvingAllocatesNothing) {
  const auto square = [](double pa_s2_m6) {
    solve::PieceLoss piece;
    piece.square_pa_s2_m6 = pa_s2_m6;
    return solve::RunLoss({}, {piece});
  };
  Network net;
  net.legs.resize(3);
  net.legs[1].one_way = true;
  net.legs[2].junction = 0;
  net.losses = {square(1e4), square(3e4), square(2e3)};
  Junction junction;
  junction.straight = 0;
  junction.branch = 1;
  junction.combined = 2;
  junction.law = JunctionLaw::converging;
  junction.angle = fitting::junction_angle(0.8);
  junction.area_ratio = 0.5;
  junction.dynamic_pa_s2_m6 = 500.0;
  net.junctions = {junction};
  const std::vector<fan::FanPoint> points{{0.0, 200.0}, {0.1, 150.0}, {0.3, 0.0}};
  auto curve = fan::FanCurve::from_points(points, fan::CurveShape::points);
  const solve::FanAtSpeed fan{std::get<fan::FanCurve>(std::move(curve)), 0.0, true};
  Solver solver(net);
  const MainFan main(solver, 2);
  const solve::Demand demand = main.demand();
  const long before = support::allocations;
  const solve::OperatingPoint point = solve::operating_point(demand, fan);
  EXPECT_EQ(support::allocations - before, 0);
  EXPECT_EQ(point.status, solve::Status::found);
  EXPECT_TRUE(main.all_solved());
}

}  // namespace
}  // namespace ductledger::network
