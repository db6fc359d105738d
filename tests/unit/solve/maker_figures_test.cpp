#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>

#include "study/check.hpp"

// Caps and dampers as makers give them.
namespace ductledger::study {
namespace {

std::string text_with_cap(const std::string& cap, const std::string& section = "6 in round") {
  return "layout: 1\nappliance: {kind: exhaust, collar: " + section +
         "}\n"
         "fan: {speeds: [{name: a, curve: {airflow: 0 100 200 300 400 cfm, pressure: 0.80 0.72 "
         "0.55 "
         "0.30 0 inH2O}}]}\n"
         "run:\n  section: " +
         section + "\n  pieces:\n    - straight: 10 ft\n    - cap: " + cap + "\n";
}

base::Checked<layout::Layout> read_bench(const std::string& text) {
  return layout::read(std::make_shared<base::SourceText>("bench.yaml", text),
                      fitting::Catalogue::built_in());
}

CheckResult checked(const std::string& text) {
  auto layout = read_bench(text);
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  auto result = check(*std::move(layout), fitting::Catalogue::built_in());
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

/// Loss of the cap [Pa] at an airflow.
double cap_pa(const CheckResult& result, double airflow_m3_s) {
  return result.run.loss.of(result.run.pieces.back().loss, airflow_m3_s);
}

constexpr double kInH2O = units::kPascalPerInchWater;
constexpr double kM3SPerCfm = units::kM3SPerCfm;

TEST(MakerFigures, a_drop_table_is_met_at_its_points_where_its_law_fits) {
  // 0.001 q + 0.00001 q^2 inH2O with q in cfm, total pressure.
  const CheckResult result = checked(text_with_cap(
      "{type: wall-hood-flap, pressure: 0.075 0.2 0.375 inH2O, at: 50 100 150 cfm, basis: "
      "total}"));
  const double ratio = result.run.air.density_kg_m3 / units::kStandardDensityKgM3;
  EXPECT_NEAR(cap_pa(result, 50.0 * kM3SPerCfm), 0.075 * kInH2O * ratio, 1e-6);
  EXPECT_NEAR(cap_pa(result, 100.0 * kM3SPerCfm), 0.2 * kInH2O * ratio, 1e-6);
  EXPECT_NEAR(cap_pa(result, 150.0 * kM3SPerCfm), 0.375 * kInH2O * ratio, 1e-6);
  EXPECT_NEAR(result.run.pieces.back().standard_uncertainty, 0.0, 1e-9);
}

TEST(MakerFigures, a_static_drop_gains_the_velocity_pressure_before_the_cap) {
  const CheckResult still = checked(
      text_with_cap("{type: roof-hood-flap, pressure: 0.1 inH2O, at: 150 cfm, basis: static}"));
  const CheckResult total = checked(
      text_with_cap("{type: roof-hood-flap, pressure: 0.1 inH2O, at: 150 cfm, basis: total}"));
  const double q = 150.0 * kM3SPerCfm;
  const double v = q / duct::Section::round(units::inches(6.0)).area_m2();
  EXPECT_NEAR(cap_pa(still, q) - cap_pa(total, q), still.run.air.density_kg_m3 / 2.0 * v * v, 1e-9);
}

// Two constants are fitted to four points: two are left to tell how well.
TEST(MakerFigures, the_doubt_of_a_drop_table_is_what_its_points_leave_over) {
  const CheckResult result = checked(text_with_cap(
      "{type: wall-hood-flap, pressure: 0.08 0.19 0.39 0.63 inH2O, at: 50 100 150 200 cfm, basis: "
      "total}"));
  const double ratio = result.run.air.density_kg_m3 / units::kStandardDensityKgM3;
  const double in[] = {0.08, 0.19, 0.39, 0.63};
  double left = 0.0;
  for (int i = 0; i < 4; ++i) {
    const double law_pa = cap_pa(result, 50.0 * (i + 1) * kM3SPerCfm) / ratio;
    left += std::pow(law_pa / (in[i] * kInH2O) - 1.0, 2);
  }
  EXPECT_GT(left, 1e-4);
  EXPECT_NEAR(result.run.pieces.back().standard_uncertainty, std::sqrt(left / 2.0), 1e-9);
  // It comes on top of the doubt of any figure that is stated.
  const auto doubt_of = [](const CheckResult& of) {
    const auto& sources = of.speeds.front().band->sources;
    const auto stated = std::ranges::find_if(
        sources, [](const auto& source) { return source.key.starts_with("stated:"); });
    EXPECT_NE(stated, sources.end());
    return stated == sources.end() ? 0.0 : stated->standard_uncertainty;
  };
  const double of_any = doubt_of(checked(
      text_with_cap("{type: wall-hood-flap, pressure: 0.08 inH2O, at: 50 cfm, basis: total}")));
  EXPECT_GT(of_any, 0.0);
  EXPECT_NEAR(doubt_of(result), std::hypot(of_any, std::sqrt(left / 2.0)), 1e-9);
}

TEST(MakerFigures, what_a_table_leaves_over_is_doubt) {
  // Flat, then steep: no a Q + b Q^2.
  const CheckResult result = checked(text_with_cap(
      "{type: wall-hood-flap, pressure: 0.09 0.1 0.3 inH2O, at: 50 100 150 cfm, basis: "
      "total}"));
  EXPECT_GT(result.run.pieces.back().standard_uncertainty, 0.05);
  const CheckResult smooth = checked(text_with_cap(
      "{type: wall-hood-flap, pressure: 0.075 0.2 0.375 inH2O, at: 50 100 150 cfm, basis: "
      "total}"));
  const auto width = [](const CheckResult& check) {
    const auto& band = *check.speeds.front().airflow_band_m3_s;
    return (band.high - band.low) / check.speeds.front().point.airflow_m3_s;
  };
  EXPECT_GT(width(result), width(smooth));
}

TEST(MakerFigures, an_equivalent_length_may_name_its_size) {
  const double q = 150.0 * kM3SPerCfm;
  const CheckResult own =
      checked(text_with_cap("{type: wall-hood-flap, equivalent_length: 30 ft}"));
  const CheckResult same =
      checked(text_with_cap("{type: wall-hood-flap, equivalent_length: 30 ft of 6 in round}"));
  const CheckResult narrower =
      checked(text_with_cap("{type: wall-hood-flap, equivalent_length: 30 ft of 4 in round}"));
  EXPECT_NEAR(cap_pa(own, q), cap_pa(same, q), 1e-12);
  // Friction goes with about the inverse fifth power of the diameter: (6/4)^5 = 7.6.
  EXPECT_NEAR(cap_pa(narrower, q) / cap_pa(own, q), std::pow(1.5, 5.0), 0.6);
}

TEST(MakerFigures, a_free_area_makes_the_cap_go_by_it) {
  const double q = 150.0 * kM3SPerCfm;
  const double area_in2 = 3.14159265358979 / 4.0 * 36.0;
  const CheckResult share = checked(text_with_cap("{type: soffit-vent, free_area: 50 %}"));
  const CheckResult area = checked(
      text_with_cap("{type: soffit-vent, free_area: " + std::to_string(0.5 * area_in2) + " in2}"));
  EXPECT_NEAR(cap_pa(share, q), cap_pa(area, q), 1e-3);
  // Sharp-edged grille of 50 %: (0.25 + 0.75)/0.25 = 4 velocity pressures, and 2 for exit and turn.
  EXPECT_NEAR(share.run.pieces.back().fitting->value, 6.0, 1e-9);
  const CheckResult open = checked(text_with_cap("{type: wall-hood-flap, free_area: 100 %}"));
  EXPECT_NEAR(open.run.pieces.back().fitting->value, 2.5, 1e-9);
  EXPECT_FALSE(read_bench(text_with_cap("{type: wall-hood-flap, free_area: 40 in2}")));
}

TEST(MakerFigures, what_cannot_be_meant_is_refused_with_the_way_out) {
  for (const auto& [cap, rule] :
       {std::pair{"{type: wall-hood-flap, pressure: 0.1 inH2O, at: 100 cfm}", "missing-key"},
        {"{type: wall-hood-flap, pressure: 0.1 0.05 inH2O, at: 100 150 cfm, basis: total}",
         "contradicting-drops"},
        {"{type: wall-hood-flap, pressure: 0.1 inH2O, at: 100 cfm, basis: total, coefficient: 2}",
         "two-losses"},
        {"{type: wall-hood-flap, pressure: 0.1 inH2O, at: 100 cfm, basis: total, flap: steel}",
         "two-losses"},
        {"{type: wall-hood-flap, basis: total}", "missing-key"}}) {
    const auto layout = read_bench(text_with_cap(cap));
    ASSERT_FALSE(layout) << cap;
    EXPECT_EQ(layout.error().front().rule, rule) << cap;
    EXPECT_FALSE(layout.error().front().help.empty() &&
                 layout.error().front().rule != "contradicting-drops")
        << cap;
  }
}

TEST(MakerFigures, the_finding_about_an_assumed_cap_names_the_three_ways_to_state_it) {
  const CheckResult result = checked(text_with_cap("roof-hood-flap"));
  bool said = false;
  for (const auto& finding : result.findings) {
    if (finding.code == "assumed-figures") {
      const std::string remedy = finding.remedy.text(units::System::ip);
      said = remedy.find("equivalent_length") != std::string::npos &&
             remedy.find("drop table") != std::string::npos &&
             remedy.find("free_area") != std::string::npos;
    }
  }
  EXPECT_TRUE(said);
}

}  // namespace
}  // namespace ductledger::study
