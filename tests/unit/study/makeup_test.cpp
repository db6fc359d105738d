#include "study/makeup.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "duct/section_text.hpp"
#include "study/branches.hpp"

namespace ductledger::study {
namespace {

// Invented house and hood.
std::string kitchen_with_makeup(const std::string& makeup, const std::string& combustion) {
  return "layout: 1\n"
         "appliance: {kind: range-hood, collar: 8 in round}\n"
         "fan:\n  speeds:\n"
         "    - {name: high, curve: {airflow: 0 200 380 520 600 cfm, pressure: 0.90 0.82 0.60 0.28 "
         "0 "
         "inH2O}}\n"
         "    - {name: low, speed_ratio: 0.5}\n"
         "run:\n  section: 8 in round\n  heading: up\n  pieces:\n    - straight: 6 ft\n"
         "    - cap: roof-hood-flap\n"
         "house:\n  leakage: {airflow: 900 cfm, at: 50 Pa}\n  combustion: [{kind: " +
         combustion + "}]\n" + (makeup.empty() ? "" : "  makeup: " + makeup + "\n");
}

layout::Layout read_bench(const std::string& text) {
  auto layout = layout::read(std::make_shared<base::SourceText>("bench.yaml", text),
                             fitting::Catalogue::built_in());
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  return *std::move(layout);
}

MakeupSize sized_makeup(const std::string& text) {
  auto result = size_makeup(read_bench(text), fitting::Catalogue::built_in());
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

/// The greatest depressurization with a makeup air typed into the file.
double suction_pa(const std::string& makeup) {
  auto result = check(read_bench(kitchen_with_makeup(makeup, "power-vented-water-heater")),
                      fitting::Catalogue::built_in());
  EXPECT_TRUE(result);
  return result->speeds.front().house->judged_depressurisation_pa;
}

TEST(SizeMakeup, each_way_is_what_the_file_would_give_and_the_next_smaller_does_not_do) {
  const MakeupSize result = sized_makeup(kitchen_with_makeup("", "power-vented-water-heater"));
  EXPECT_FALSE(result.drawn.keeps());
  ASSERT_TRUE(result.opening);
  const MakeupTried& opening = result.tried[*result.opening];
  EXPECT_TRUE(opening.keeps());
  EXPECT_NEAR(
      opening.worst().depressurisation_pa,
      suction_pa("{kind: passive-opening, section: " + duct::to_text(*opening.section) + "}"),
      1e-9);
  EXPECT_LE(opening.worst().band_pa->high, result.limit.pressure_pa);
  ASSERT_TRUE(result.powered);
  const MakeupTried& powered = result.tried[*result.powered];
  const auto with = [&](double airflow_m3_s) {
    return suction_pa("{kind: powered, interlocked: yes, airflow: " + std::to_string(airflow_m3_s) +
                      " m3/s}");
  };
  EXPECT_NEAR(powered.worst().depressurisation_pa, with(powered.airflow_m3_s), 1e-3);
  // Every size that was tried below the one chosen fails.
  for (const MakeupTried& tried : result.tried) {
    if (tried.way == MakeupWay::powered && tried.airflow_m3_s < powered.airflow_m3_s) {
      EXPECT_FALSE(tried.keeps());
    }
    if (tried.way == MakeupWay::opening && tried.section->area_m2() < opening.section->area_m2()) {
      EXPECT_FALSE(tried.keeps());
    }
  }
  if (result.duct) {
    EXPECT_GE(result.tried[*result.duct].section->area_m2(), opening.section->area_m2());
  }
}

/// Between too little and so much that a curve ends there is powered air that does.
TEST(SizeMakeup, powered_air_is_found_where_twice_as_much_would_press_the_house_up) {
  const MakeupSize result = sized_makeup(
      "layout: 1\nappliance: {kind: range-hood, collar: 10 in round}\nfan:\n  speeds:\n    - "
      "{name: "
      "high, curve: {airflow: 0 400 700 900 cfm, pressure: 1.2 1.0 0.6 0 inH2O}}\n    - {name: "
      "low, "
      "speed_ratio: 0.5}\nrun: {section: 10 in round, pieces: [{straight: 14 ft}, {cap: "
      "wall-hood-flap}]}\nhouse: {leakage: {airflow: 700 cfm, at: 50 Pa}, combustion: [{kind: "
      "wood-fireplace, inside_air_barrier: yes}]}\n");
  ASSERT_TRUE(result.powered);
  const MakeupTried& powered = result.tried[*result.powered];
  EXPECT_TRUE(powered.keeps());
  EXPECT_GT(powered.airflow_m3_s, 600.0 * units::kM3SPerCfm);
  EXPECT_LT(powered.airflow_m3_s, 900.0 * units::kM3SPerCfm);
  for (const MakeupTried& tried : result.tried) {
    EXPECT_FALSE(tried.way == MakeupWay::powered && tried.airflow_m3_s < powered.airflow_m3_s &&
                 tried.keeps());
  }
}

TEST(SizeMakeup, the_duct_keeps_the_pieces_that_are_drawn) {
  const std::string drawn =
      "{kind: duct, interlocked: yes, run: {section: 4 in round, pieces: [{entry: louver}, "
      "{straight: 3 ft}, {damper: motorised}, {cap: grille}]}}";
  const MakeupSize result = sized_makeup(kitchen_with_makeup(drawn, "power-vented-water-heater"));
  EXPECT_TRUE(result.own_duct);
  ASSERT_TRUE(result.duct);
  const MakeupTried& duct = result.tried[*result.duct];
  std::string wider = drawn;
  wider.replace(wider.find("4 in round"), 10, duct::to_text(*duct.section));
  EXPECT_NEAR(duct.worst().depressurisation_pa, suction_pa(wider), 1e-9);
  EXPECT_GT(duct.section->area_m2(), duct::Section::round(units::inches(4.0)).area_m2());
}

TEST(SizeMakeup, a_duct_with_transitions_is_sized_as_one_size_throughout) {
  const std::string before =
      "{kind: duct, interlocked: yes, run: {section: 6 in round, pieces: "
      "[{entry: {type: louver}}, {straight: 3 ft}, ";
  const std::string after = "{straight: 5 ft}, {cap: {type: grille}}]}}";
  const MakeupSize plain =
      sized_makeup(kitchen_with_makeup(before + after, "power-vented-water-heater"));
  const MakeupSize stepped = sized_makeup(kitchen_with_makeup(
      before + "{transition: 8 in round}, " + after, "power-vented-water-heater"));
  EXPECT_EQ(plain.transitions_out, 0U);
  EXPECT_EQ(stepped.transitions_out, 1U);
  EXPECT_EQ(stepped.duct_why_not, "");
  ASSERT_TRUE(plain.duct && stepped.duct);
  EXPECT_EQ(plain.tried[*plain.duct].section, stepped.tried[*stepped.duct].section);
  EXPECT_DOUBLE_EQ(plain.tried[*plain.duct].worst().depressurisation_pa,
                   stepped.tried[*stepped.duct].worst().depressurisation_pa);
}

TEST(SizeMakeup, says_that_no_passive_duct_does) {
  // A gravity damper that opens at 20 Pa never lets air in where 2 Pa are the limit.
  const MakeupSize result = sized_makeup(kitchen_with_makeup(
      "{kind: duct, run: {section: 8 in round, pieces: [{entry: louver}, {straight: 3 "
      "ft}, {damper: {type: backdraft-flap, opening_pressure: 20 Pa}}, {cap: "
      "grille}]}}",
      "natural-draft-water-heater"));
  EXPECT_FALSE(result.duct);
  EXPECT_TRUE(result.powered);
}

TEST(SizeMakeup, every_speed_that_can_run_counts) {
  const MakeupSize result = sized_makeup(kitchen_with_makeup("", "natural-draft-water-heater"));
  for (const MakeupTried& tried : result.tried) {
    EXPECT_EQ(tried.speeds.size(), 2U);
  }
}

// The same hood and a bath that joins its run: what both draw has to come in.
TEST(SizeMakeup, a_layout_with_branches_is_judged_by_all_that_leaves) {
  std::string text = kitchen_with_makeup("", "power-vented-water-heater");
  const std::string pieces = "    - straight: 6 ft\n";
  text.replace(text.find(pieces),
               pieces.size(),
               "    - straight: 3 ft\n    - junction: {branch: bath}\n    - straight: 3 ft\n");
  text +=
      "branches: {bath: {section: 5 in round, fan: {speeds: [{name: on, curve: {airflow: 0 80 "
      "160 cfm, pressure: 1.2 0.9 0 inH2O}}]}, pieces: [straight: 6 ft]}}\n";
  const MakeupSize result = sized_makeup(text);
  auto network = check_network(read_bench(text), fitting::Catalogue::built_in());
  ASSERT_TRUE(network);
  ASSERT_EQ(result.drawn.speeds.size(), 2U);
  EXPECT_EQ(result.drawn.worst().depressurisation_pa,
            network->speeds[0].house->judged_depressurisation_pa);
  ASSERT_TRUE(result.opening);
  EXPECT_LE(result.tried[*result.opening].worst().band_pa->high, result.limit.pressure_pa);
}

// Each part of the duct at the size found, typed into the file.
TEST(SizeMakeup, a_makeup_duct_that_branches_has_one_size_in_all_its_parts) {
  const auto duct = [](const std::string& size) {
    return "{kind: duct, interlocked: yes, run: {section: " + size +
           ", pieces: [{entry: {type: louver}}, {straight: 6 ft}, {junction: {branch: side}}, "
           "{straight: 4 ft}, {cap: {type: grille}}]}, branches: {side: {section: " +
           size + ", pieces: [{entry: {type: louver}}, {straight: 3 ft}]}}}";
  };
  std::string drawn = duct("6 in round");
  drawn.replace(drawn.find("branch: side"), 12, "branch: side, section: 7 in round");
  const MakeupSize result = sized_makeup(kitchen_with_makeup(drawn, "power-vented-water-heater"));
  ASSERT_TRUE(result.duct) << result.duct_why_not;
  const MakeupTried& found = result.tried[*result.duct];
  EXPECT_TRUE(found.keeps());
  EXPECT_NEAR(
      found.worst().depressurisation_pa, suction_pa(duct(duct::to_text(*found.section))), 1e-9);
}

TEST(SizeMakeup, says_what_is_missing) {
  const auto rule_of = [](std::string text, const std::string& from, const std::string& to) {
    text.replace(text.find(from), from.size(), to);
    auto result = size_makeup(read_bench(text), fitting::Catalogue::built_in());
    EXPECT_FALSE(result);
    return result ? "" : result.error().front().rule;
  };
  const std::string text = kitchen_with_makeup("", "natural-draft-water-heater");
  EXPECT_EQ(rule_of(text, "  leakage: {airflow: 900 cfm, at: 50 Pa}\n", "  floor_area: 900 ft2\n"),
            "no-leakage");
  EXPECT_EQ(rule_of(text, "  combustion: [{kind: natural-draft-water-heater}]\n", ""), "no-limit");
  EXPECT_EQ(rule_of(text, text.substr(text.find("house:")), ""), "no-house");
}

}  // namespace
}  // namespace ductledger::study
