#include <benchmark/benchmark.h>

#include <cmath>
#include <variant>

#include "network/network.hpp"

namespace {

using namespace ductledger;  // NOLINT(google-build-using-namespace)

/// Friction of a round duct and a coefficient, in air of 1.2 kg/m3.
solve::RunLoss duct_law(double length_m, double diameter_m, double coefficient) {
  const double area = 0.7853981633974483 * diameter_m * diameter_m;
  const double dynamic = 0.6 / (area * area);
  const double ratio = length_m / diameter_m;
  solve::FrictionGroup group;
  group.reynolds_s_m3 = 1.2 * diameter_m / (area * 1.8e-5);
  group.relative_roughness = 9e-5 / diameter_m;
  group.dynamic_pa_s2_m6 = dynamic;
  group.ratio = ratio;
  solve::PieceLoss piece;
  piece.square_pa_s2_m6 = coefficient * dynamic;
  piece.friction_group = 0;
  piece.friction_ratio = ratio;
  return solve::RunLoss({group}, {piece});
}

/// A riser with one branch a floor, its duct growing with what it carries, one fan on the roof; the
/// junctions are catalogue wyes whose coefficients follow the airflows.
network::Network riser(std::size_t branches) {
  network::Network net;
  const auto inlet = [&](double length_m) {
    net.legs.push_back({.usual_m3_s = 0.02});
    net.losses.push_back(duct_law(length_m, 0.1, 4.0));
    return net.legs.size() - 1;
  };
  std::size_t below = inlet(6.0);
  for (std::size_t i = 1; i < branches; ++i) {
    const std::size_t branch = inlet(3.0 + static_cast<double>(i % 7));
    const double floors = static_cast<double>(i + 1);
    const double diameter_m = 0.12 * std::sqrt(floors);
    const double area = 0.7853981633974483 * diameter_m * diameter_m;
    net.legs.push_back({.junction = net.junctions.size(), .usual_m3_s = 0.02 * floors});
    net.losses.push_back(duct_law(3.0, diameter_m, 0.0));
    net.junctions.push_back({.straight = below,
                             .branch = branch,
                             .combined = net.legs.size() - 1,
                             .law = network::JunctionLaw::converging,
                             .angle = fitting::junction_angle(0.7853981633974483),
                             .area_ratio = std::max(0.00785398 / area, 0.1),
                             .dynamic_pa_s2_m6 = 0.6 / (area * area)});
    below = net.legs.size() - 1;
  }
  const double all = 0.03 * static_cast<double>(branches);
  const std::vector<fan::FanPoint> points{{0.0, 300.0}, {all, 220.0}, {2.0 * all, 0.0}};
  auto curve = fan::FanCurve::from_points(points, fan::CurveShape::points);
  net.fans.push_back({std::get<fan::FanCurve>(std::move(curve)), 0.0, true});
  net.legs.back().fan = 0;
  return net;
}

/// From rest to the answer, on one core; the network is made beforehand.
void solve_riser(benchmark::State& state) {
  const network::Network net = riser(static_cast<std::size_t>(state.range(0)));
  network::Solver solver(net);
  for (auto _ : state) {
    solver.forget();
    if (solver.solve() != network::Status::solved) {
      state.SkipWithError("not settled");
    }
  }
  state.counters["steps"] = solver.iterations();
  state.counters["mass"] = solver.mass_residual();
  state.SetComplexityN(state.range(0));
}
BENCHMARK(solve_riser)
    ->RangeMultiplier(10)
    ->Range(100, 100'000)
    ->Complexity(benchmark::oN)
    ->Unit(benchmark::kMillisecond);

}  // namespace
