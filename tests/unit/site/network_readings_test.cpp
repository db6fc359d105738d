#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <string>

#include "base/diagnostic.hpp"
#include "site/commission.hpp"
#include "site/measured.hpp"

namespace ductledger::site {
namespace {

// Invented fan and ducts; every figure below is solved from them.
constexpr const char* kNetwork = R"(layout: 1
title: Three inlets
appliance: {kind: exhaust, collar: 5 in round, required_airflow: 60 cfm}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 100 200 300 400 cfm, pressure: 0.80 0.74 0.60 0.33 0 inH2O}}
    - {name: low, speed_ratio: 0.6}
run:
  section: 5 in round
  pieces:
    - entry: plain
    - straight: 6 ft
    - junction: {type: wye-45, branch: bath, section: 7 in round}
    - straight: 8 ft
    - junction: {type: wye-45, branch: store, section: 8 in round}
    - straight: 6 ft
    - fan
    - straight: 2 ft
    - cap: {type: roof-hood-flap, coefficient: 1.6}
branches:
  bath:
    section: 4 in round
    required_airflow: 40 cfm
    pieces:
      - entry: plain
      - straight: 5 ft
@BATH@
  store:
    section: 4 in round
    required_airflow: 40 cfm
    fan: {speeds: [{name: on, curve: {airflow: 0 120 240 cfm, pressure: 0.5 0.35 0 inH2O}}]}
    pieces:
      - straight: 12 ft
@STORE@
)";

struct More {
  std::string bath{};
  std::string store{};
};

layout::Layout read(const More& more = {}) {
  std::string text = kNetwork;
  const auto put = [&](const std::string& mark, const std::string& piece) {
    text.replace(text.find(mark), mark.size(), piece.empty() ? "" : "      - " + piece);
  };
  put("@BATH@", more.bath);
  put("@STORE@", more.store);
  auto layout = layout::read(std::make_shared<base::SourceText>("bench.yaml", text),
                             fitting::Catalogue::built_in());
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  return *std::move(layout);
}

study::NetworkResult network(const More& more = {}) {
  auto result = study::check_network(read(more), fitting::Catalogue::built_in());
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

base::Checked<MeasuredResult> judged_in_network(const layout::Measurement& reading) {
  return measured(network(), fitting::Catalogue::built_in(), {reading});
}

Judged only_one(const layout::Measurement& reading) {
  auto result = judged_in_network(reading);
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return result->readings.front();
}

layout::Measurement hood(std::optional<std::size_t> branch, double airflow_m3_s) {
  layout::Measurement reading;
  reading.branch = branch;
  reading.airflow_m3_s = airflow_m3_s;
  reading.airflow_doubt = layout::InstrumentDoubt{.share = 0.001};
  return reading;
}

double loss_at(double coefficient, double diameter_m, double airflow_m3_s, double density_kg_m3) {
  const double velocity = airflow_m3_s / (M_PI * diameter_m * diameter_m / 4.0);
  return coefficient * density_kg_m3 / 2.0 * velocity * velocity;
}

// The layout without a loss is held at the airflow of the layout with it: what it then lacks is
// that loss, since all else follows the same equations.
TEST(NetworkReadings, an_airflow_recovers_a_hidden_loss_of_an_inlet_without_a_fan) {
  for (const double hidden : {2.0, 10.0, 40.0}) {
    const auto built = network({.bath = "loss: " + std::to_string(hidden)});
    const double q = built.speeds[0].inlets[1].airflow_m3_s;
    const Judged found = only_one(hood(0, q));
    ASSERT_TRUE(found.extra);
    const double lost = loss_at(hidden, 4.0 * 0.0254, q, built.network.air.density_kg_m3);
    EXPECT_NEAR(found.extra->pressure_pa, lost, 1e-6 * lost + 1e-6);
    EXPECT_NEAR(found.extra->coefficient, hidden, 1e-5 * hidden);
    EXPECT_GT(found.extra->doubt_pa, 0.0);
    EXPECT_EQ(found.verdict,
              lost > found.extra->doubt_pa ? Verdict::more_resistance : Verdict::as_calculated);
  }
}

TEST(NetworkReadings, the_same_of_an_inlet_with_a_fan_by_airflow_and_by_its_pressure) {
  const auto built = network({.store = "loss: 8"});
  const double q = built.speeds[0].inlets[2].airflow_m3_s;
  const double lost = loss_at(8.0, 4.0 * 0.0254, q, built.network.air.density_kg_m3);
  const Judged by_hood = only_one(hood(1, q));
  ASSERT_TRUE(by_hood.extra);
  EXPECT_NEAR(by_hood.extra->pressure_pa, lost, 1e-6 * lost);
  // Read behind the fan, on its curve.
  layout::Measurement gauge;
  gauge.branch = 1;
  gauge.static_pressure_pa = built.speeds[0].inlets[2].path[1].row.static_pressure_after_pa +
                             built.speeds[0].inlets[2].path[1].row.loss_pa -
                             (-built.speeds[0].depressurisation_pa);
  gauge.static_doubt = layout::InstrumentDoubt{.share = 1e-4};
  const Judged by_gauge = only_one(gauge);
  ASSERT_EQ(by_gauge.airflows.size(), 1U);
  EXPECT_NEAR(by_gauge.airflows.front().airflow_m3_s, q, 1e-6 * q);
  EXPECT_NEAR(by_gauge.extra->pressure_pa, lost, 1e-4 * lost);
}

// Without a fan the air falls through entry and duct before the hole: its suction tells the
// airflow.
TEST(NetworkReadings, the_suction_at_a_hole_tells_the_airflow_of_a_passive_inlet) {
  const auto built = network({.bath = "loss: 12"});
  const study::Inlet& bath = built.speeds[0].inlets[1];
  layout::Measurement gauge;
  gauge.branch = 0;
  gauge.at = {.kind = layout::GaugePlace::Kind::piece,
              .piece = 1,
              .from_start_m = *built.layout.branches[0].run.pieces[1].length_m};
  gauge.static_pressure_pa = bath.path[1].row.static_pressure_after_pa;
  gauge.static_doubt = layout::InstrumentDoubt{.share = 1e-4};
  const Judged found = only_one(gauge);
  ASSERT_EQ(found.airflows.size(), 1U);
  EXPECT_NEAR(found.airflows.front().airflow_m3_s, bath.airflow_m3_s, 1e-6 * bath.airflow_m3_s);
  EXPECT_FALSE(found.has_fan);
}

TEST(NetworkReadings, what_was_calculated_is_as_calculated_everywhere) {
  const auto built = network();
  for (std::size_t i = 0; i < built.speeds[0].inlets.size(); ++i) {
    const Judged found = only_one(
        hood(i == 0 ? std::nullopt : std::optional(i - 1), built.speeds[0].inlets[i].airflow_m3_s));
    EXPECT_EQ(found.verdict, Verdict::as_calculated) << found.inlet;
    EXPECT_NEAR(found.extra->pressure_pa, 0.0, 1e-6);
  }
  // Behind the first junction: what the ledger says there.
  const auto& path = built.speeds[0].inlets[0].path;
  layout::Measurement trunk;
  trunk.at = {.kind = layout::GaugePlace::Kind::piece,
              .piece = 3,
              .from_start_m = *built.layout.run.pieces[3].length_m};
  const auto row = std::ranges::find_if(
      path, [](const study::PathRow& one) { return !one.branch && one.row.number == 4; });
  ASSERT_NE(row, path.end());
  trunk.static_pressure_pa = row->row.static_pressure_after_pa;
  const Judged found = only_one(trunk);
  EXPECT_TRUE(found.trunk);
  EXPECT_NEAR(found.expected->pressure_pa, row->row.static_pressure_after_pa, 1e-6);
  EXPECT_EQ(found.verdict, Verdict::as_calculated);
  trunk.static_pressure_pa = 0.3 * row->row.static_pressure_after_pa;
  EXPECT_EQ(only_one(trunk).verdict, Verdict::less_pressure);
}

TEST(NetworkReadings, all_inlets_together_tell_fan_from_balance) {
  const auto built = network();
  const auto& inlets = built.speeds[0].inlets;
  const auto result = measured(built,
                               fitting::Catalogue::built_in(),
                               {hood(std::nullopt, inlets[0].airflow_m3_s - 0.004),
                                hood(0, inlets[1].airflow_m3_s + 0.004),
                                hood(1, inlets[2].airflow_m3_s)});
  ASSERT_TRUE(result);
  ASSERT_EQ(result->together.size(), 1U);
  EXPECT_EQ(result->together[0].inlets, 3U);
  EXPECT_NEAR(result->together[0].airflow_m3_s, result->together[0].calculated_m3_s, 1e-9);
  EXPECT_EQ(result->readings[0].requirement,
            inlets[0].airflow_m3_s - 0.004 < 60.0 * 0.000471947 ? ByMeasurement::not_met
                                                                : ByMeasurement::met);
}

TEST(NetworkReadings, what_cannot_be_read_there_is_refused) {
  const auto rule = [](const layout::Measurement& reading) {
    const auto result = judged_in_network(reading);
    return result ? std::string("taken") : result.error().front().rule;
  };
  layout::Measurement collar;
  collar.static_pressure_pa = -20.0;
  EXPECT_EQ(rule(collar), "reading-not-usable");
  layout::Measurement behind = hood(std::nullopt, 0.03);
  behind.at = {.kind = layout::GaugePlace::Kind::piece, .piece = 3};
  EXPECT_EQ(rule(behind), "reading-not-usable");
  layout::Measurement unknown = hood(0, 0.03);
  unknown.speed = "hihg";
  EXPECT_EQ(rule(unknown), "unknown-speed");
  layout::Measurement no_fan = collar;
  no_fan.branch = 0;
  no_fan.at.kind = layout::GaugePlace::Kind::fan;
  EXPECT_EQ(rule(no_fan), "no-fan");
}

TEST(NetworkSheet, tells_each_inlet_its_airflow_hole_and_damper) {
  const auto sheet = commission(read(), fitting::Catalogue::built_in());
  ASSERT_TRUE(sheet);
  ASSERT_EQ(sheet->network.size(), 2U);
  const auto built = network();
  std::size_t controlling = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    const ExpectedInlet& inlet = sheet->network[0].inlets[i];
    EXPECT_EQ(inlet.airflow_m3_s, built.speeds[0].inlets[i].airflow_m3_s);
    ASSERT_TRUE(inlet.damper_pa);
    EXPECT_EQ(*inlet.damper_pa, built.speeds[0].balance->paths[i].damper_pa);
    controlling += inlet.controlling ? 1U : 0U;
    ASSERT_TRUE(sheet->inlets[i].gauge_hole) << i;
    ASSERT_TRUE(inlet.at_hole && inlet.at_hole->band_pa);
    EXPECT_LT(inlet.at_hole->band_pa->low, inlet.at_hole->pressure_pa);
  }
  EXPECT_EQ(controlling, 1U);
  ASSERT_TRUE(sheet->network[0].across_fan);
  EXPECT_GT(sheet->network[0].across_fan->pressure_pa, 0.0);
}

}  // namespace
}  // namespace ductledger::site
