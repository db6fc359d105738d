#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "support/check_text.hpp"

// What has to hold for any house. Layouts are invented; the seed is fixed and printed.
namespace ductledger {
namespace {

constexpr unsigned kSeed = 414;

struct Words {
  double leak_cfm = 1000.0;
  double leaks_above_collar_ft = 0.0;
  std::string makeup = "{kind: none}";
  std::string more = "";
};

std::string layout_of(const Words& words) {
  return fmt::format(R"(
layout: 1
site: {{duct: {{temperature: 95 degF, humidity: 50 %}}, outdoor: {{temperature: 20 degF}}}}
appliance: {{kind: range-hood, collar: 8 in round}}
fan:
  speeds:
    - {{name: high, curve: {{airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}}}}
run: {{section: 8 in round, rise: 8 ft, pieces: [{{straight: 10 ft}}, {{cap: wall-hood-flap}}]}}
house:
  leakage: {{airflow: {} cfm, at: 50 Pa, above_collar: {} ft}}
  makeup: {}
{})",
                     words.leak_cfm,
                     words.leaks_above_collar_ft,
                     words.makeup,
                     words.more);
}

const house::SpeedHouse& house_of(const study::CheckResult& result) {
  return *result.speeds.front().house;
}

const char* const kMakeups[] = {
    "{kind: none}",
    "{kind: passive-opening, section: 6 in round}",
    "{kind: powered, airflow: 300 cfm, interlocked: yes}",
    "{kind: powered, airflow: 900 cfm, interlocked: yes}",
    "{kind: duct, run: {section: 8 in round, pieces: [{entry: louver}, {straight: 9 ft}, {cap: "
    "grille}]}}",
    "{kind: duct, run: {section: 8 in round, pieces: [{entry: louver}, {damper: {type: barometric, "
    "opening_pressure: 5 Pa}}, {cap: grille}]}}",
};

TEST(HouseProperty, LeakageNeverRaisesDepressurisation) {
  std::mt19937 random(kSeed);
  std::uniform_real_distribution<double> leaks(60.0, 6000.0);
  for (const char* makeup : kMakeups) {
    SCOPED_TRACE(makeup);
    const double tight = leaks(random);
    const double leaky = tight * 1.3;
    const auto a = support::check(layout_of({.leak_cfm = tight, .makeup = makeup}));
    const auto b = support::check(layout_of({.leak_cfm = leaky, .makeup = makeup}));
    const double before = house_of(a).balance.depressurisation_pa;
    const double after = house_of(b).balance.depressurisation_pa;
    EXPECT_LE(std::abs(after), std::abs(before) * (1.0 + 1e-9)) << "seed " << kSeed;
    if (before > 0.0) {
      EXPECT_GE(b.speeds.front().point.airflow_m3_s, a.speeds.front().point.airflow_m3_s);
    }
  }
}

TEST(HouseProperty, MassIsConserved) {
  for (const char* makeup : kMakeups) {
    for (const double leak_cfm : {30.0, 1000.0, 30000.0}) {
      SCOPED_TRACE(fmt::format("{} {}", makeup, leak_cfm));
      const auto result = support::check(
          layout_of({.leak_cfm = leak_cfm,
                     .makeup = makeup,
                     .more = "  other_exhaust: [{name: dryer, airflow: 150 cfm}]\n"}));
      const house::Balance& balance = house_of(result).balance;
      const double out_kg_s =
          result.run.air.density_kg_m3 *
          (result.speeds.front().point.airflow_m3_s + 150.0 * units::kM3SPerCfm);
      EXPECT_NEAR(balance.residual_kg_s / out_kg_s, 0.0, 1e-9);
    }
  }
}

TEST(HouseProperty, AnEndlesslyLeakyHouseIsNone) {
  const auto result = support::check(layout_of({.leak_cfm = 190000.0}));
  EXPECT_NEAR(result.speeds.front().point.airflow_m3_s,
              *house_of(result).airflow_without_house_m3_s,
              1e-4 * result.speeds.front().point.airflow_m3_s);
}

TEST(HouseProperty, TheLedgerStartsBelowOutdoorsAndItsBooksAddUp) {
  const auto result = support::check(layout_of({}));
  const auto& speed = result.speeds.front();
  double total_pa = -speed.house->balance.depressurisation_pa;
  for (const solve::LedgerRow& row : speed.ledger->rows) {
    total_pa -= row.loss_pa;
    EXPECT_NEAR(row.total_pressure_after_pa, total_pa, 1e-9);
  }
  EXPECT_NEAR(total_pa, result.run.air.wind_pa, 1e-6);
}

TEST(HouseProperty, TheProposedOpeningEndsAtTheLimit) {
  const std::string limited = "  combustion: [{kind: natural-draft-furnace}]\n";
  // The house's own stack leaves 5 Pa of the limit to an opening, or less than 1 Pa.
  for (const double above_ft : {0.0, 11.0}) {
    SCOPED_TRACE(above_ft);
    const auto before =
        support::check(layout_of({.leaks_above_collar_ft = above_ft, .more = limited}));
    const auto& opening = house_of(before).at_limit->opening;
    ASSERT_TRUE(opening);
    const auto after = support::check(
        layout_of({.leaks_above_collar_ft = above_ft,
                   .makeup = fmt::format("{{kind: passive-opening, free_area: {:.9f} m2}}",
                                         opening->free_area_m2),
                   .more = limited}));
    EXPECT_NEAR(house_of(after).balance.depressurisation_pa, 5.0, 1e-5);
    EXPECT_NEAR(house_of(after).balance.depressurisation_pa,
                house::limit_of(*after.layout.house)->pressure_pa,
                1e-5);
    // The band spans the limit, so nothing is shown.
    EXPECT_EQ(house_of(after).verdict, house::Verdict::not_shown);
  }
}

TEST(HouseProperty, AnOpeningTriedIsAsOneThatIsThere) {
  const std::string limited = "  combustion: [{kind: natural-draft-furnace}]\n";
  const auto without = support::check(layout_of({.more = limited}));
  ASSERT_EQ(house_of(without).openings.size(), 4U);
  const double inches[] = {6.0, 8.0, 10.0, 12.0};
  for (std::size_t i = 0; i < 4; ++i) {
    SCOPED_TRACE(inches[i]);
    const auto& tried = house_of(without).openings[i];
    const auto with = support::check(layout_of(
        {.makeup = fmt::format("{{kind: passive-opening, section: {} in round}}", inches[i]),
         .more = limited}));
    EXPECT_NEAR(tried.diameter_m, inches[i] * 0.0254, 1e-12);
    EXPECT_NEAR(tried.airflow_m3_s, house_of(with).judged_airflow_m3_s, 1e-9);
    EXPECT_NEAR(tried.depressurisation_pa, house_of(with).judged_depressurisation_pa, 1e-6);
  }
}

TEST(HouseProperty, TheAirtightnessAtTheLimitEndsThere) {
  const std::string limited = "  combustion: [{kind: natural-draft-furnace}]\n";
  // Without a stack of its own the house asks for what it asks for where nothing is known of it.
  std::string text = layout_of({.more = limited});
  const auto where = text.find("  leakage:");
  text.erase(where, text.find('\n', where) + 1 - where);
  const auto unknown = support::check(text);
  EXPECT_FALSE(house_of(unknown).coupled);
  EXPECT_EQ(house_of(unknown).verdict, house::Verdict::not_shown);
  for (const double above_ft : {0.0, -9.0, 9.0}) {
    SCOPED_TRACE(above_ft);
    const auto needed =
        house_of(support::check(layout_of({.leaks_above_collar_ft = above_ft, .more = limited})))
            .at_limit->airtightness_m3_s;
    ASSERT_TRUE(needed);
    const auto after = support::check(
        layout_of({.leak_cfm = *needed / units::kM3SPerCfm, .leaks_above_collar_ft = above_ft}));
    EXPECT_NEAR(house_of(after).balance.depressurisation_pa, 5.0, 1e-4);
    if (above_ft == 0.0) {
      EXPECT_NEAR(*house_of(unknown).at_limit->airtightness_m3_s, *needed, 1e-12);
    }
  }
}

TEST(HouseProperty, WhatIsJudgedSaysWhichAirflowItIsFor) {
  EXPECT_EQ(house_of(support::check(layout_of({}))).basis, house::AirflowBasis::operating_point);
  std::string text = layout_of({});
  const auto from = text.find("curve:");
  text.replace(from, text.find("}}", from) + 1 - from, "rated: 400 cfm");
  const auto rated = support::check(text);
  EXPECT_EQ(house_of(rated).basis, house::AirflowBasis::rated_airflow);
  EXPECT_NEAR(house_of(rated).judged_airflow_m3_s, 400.0 * units::kM3SPerCfm, 1e-12);
}

TEST(HouseProperty, MakeupThatNobodyInterlockedIsShownBeside) {
  const auto alone = support::check(layout_of({}));
  const auto both =
      support::check(layout_of({.makeup = "{kind: powered, airflow: 300 cfm, interlocked: no}"}));
  const auto running =
      support::check(layout_of({.makeup = "{kind: powered, airflow: 300 cfm, interlocked: yes}"}));
  EXPECT_EQ(house_of(both).balance.depressurisation_pa,
            house_of(alone).balance.depressurisation_pa);
  ASSERT_TRUE(house_of(both).with_makeup);
  EXPECT_EQ(house_of(both).with_makeup->balance.depressurisation_pa,
            house_of(running).balance.depressurisation_pa);
  EXPECT_FALSE(house_of(running).with_makeup);
}

TEST(HouseProperty, ADamperThatMayOpenLaterShowsNothing) {
  const auto verdict = [](const char* opening) {
    return house_of(
               support::check(layout_of(
                   {.leak_cfm = 3000.0,
                    .makeup = fmt::format("{{kind: duct, run: {{section: 8 in round, pieces: "
                                          "[{{entry: louver}}, {{damper: {{type: barometric{}}}}}, "
                                          "{{cap: grille}}]}}}}",
                                          opening),
                    .more = "  combustion: [{kind: direct-vent-furnace}]\n"})))
        .verdict;
  };
  EXPECT_EQ(verdict(", opening_pressure: 5 Pa"), house::Verdict::met);
  EXPECT_EQ(verdict(""), house::Verdict::not_shown);
}

TEST(HouseProperty, OtherExhaustCanKeepTheFanFromStarting) {
  const auto result = support::check(
      layout_of({.leak_cfm = 40.0, .more = "  other_exhaust: [{airflow: 400 cfm}]\n"}));
  EXPECT_EQ(result.speeds.front().point.status, solve::Status::no_flow);
  EXPECT_GT(house_of(result).balance.depressurisation_pa, 200.0);
}

TEST(HouseProperty, ARunIntoTheRoomDrawsNothingDown) {
  std::string text = layout_of({});
  text.replace(text.find("rise: 8 ft"), 10, "discharge: room");
  const auto result = support::check(text);
  EXPECT_FALSE(result.speeds.front().house);
  EXPECT_EQ(result.house.coupled(), nullptr);
}

}  // namespace
}  // namespace ductledger
