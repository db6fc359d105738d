#include <benchmark/benchmark.h>

#include <cmath>
#include <memory>

#include "duct/friction.hpp"
#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"
#include "result/uncertainty.hpp"
#include "solve/operating_point.hpp"
#include "study/check.hpp"
#include "study/points.hpp"

namespace {

using namespace ductledger;  // NOLINT(google-build-using-namespace)

/// Ten pieces of one section, as the docs describe the benchmark.
const char* const kTenPieces = R"(
layout: 1
appliance: {kind: range-hood, collar: 8 in round}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}}
run:
  section: 8 in round
  pieces:
    - damper: {type: backdraft-flap, coefficient: 0.6}
    - straight: 4 ft
    - elbow: {angle: 90 deg, coefficient: 0.3}
    - straight: 6 ft
    - elbow: {angle: 90 deg, coefficient: 0.3}
    - straight: 3 ft
    - elbow: {angle: 45 deg, coefficient: 0.18}
    - straight: 2 ft
    - screen: {type: mesh, coefficient: 0.4}
    - cap: {type: wall-hood-flap, coefficient: 2.5}
)";

layout::Layout ten_pieces() {
  auto text = std::make_shared<const base::SourceText>("bench.yaml", kTenPieces);
  return *layout::read(text, fitting::Catalogue::built_in());
}

void friction_factor(benchmark::State& state) {
  double re = 1e5;
  for (auto _ : state) {
    re = re > 2e5 ? 1e5 : re + 1.0;
    benchmark::DoNotOptimize(duct::friction_factor({.reynolds = re, .relative_roughness = 4.5e-4}));
  }
}
BENCHMARK(friction_factor);

/// Operating points of one compiled run; the back pressure changes so that no answer repeats.
void operating_points(benchmark::State& state) {
  const layout::Layout layout = ten_pieces();
  const auto run = solve::compile(layout, fitting::Catalogue::built_in());
  const auto fan = solve::speed_fan(layout, *run, 0);
  double back_pa = 0.0;
  for (auto _ : state) {
    back_pa = back_pa > 40.0 ? 0.0 : back_pa + 0.01;
    benchmark::DoNotOptimize(
        solve::operating_point({.loss = run->loss, .ends = {0.0, back_pa}}, *fan.fan));
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(operating_points);

void read_layout(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(ten_pieces());
  }
}
BENCHMARK(read_layout);

void whole_check(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(study::check(ten_pieces(), fitting::Catalogue::built_in()));
  }
}
BENCHMARK(whole_check);

/// First order of one speed: every error differentiated at the operating point.
void first_order(benchmark::State& state) {
  const layout::Layout layout = ten_pieces();
  const auto run = solve::compile(layout, fitting::Catalogue::built_in());
  const auto fan = solve::speed_fan(layout, *run, 0);
  const auto point = solve::operating_point({.loss = run->loss}, *fan.fan);
  const solve::ErrorModel model(layout, *run, {&*fan.fan, fan.origin});
  for (auto _ : state) {
    benchmark::DoNotOptimize(solve::first_order(model, point.airflow_m3_s));
  }
}
BENCHMARK(first_order);

/// The points of one speed's band, drawn and solved.
void even_samples(benchmark::State& state) {
  const layout::Layout layout = ten_pieces();
  const auto run = solve::compile(layout, fitting::Catalogue::built_in());
  const auto fan = solve::speed_fan(layout, *run, 0);
  const solve::ErrorModel model(layout, *run, {&*fan.fan, fan.origin});
  for (auto _ : state) {
    benchmark::DoNotOptimize(result::even_samples(model));
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(result::kPoints));
}
BENCHMARK(even_samples)->Unit(benchmark::kMillisecond);

/// What no solver can leave out: a friction factor takes a logarithm each time that the airflow
/// moves, and an airflow takes at least three (begin, step, proof).
void floor_of_a_sample(benchmark::State& state) {
  double x = 1.5;
  for (auto _ : state) {
    for (int i = 0; i < 3; ++i) {
      x = 1.5 + 1e-3 * std::log10(x + 1e-9 * std::pow(x, 0.9));
    }
    benchmark::DoNotOptimize(x);
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(floor_of_a_sample);

/// A point of a layout that was read once: one length changed in the checked layout, or in the
/// text, each time another.
void changed(benchmark::State& state, const char* place) {
  const layout::Layout layout = ten_pieces();
  auto points = study::Points::of(
      layout, fitting::Catalogue::built_in(), {.speed = {}, .places = {place}, .first = {1.0}});
  double value = 1.0;
  for (auto _ : state) {
    value = value > 5.0 ? 1.0 : value + 1e-4;
    benchmark::DoNotOptimize(points->at({&value, 1}));
  }
  state.SetItemsProcessed(state.iterations());
}
void changed_length(benchmark::State& state) { changed(state, "run.pieces[4].length"); }
BENCHMARK(changed_length);
void changed_text(benchmark::State& state) { changed(state, "site.elevation"); }
BENCHMARK(changed_text);

}  // namespace
