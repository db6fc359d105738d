#include "fitting/measured_drop.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <string>

#include "fitting/catalogue.hpp"
#include "fitting/entry.hpp"

namespace ductledger::fitting {
namespace {

// Invented readings.
MeasuredDrop readings(double power, double at_100_cfm_pa) {
  MeasuredDrop drop;
  for (const double cfm : {100.0, 150.0, 200.0, 250.0, 300.0}) {
    drop.airflow_m3_s.push_back(cfm * units::kM3SPerCfm);
    drop.pressure_pa.push_back(at_100_cfm_pa * std::pow(cfm / 100.0, power));
  }
  return drop;
}

double velocity_pressure_pa(const MeasuredDrop& drop, std::size_t i) {
  const double v = drop.airflow_m3_s[i] / drop.section.area_m2();
  return 0.5 * drop.density_kg_m3 * v * v;
}

TEST(MeasuredDrop, SquareReadingsGiveTheirCoefficientWithoutResidual) {
  MeasuredDrop drop = readings(2.0, 10.0);
  ASSERT_TRUE(fit(drop));
  EXPECT_NEAR(drop.fitted, 10.0 / velocity_pressure_pa(drop, 0), 1e-12);
  EXPECT_NEAR(drop.residual_spread, 0.0, 1e-12);
  EXPECT_NEAR(drop.exponent, 2.0, 1e-12);
  EXPECT_FALSE(drop.trend);
}

TEST(MeasuredDrop, TheFitIsTheLeastSquaresOneInC) {
  MeasuredDrop drop = readings(2.0, 10.0);
  drop.pressure_pa[1] *= 1.08;
  drop.pressure_pa[3] *= 0.95;
  ASSERT_TRUE(fit(drop));
  const auto squares = [&drop](double c) {
    double sum = 0.0;
    for (std::size_t i = 0; i < drop.pressure_pa.size(); ++i) {
      const double own = drop.pressure_pa[i] / velocity_pressure_pa(drop, i);
      sum += (own - c) * (own - c);
    }
    return sum;
  };
  for (const double away : {-1e-3, 1e-3}) {
    EXPECT_GT(squares(drop.fitted * (1.0 + away)), squares(drop.fitted));
  }
  EXPECT_FALSE(drop.trend) << "noise is no trend";
}

TEST(MeasuredDrop, AFlapThatOpensFurtherShowsATrend) {
  MeasuredDrop drop = readings(1.6, 10.0);
  ASSERT_TRUE(fit(drop));
  EXPECT_NEAR(drop.exponent, 1.6, 1e-9);
  EXPECT_TRUE(drop.trend);
  EXPECT_GT(drop.residual.front(), 0.0);
  EXPECT_LT(drop.residual.back(), 0.0);
}

TEST(MeasuredDrop, AStaticPressureBeforeACapLeavesTheExitLossOut) {
  MeasuredDrop total = readings(2.0, 10.0);
  MeasuredDrop before_cap = total;
  before_cap.basis = DropBasis::static_at_cap;
  MeasuredDrop behind_entry = total;
  behind_entry.basis = DropBasis::static_at_entry;
  ASSERT_TRUE(fit(total));
  ASSERT_TRUE(fit(before_cap));
  ASSERT_TRUE(fit(behind_entry));
  EXPECT_NEAR(before_cap.fitted, total.fitted + 1.0, 1e-12);
  EXPECT_NEAR(behind_entry.fitted, total.fitted - 1.0, 1e-12);
}

TEST(MeasuredDrop, ReadingsThatLeaveNoLossAreRefused) {
  MeasuredDrop drop = readings(2.0, 1.0);
  drop.basis = DropBasis::static_at_entry;
  EXPECT_FALSE(fit(drop));
}

// Invented: a cap with its drops.
const std::string kCap = R"(sources:
  sheet: {title: drops of a cap, author: invented, status: seen}
kind: cap
type: my-cap
title: My cap
use: invented
sections: [round]
reference: upstream
includes_friction: yes
uncertainty: {u: 0.10, basis: one sample measured}
data:
  - key: sheet
    role: default
    source: sheet
    status: seen
    measured_drop:
      section: 6 in round
      basis: static
      airflow: 100 150 200 250 cfm
      pressure: 0.021 0.050 0.086 0.138 inH2O
)";

base::Diagnostics added(Catalogue& catalogue, const std::string& text) {
  return catalogue.add(std::make_shared<const base::SourceText>("cap.yaml", text));
}

std::string drop_with(const std::string& from, const std::string& to) {
  std::string text = kCap;
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

TEST(MeasuredDropFile, TheSpreadOfTheReadingsEntersTheUncertainty) {
  Catalogue catalogue = Catalogue::built_in();
  const auto faults = added(catalogue, kCap);
  ASSERT_TRUE(faults.empty()) << base::render(faults);
  const auto section = duct::Section::round(units::inches(6.0));
  const auto found = catalogue.coefficient(
      {.kind = Kind::cap, .type = "my-cap", .upstream = section, .downstream = section});
  const auto& c = std::get<Coefficient>(found);
  const MeasuredDrop& drop = *catalogue.entry("cap/my-cap")->standard()->measured;
  EXPECT_NEAR(c.value, drop.fitted, 1e-12);
  EXPECT_NEAR(c.standard_uncertainty, std::hypot(0.10, drop.residual_spread), 1e-12);
  EXPECT_TRUE(c.outside.empty());
  EXPECT_DOUBLE_EQ(c.reynolds.at(1e5), 1.0);
  EXPECT_LT(c.reynolds.lowest(), c.reynolds.highest());
}

TEST(MeasuredDropFile, AnotherSizeOfDuctIsOutsideTheReadings) {
  Catalogue catalogue = Catalogue::built_in();
  ASSERT_TRUE(added(catalogue, kCap).empty());
  const auto section = duct::Section::round(units::inches(8.0));
  const auto found = catalogue.coefficient(
      {.kind = Kind::cap, .type = "my-cap", .upstream = section, .downstream = section});
  const auto& c = std::get<Coefficient>(found);
  ASSERT_EQ(c.outside.size(), 1U);
  EXPECT_EQ(c.outside.front().parameter, "diameter");
}

struct DropSlip {
  const char* name;
  const char* from;
  const char* to;
  const char* rule;
  int line;
};
class MeasuredDropFaults : public testing::TestWithParam<DropSlip> {};

TEST_P(MeasuredDropFaults, GetOneDiagnosticInItsPlace) {
  const DropSlip& slip = GetParam();
  Catalogue catalogue = Catalogue::built_in();
  const auto faults = added(catalogue, drop_with(slip.from, slip.to));
  ASSERT_EQ(faults.size(), 1U) << base::render(faults);
  EXPECT_EQ(faults.front().rule, slip.rule) << base::render(faults);
  EXPECT_EQ(faults.front().span.line, slip.line) << base::render(faults);
}

INSTANTIATE_TEST_SUITE_P(
    Each,
    MeasuredDropFaults,
    testing::Values(
        DropSlip{"Counts", "0.021 0.050 0.086", "0.021 0.050", "wrong-count", 20},
        DropSlip{
            "OneReading",
            "      airflow: 100 150 200 250 cfm\n      pressure: 0.021 0.050 0.086 0.138 inH2O",
            "      airflow: 100 cfm\n      pressure: 0.021 inH2O",
            "wrong-count",
            20},
        DropSlip{"Descending", "100 150 200 250", "250 200 150 100", "not-ascending", 19},
        DropSlip{"AtRest", "100 150 200 250", "0 150 200 250", "not-ascending", 19},
        DropSlip{"ZeroDrop", "0.021 0.050", "0 0.050", "not-positive", 20},
        DropSlip{"NoBasis", "      basis: static\n", "", "missing-key", 17},
        DropSlip{"UnknownBasis", "basis: static", "basis: gauge", "unknown-word", 18},
        DropSlip{"BareSection", "section: 6 in round", "section: 6 in", "missing-shape", 17},
        DropSlip{"NoUnit", "100 150 200 250 cfm", "100 150 200 250", "missing-unit", 19},
        DropSlip{"BesideAValue",
                 "    status: seen\n    measured",
                 "    status: seen\n    value: 2\n    measured",
                 "conflicting-keys",
                 16},
        DropSlip{"NoAir",
                 "      basis: static\n",
                 "      basis: static\n      density: 62 lb/ft3\n",
                 "outside-range",
                 19},
        DropSlip{"UnknownKey",
                 "basis: static",
                 "basis: static\n      temperature: 70 degF",
                 "unknown-key",
                 19}),
    [](const auto& test) { return std::string(test.param.name); });

}  // namespace
}  // namespace ductledger::fitting
