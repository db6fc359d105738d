#include "network/network.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

// Laws that any network holds, on invented ones: mass at each junction, energy along each path,
// agreement with a single run where nothing joins.
namespace ductledger::network {
namespace {

solve::FanAtSpeed fan_of(std::vector<fan::FanPoint> points) {
  auto made = fan::FanCurve::from_points(points, fan::CurveShape::parabola);
  solve::FanAtSpeed fan{std::get<fan::FanCurve>(std::move(made)), 0.0, true};
  for (std::size_t i = 0; i < fan.curve.segment_count(); ++i) {
    fan.falls_throughout = fan.falls_throughout && fan.curve.falls_in_segment(i);
  }
  return fan;
}

solve::RunLoss square_law(double pa_s2_m6) {
  solve::PieceLoss piece;
  piece.square_pa_s2_m6 = pa_s2_m6;
  return solve::RunLoss({}, {piece});
}

/// Friction and a coefficient, as of a duct.
solve::RunLoss duct_law(double length_m, double diameter_m, double coefficient) {
  const double area = std::acos(-1.0) / 4.0 * diameter_m * diameter_m;
  const double dynamic = 0.6 / (area * area);
  solve::FrictionGroup group;
  group.reynolds_s_m3 = 1.2 * diameter_m / (area * 1.8e-5);
  group.relative_roughness = 9e-5 / diameter_m;
  group.dynamic_pa_s2_m6 = dynamic;
  group.ratio = length_m / diameter_m;
  solve::PieceLoss piece;
  piece.square_pa_s2_m6 = coefficient * dynamic;
  piece.friction_group = 0;
  piece.friction_ratio = group.ratio;
  return solve::RunLoss({group}, {piece});
}

/// A random tree: each time two of the open legs are joined by a new one.
Network random_tree(std::mt19937_64& engine, std::size_t inlets) {
  std::uniform_real_distribution<double> draw(0.0, 1.0);
  Network net;
  std::vector<std::size_t> open;
  const auto add = [&](std::size_t junction, double diameter_m) {
    net.legs.push_back({.junction = junction, .usual_m3_s = 3.0 * 0.785 * diameter_m * diameter_m});
    net.losses.push_back(duct_law(1.0 + 9.0 * draw(engine), diameter_m, 2.0 * draw(engine)));
    return net.legs.size() - 1;
  };
  for (std::size_t i = 0; i < inlets; ++i) {
    open.push_back(add(kNone, 0.1 + 0.05 * draw(engine)));
    if (draw(engine) < 0.3) {
      net.legs.back().fan = net.fans.size();
      net.fans.push_back(fan_of({{0.0, 60.0 + 60.0 * draw(engine)}, {0.1, 40.0}, {0.15, 0.0}}));
    }
  }
  while (open.size() > 1) {
    const auto take = [&] {
      const auto at = static_cast<std::size_t>(draw(engine) * static_cast<double>(open.size()));
      const std::size_t leg = open[at];
      open.erase(open.begin() + static_cast<std::ptrdiff_t>(at));
      return leg;
    };
    const std::size_t straight = take();
    const std::size_t branch = take();
    const double diameter_m = 0.18 + 0.1 * draw(engine);
    const double area = 0.785 * diameter_m * diameter_m;
    const std::size_t index = net.junctions.size();
    net.junctions.push_back(
        {.straight = straight,
         .branch = branch,
         .law = draw(engine) < 0.5 ? JunctionLaw::converging : JunctionLaw::stated,
         .straight_coefficient = 0.3 * draw(engine),
         .branch_coefficient = draw(engine) - 0.3,
         .angle = fitting::junction_angle(0.785),
         .area_ratio = 0.2 + 0.6 * draw(engine),
         .dynamic_pa_s2_m6 = 0.6 / (area * area)});
    const std::size_t combined = add(index, diameter_m);
    net.junctions.back().combined = combined;
    open.push_back(combined);
  }
  net.legs.back().fan = net.fans.size();
  net.fans.push_back(fan_of({{0.0, 300.0}, {0.3, 250.0}, {0.6, 150.0}, {0.9, 0.0}}));
  return net;
}

TEST(Network, RandomTreesKeepMassAtEachJunctionAndEnergyAlongEachLeg) {
  constexpr std::uint64_t kSeed = 20170;
  std::mt19937_64 engine(kSeed);
  for (int round = 0; round < 200; ++round) {
    const std::size_t inlets = 2 + static_cast<std::size_t>(round % 30);
    const Network net = random_tree(engine, inlets);
    Solver solver(net);
    ASSERT_EQ(solver.solve(), Status::solved)
        << "seed " << kSeed << ", round " << round << ", left over " << solver.residual_pa();
    EXPECT_LT(solver.mass_residual(), 1e-10);
    const auto q = solver.airflows_m3_s();
    for (std::size_t i = 0; i < net.legs.size(); ++i) {
      // The law once more, by its own words.
      const double loss = q[i] >= 0.0 ? net.losses[i].at(q[i]) : -net.losses[i].at(-q[i]);
      const double end = solver.start_pa(i) + solver.fan_pa(i) - loss;
      EXPECT_NEAR(end, solver.end_pa(i), 1e-6) << "round " << round << ", leg " << i;
    }
    for (std::size_t j = 0; j < net.junctions.size(); ++j) {
      const Junction& at = net.junctions[j];
      EXPECT_NEAR(q[at.straight] + q[at.branch], q[at.combined], 1e-10);
      const double dynamic = at.dynamic_pa_s2_m6 * q[at.combined] * std::abs(q[at.combined]);
      EXPECT_NEAR(solver.end_pa(at.branch) - solver.start_pa(at.combined),
                  solver.branch_coefficient(j) * dynamic,
                  1e-9 * std::abs(dynamic) + 1e-9);
    }
  }
}

TEST(Network, AStartElsewhereEndsAtTheSameAirflows) {
  std::mt19937_64 engine(7);
  for (int round = 0; round < 30; ++round) {
    const Network net = random_tree(engine, 6);
    Solver cold(net);
    ASSERT_EQ(cold.solve(), Status::solved);
    const std::vector<double> found(cold.airflows_m3_s().begin(), cold.airflows_m3_s().end());
    for (const double factor : {0.2, 3.0}) {
      std::vector<double> start = found;
      for (double& q : start) {
        q *= factor;
      }
      Solver warm(net);
      warm.begin_at(start);
      ASSERT_EQ(warm.solve(), Status::solved);
      for (std::size_t i = 0; i < found.size(); ++i) {
        EXPECT_NEAR(warm.airflows_m3_s()[i], found[i], 1e-8) << "round " << round;
      }
    }
  }
}

TEST(Network, OneLegIsTheSingleRun) {
  Network net;
  net.legs.push_back({.fan = 0});
  net.losses.push_back(duct_law(12.0, 0.15, 3.0));
  net.fans.push_back(fan_of({{0.0, 200.0}, {0.1, 160.0}, {0.2, 60.0}, {0.25, 0.0}}));
  const auto single = solve::operating_point({.loss = net.losses[0]}, net.fans[0]);
  Solver solver(net);
  ASSERT_EQ(solver.solve(), Status::solved);
  EXPECT_NEAR(solver.airflows_m3_s()[0], single.airflow_m3_s, 1e-9 * single.airflow_m3_s);
  // And with the fan searched as the main one.
  Network bare = net;
  bare.legs[0].fan = kNone;
  Solver held(bare);
  const MainFan main(held, 0);
  const auto point = solve::operating_point(main.demand(), net.fans[0]);
  EXPECT_EQ(point.status, single.status);
  EXPECT_NEAR(point.airflow_m3_s, single.airflow_m3_s, 1e-9 * single.airflow_m3_s);
}

TEST(Network, AHumpedFanSettlesFromRestWhereTheSingleRunDoes) {
  const auto fan = fan_of({{0.0, 110.0}, {0.03, 90.0}, {0.06, 105.0}, {0.1, 95.0}, {0.15, 0.0}});
  for (const double square : {2e4, 4e4, 1e5, 1e6}) {
    Network net;
    net.legs.push_back({.fan = 0});
    net.losses.push_back(square_law(square));
    net.fans.push_back(fan);
    const auto single = solve::operating_point({.loss = net.losses[0]}, fan);
    Solver solver(net);
    ASSERT_EQ(solver.solve(), Status::solved);
    EXPECT_NEAR(solver.airflows_m3_s()[0], single.airflow_m3_s, 1e-8) << square;
  }
}

/// Two inlets into one leg that a fan draws from.
Network wye(double first, double second, double combined) {
  Network net;
  net.legs = {{}, {}, {.junction = 0}};
  net.losses = {square_law(first), square_law(second), square_law(combined)};
  net.junctions = {{.straight = 0, .branch = 1, .combined = 2}};
  return net;
}

TEST(Network, ABranchSplitInTwoHalvesCarriesTheSame) {
  // 1/sqrt(k) of the halves add up to that of the whole.
  Network whole;
  whole.legs.push_back({.fan = 0});
  whole.losses.push_back(square_law(5e3 + 2e3));
  whole.fans.push_back(fan_of({{0.0, 200.0}, {0.1, 150.0}, {0.3, 0.0}}));
  Solver one(whole);
  ASSERT_EQ(one.solve(), Status::solved);
  Network halves = wye(4 * 5e3, 4 * 5e3, 2e3);
  halves.legs[2].fan = 0;
  halves.fans = whole.fans;
  Solver two(halves);
  ASSERT_EQ(two.solve(), Status::solved);
  EXPECT_NEAR(two.airflows_m3_s()[2], one.airflows_m3_s()[0], 1e-10);
  EXPECT_NEAR(two.airflows_m3_s()[0], two.airflows_m3_s()[1], 1e-12);
}

TEST(Network, AFlapShutsABranchThatWouldReverseAndTheRestIsAsWithoutIt) {
  // The first inlet's fan pushes air into the second; little leaves.
  Network net = wye(1e3, 1e3, 1e5);
  net.legs[0].fan = 0;
  net.fans = {fan_of({{0.0, 200.0}, {0.1, 150.0}, {0.3, 0.0}})};
  Solver open(net);
  ASSERT_EQ(open.solve(), Status::solved);
  EXPECT_LT(open.airflows_m3_s()[1], -0.01);
  net.legs[1].one_way = true;
  Solver flap(net);
  ASSERT_EQ(flap.solve(), Status::solved);
  EXPECT_TRUE(flap.is_shut(1));
  EXPECT_EQ(flap.airflows_m3_s()[1], 0.0);
  const auto alone = solve::operating_point({.loss = square_law(1e3 + 1e5)}, net.fans[0]);
  EXPECT_NEAR(flap.airflows_m3_s()[0], alone.airflow_m3_s, 1e-9);
}

TEST(Network, AFlapThatNothingShutsChangesNothing) {
  Network net = wye(1e4, 3e4, 2e3);
  net.legs[2].fan = 0;
  net.fans = {fan_of({{0.0, 200.0}, {0.1, 150.0}, {0.3, 0.0}})};
  Solver without(net);
  ASSERT_EQ(without.solve(), Status::solved);
  for (Leg& leg : net.legs) {
    leg.one_way = true;
  }
  Solver with(net);
  ASSERT_EQ(with.solve(), Status::solved);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_FALSE(with.is_shut(i));
    EXPECT_NEAR(with.airflows_m3_s()[i], without.airflows_m3_s()[i], 1e-12);
  }
}

TEST(Network, ManyFansAndFlapsAreShutOrOpenAsTheirPressuresSay) {
  std::mt19937_64 engine(99);
  std::uniform_real_distribution<double> draw(0.0, 1.0);
  int shut = 0;
  for (int round = 0; round < 200; ++round) {
    Network net = random_tree(engine, 2 + static_cast<std::size_t>(round % 12));
    net.fans.pop_back();
    net.legs.back().fan = kNone;
    net.losses.back() = square_law(1e5 * (0.1 + draw(engine)));
    for (Leg& leg : net.legs) {
      leg.one_way = leg.junction == kNone;
      leg.stack_pa = leg.junction == kNone ? 4.0 * draw(engine) - 2.0 : 0.0;
    }
    Solver solver(net);
    ASSERT_EQ(solver.solve(), Status::solved) << "round " << round << ' ' << solver.residual_pa();
    for (std::size_t i = 0; i < net.legs.size(); ++i) {
      if (net.legs[i].junction != kNone) {
        continue;
      }
      const double q = solver.airflows_m3_s()[i];
      EXPECT_GE(q, 0.0) << "round " << round;
      if (solver.is_shut(i)) {
        ++shut;
        // Nothing pulls it open.
        EXPECT_LE(solver.fan_pa(i) + net.legs[i].stack_pa + solver.start_pa(i),
                  solver.end_pa(i) + 1e-6)
            << "round " << round;
      }
    }
  }
  EXPECT_GT(shut, 50);
}

TEST(Network, TheRoomIsDrawnDownByWhatAllInletsTake) {
  Network net = wye(1e4, 3e4, 2e3);
  net.legs[2].fan = 0;
  net.fans = {fan_of({{0.0, 200.0}, {0.1, 150.0}, {0.3, 0.0}})};
  const auto suction = [](const void*, double q) noexcept { return 900.0 * q * q; };
  net.room = {suction, nullptr};
  Solver solver(net);
  ASSERT_EQ(solver.solve(), Status::solved);
  const double q = solver.airflows_m3_s()[2];
  EXPECT_NEAR(solver.room_pa(), -900.0 * q * q, 1e-8);
  // The room's law is one more square in the combined leg.
  Network stiffer = wye(1e4, 3e4, 2e3 + 900.0);
  stiffer.legs[2].fan = 0;
  stiffer.fans = net.fans;
  Solver other(stiffer);
  ASSERT_EQ(other.solve(), Status::solved);
  EXPECT_NEAR(q, other.airflows_m3_s()[2], 1e-10);
}

TEST(Network, ARiserOfTenThousandBranchesIsSolved) {
  Network net;
  constexpr std::size_t kFloors = 10'000;
  net.legs.push_back({.usual_m3_s = 0.02});
  net.losses.push_back(duct_law(3.0, 0.1, 4.0));
  std::size_t below = 0;
  for (std::size_t i = 0; i < kFloors; ++i) {
    net.legs.push_back({.usual_m3_s = 0.02});
    net.losses.push_back(duct_law(4.0, 0.1, 4.0));
    net.legs.push_back({.junction = i, .usual_m3_s = 0.02 * static_cast<double>(i + 2)});
    net.losses.push_back(duct_law(3.0, 0.2 * std::sqrt(static_cast<double>(i + 2)), 0.0));
    const double area = 0.0314 * static_cast<double>(i + 2);
    net.junctions.push_back({.straight = below,
                             .branch = 2 * i + 1,
                             .combined = 2 * i + 2,
                             .dynamic_pa_s2_m6 = 0.6 / (area * area)});
    net.junctions.back().branch_coefficient = 0.4;
    below = 2 * i + 2;
  }
  net.legs.back().fan = 0;
  net.fans = {fan_of({{0.0, 400.0}, {300.0, 250.0}, {600.0, 0.0}})};
  Solver solver(net);
  ASSERT_EQ(solver.solve(), Status::solved) << solver.residual_pa() << ' ' << solver.iterations();
  EXPECT_LT(solver.mass_residual(), 1e-10);
  EXPECT_LT(solver.iterations(), 60);
}

}  // namespace
}  // namespace ductledger::network
