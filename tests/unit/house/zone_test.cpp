#include "house/zone.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "house/band.hpp"
#include "support/allocations.hpp"
#include "support/check_text.hpp"

namespace ductledger::house {
namespace {

std::string layout_of(const char* makeup) {
  return std::string(R"(
layout: 1
site: {indoor: {temperature: 72 degF}, outdoor: {temperature: 10 degF}}
appliance: {kind: range-hood, collar: 8 in round}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}}
run: {section: 8 in round, pieces: [{straight: 10 ft}, {cap: wall-hood-flap}]}
house:
  leakage: {airflow: 800 cfm, at: 50 Pa}
  makeup: )") +
         makeup + "\n";
}

constexpr const char* kOpening = "{kind: passive-opening, section: 8 in round}";
constexpr const char* kDuct =
    "{kind: duct, run: {section: 8 in round, pieces: [{entry: louver}, {straight: 9 ft}, {cap: "
    "grille}]}}";
constexpr const char* kBarometric =
    "{kind: duct, run: {section: 8 in round, pieces: [{entry: louver}, {damper: {type: barometric, "
    "opening_pressure: 8 Pa}}, {cap: grille}]}}";

TEST(Zone, SolvingWithItAllocatesNothing) {
  for (const char* makeup : {"{kind: none}", kOpening, kDuct, kBarometric}) {
    const auto result = support::check(layout_of(makeup));
    const auto fan = solve::speed_fan(result.layout, result.run, 0);
    const long before = support::allocations.load();
    const auto point = operating_point(result.run, *fan.fan, result.house.coupled());
    EXPECT_EQ(support::allocations.load() - before, 0) << makeup;
    EXPECT_EQ(point.status, solve::Status::found);
    EXPECT_GT(before, 0) << "the counter does not count";
  }
}

TEST(Zone, PressureRisesWithWhatIsDrawn) {
  for (const char* makeup : {"{kind: none}", kOpening, kDuct, kBarometric}) {
    const auto result = support::check(layout_of(makeup));
    double before_pa = -1.0;
    for (double q = 0.0; q < 0.5; q += 0.01) {
      const double pa = result.house.coupled()->depressurisation_pa(q);
      EXPECT_GT(pa, before_pa) << makeup << " at " << q;
      before_pa = pa;
    }
  }
}

TEST(Zone, ADuctsTableAnswersAsItsLawDoes) {
  for (const char* makeup : {kDuct, kBarometric}) {
    const auto result = support::check(layout_of(makeup));
    const Zone& by_law = *result.house.coupled();
    Zone by_table = by_law;
    by_table.tabulate();
    ASSERT_NE(by_table.inward_table, nullptr);
    for (const double path_factor : {0.8, 1.0, 1.3}) {
      Zone law = by_law;
      law.path_factor = by_table.path_factor = path_factor;
      for (double q = 0.0; q < 3.0; q += 0.013) {
        const Balance a = law.balance(q);
        const Balance b = by_table.balance(q);
        EXPECT_NEAR(
            b.depressurisation_pa, a.depressurisation_pa, 1e-3 + 1e-5 * a.depressurisation_pa)
            << makeup << " at " << q;
        EXPECT_LE(std::abs(b.residual_kg_s), 1e-7 * q + 1e-12);
      }
    }
  }
}

TEST(Zone, APathAndItsPressureAreEachOthersInverse) {
  const std::string wide =
      "{kind: duct, run: {section: 24 in round, pieces: [{entry: louver}, {straight: 9 ft}, {cap: "
      "grille}]}}";
  struct Drawn {
    std::string makeup;
    double airflow_m3_s;
  };
  for (const auto& [makeup, airflow_m3_s] :
       {Drawn{kOpening, 0.25}, Drawn{kDuct, 0.25}, Drawn{wide, 3.0}}) {
    SCOPED_TRACE(makeup);
    const auto result = support::check(layout_of(makeup.c_str()));
    const Zone& zone = *result.house.coupled();
    const Balance balance = zone.balance(airflow_m3_s);
    EXPECT_NEAR(zone.path_m3_s(balance.depressurisation_pa),
                balance.makeup_airflow_m3_s,
                1e-9 * balance.makeup_airflow_m3_s);
    EXPECT_NEAR(zone.leakage_m3_s(balance.depressurisation_pa),
                balance.leakage_airflow_m3_s,
                1e-9 * balance.leakage_airflow_m3_s);
  }
}

// The inputs behind it are straight, as nothing is doubted of them.
TEST(Zone, ABandThatOneInputBendsIsSampled) {
  const auto result = support::check(layout_of("{kind: none}"));
  const auto method_with = [&](double airtightness) {
    return depressurisation_band(
               *result.house.coupled(),
               {.held_airflow_m3_s = 0.2},
               {.exponent = 0.0, .airtightness = airtightness, .path = 0.0, .airflow = 0.0})
        .method;
  };
  EXPECT_EQ(method_with(0.02), BandMethod::first_order);
  EXPECT_EQ(method_with(0.6), BandMethod::sampled);
}

TEST(Zone, ABandIsWhatTheRoomIsWithMoreOrLessOfOneInput) {
  constexpr double kDoubt = 0.02;
  constexpr double kAirflow = 0.2;
  const auto result = support::check(layout_of("{kind: none}"));
  const Zone& zone = *result.house.coupled();
  const auto band =
      depressurisation_band(zone,
                            {.held_airflow_m3_s = kAirflow},
                            {.exponent = 0.0, .airtightness = kDoubt, .path = 0.0, .airflow = 0.0});
  const auto at = [&](double factor) {
    Zone other = zone;
    other.test_airflow_m3_s *= factor;
    return other.depressurisation_pa(kAirflow);
  };
  EXPECT_NEAR(band.high_pa - band.low_pa, 2.0 * (at(1.0 - kDoubt) - at(1.0 + kDoubt)), 1e-9);
  EXPECT_NEAR((band.high_pa + band.low_pa) / 2.0, at(1.0), 1e-9);
}

TEST(Zone, OutwardAirIsRoomAir) {
  // The lighter room air leaves faster through an opening at the same pressure.
  const auto result = support::check(layout_of(kOpening));
  const Zone& zone = *result.house.coupled();
  EXPECT_LT(zone.indoor_density_kg_m3, zone.outdoor_density_kg_m3);
  EXPECT_NEAR(-zone.path_m3_s(-5.0) / zone.path_m3_s(5.0),
              std::sqrt(zone.outdoor_density_kg_m3 / zone.indoor_density_kg_m3),
              1e-12);
  EXPECT_DOUBLE_EQ(zone.leakage_m3_s(-5.0), -zone.leakage_m3_s(5.0));
}

TEST(Zone, MakeupAirMayPressIntoTheRoom) {
  const auto result =
      support::check(layout_of("{kind: powered, airflow: 1200 cfm, interlocked: yes}"));
  const Balance balance = result.house.coupled()->balance(0.2);
  EXPECT_LT(balance.depressurisation_pa, 0.0);
  EXPECT_LT(balance.leakage_airflow_m3_s, 0.0);
  EXPECT_NEAR(balance.residual_kg_s, 0.0, 1e-12);
}

TEST(Zone, ABarometricDamperStaysShutBelowItsOpeningPressure) {
  const auto result = support::check(layout_of(kBarometric));
  const Zone& zone = *result.house.coupled();
  EXPECT_EQ(zone.path_m3_s(7.9), 0.0);
  EXPECT_GT(zone.path_m3_s(8.1), 0.0);
  EXPECT_EQ(zone.path_m3_s(-20.0), 0.0);
  EXPECT_EQ(zone.balance(0.05).makeup_airflow_m3_s, 0.0);
  EXPECT_GT(zone.balance(0.3).makeup_airflow_m3_s, 0.0);
}

TEST(Zone, AMotorisedDamperIsReliedOnWhereItIsInterlocked) {
  const auto with = [](const char* interlocked) {
    return support::check(layout_of((std::string("{kind: duct, interlocked: ") + interlocked +
                                     ", run: {section: 8 in round, pieces: [{entry: louver}, "
                                     "{damper: motorised}, {cap: grille}]}}")
                                        .c_str()))
        .house;
  };
  EXPECT_EQ(with("yes").coupled()->path, Path::duct);
  EXPECT_FALSE(with("yes").with_makeup);
  EXPECT_EQ(with("no").coupled()->path, Path::none);
  EXPECT_TRUE(with("no").with_makeup);
}

// Bernoulli's dynamic pressure of the wind by the envelope's coefficient, less what the colder air
// outdoors weighs more over the height of the leaks.
TEST(Zone, WindAndTheHousesOwnStackActOnTheEnvelope) {
  std::string text = layout_of("{kind: none}");
  text.replace(text.find("site: {"), 7, "site: {wind: 8 m/s, ");
  text.replace(text.find("at: 50 Pa"), 9, "at: 50 Pa, above_collar: 3 m");
  text += "  wind_coefficient: -0.25\n";
  const auto result = support::check(text);
  const Zone& zone = *result.house.coupled();
  const double outdoors = result.run.air.outdoor_density_kg_m3;
  const double colder = outdoors - result.run.air.indoor_density_kg_m3;
  EXPECT_GT(colder, 0.1);
  EXPECT_NEAR(zone.envelope_pa, -0.25 * 0.5 * outdoors * 64.0 - colder * 9.80665 * 3.0, 1e-9);
}

}  // namespace
}  // namespace ductledger::house
