#include "study/compare.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "edit/variant.hpp"
#include "support/example_layout.hpp"

namespace ductledger::study {
namespace {

constexpr const char* kPlan = R"(layout: 1
title: plan
appliance: {kind: range-hood, collar: 7 in round, required_airflow: 300 cfm}
fan: {speeds: [{name: high, curve: {airflow: 0 300 600 cfm, pressure: 1 0.8 0 inH2O}}]}
run:
  section: 7 in round
  heading: up
  pieces:
    - straight: 3 ft
    - elbow: {type: gored-5, turn: back, radius_ratio: 1.5}
    - straight: {length: 6 ft, through: wall}
    - cap: wall-hood-flap
)";

layout::Layout with(const std::string& variants) { return test::layout_of_text(kPlan + variants); }

base::Checked<study::Comparison> compared(std::vector<layout::Layout> layouts) {
  std::vector<study::Compared> runs;
  for (layout::Layout& layout : layouts) {
    runs.push_back({std::move(layout), &fitting::Catalogue::built_in()});
  }
  return study::compare(std::move(runs));
}

std::string rule_of_reading(const std::string& variants) {
  const auto layout =
      layout::read(std::make_shared<const base::SourceText>("test.yaml", kPlan + variants),
                   fitting::Catalogue::built_in());
  return layout ? "read" : layout.error().front().rule;
}

TEST(Compare, a_variant_gives_what_the_edited_file_gives) {
  const auto result =
      compared({with("variants:\n  flat: {section: 10 x 3-1/4 in}\n"
                     "  turned: {pieces: {2: {type: mitered}, 3: {length: 4 ft}}}\n"
                     "  short: {heading: back, pieces: {1: out, 2: out}}\n")});
  ASSERT_TRUE(result) << base::render(result.error());
  ASSERT_EQ(result->runs.size(), 4U);
  EXPECT_EQ(result->runs[0].name, "plan");
  EXPECT_EQ(result->runs[2].name, "short");  // by name
  EXPECT_EQ(result->runs[3].name, "turned");
  std::string edited(kPlan);
  const auto swap = [&](const std::string& from, const std::string& to) {
    ASSERT_NE(edited.find(from), std::string::npos);
    edited.replace(edited.find(from), from.size(), to);
  };
  swap("{type: gored-5, turn: back, radius_ratio: 1.5}", "{type: mitered, turn: back}");
  swap("length: 6 ft", "length: 4 ft");
  const auto checked = study::check(test::layout_of_text(edited), fitting::Catalogue::built_in());
  ASSERT_TRUE(checked);
  EXPECT_EQ(result->runs[3].check.speeds[0].point.airflow_m3_s,
            checked->speeds[0].point.airflow_m3_s);
  EXPECT_EQ(result->runs[1].depth_m, 3.25 * units::kMetresPerInch);
  EXPECT_EQ(result->runs[2].check.layout.run.pieces.size(), 2U);
}

TEST(Compare, lists_what_changed_on_site) {
  std::string built(kPlan);
  built.replace(built.find("gored-5, turn: back, radius_ratio: 1.5"), 38, "adjustable, turn: back");
  built.replace(built.find("    - cap"), 0, "    - damper: backdraft-flap\n");
  const auto result = compared({test::layout_of_text(kPlan), test::layout_of_text(built)});
  ASSERT_TRUE(result) << base::render(result.error());
  ASSERT_EQ(result->changes.size(), 1U);
  const std::vector<study::PieceChange>& changes = result->changes.front();
  ASSERT_EQ(changes.size(), 2U);
  EXPECT_EQ(changes[0].first, 2);
  EXPECT_EQ(changes[0].other, 2);
  EXPECT_GT(*changes[0].loss_change_pa, 0.0);
  EXPECT_FALSE(changes[1].first.has_value());
  EXPECT_EQ(changes[1].other, 4);
}

TEST(Compare, losses_of_the_changes_add_up_to_the_pressure) {
  const auto result = compared({with("variants:\n  a: {section: 6 in round}\n")});
  ASSERT_TRUE(result);
  double sum_pa = 0.0;
  for (const study::PieceChange& change : result->changes.front()) {
    sum_pa += *change.loss_change_pa;
  }
  EXPECT_NEAR(
      sum_pa, result->runs[1].common_pressure_pa - result->runs[0].common_pressure_pa, 1e-9);
}

TEST(Compare, shows_of_a_changed_piece_what_is_other) {
  std::string built(kPlan);
  const std::string was = "length: 6 ft, through: wall";
  built.replace(built.find(was), was.size(), "length: 6 ft, through: chase");
  built.replace(built.find("turn: back"), 10, "turn: left");
  const auto result = compared({test::layout_of_text(kPlan), test::layout_of_text(built)});
  ASSERT_TRUE(result) << base::render(result.error());
  const std::vector<study::PieceChange>& changes = result->changes.front();
  ASSERT_EQ(changes.size(), 2U);
  EXPECT_EQ(changes[0].was.text(units::System::ip),
            "elbow gored-5 90 deg, 7 in round, turned back");
  EXPECT_EQ(changes[0].is.text(units::System::ip), "elbow gored-5 90 deg, 7 in round, turned left");
  EXPECT_EQ(changes[1].is.text(units::System::ip), "straight 6 ft, 7 in round, through chase");
  EXPECT_EQ(*changes[1].loss_change_pa, 0.0);
}

// Each straight another length, so that one that is gone, one that is new and one that is longer
// can only be told as what they are.
TEST(Compare, finds_what_changed_between_thousands_of_pieces) {
  const auto run_of = [](const std::string& at_100, const std::string& at_2000) {
    std::string text =
        "layout: 1\nappliance: {kind: range-hood, collar: 14 in round}\n"
        "fan: {speeds: [{name: high, curve: {airflow: 0 300 600 cfm, pressure: 9 8 0 inH2O}}]}\n"
        "run:\n  section: 14 in round\n  pieces:\n";
    for (int i = 0; i < 3000; ++i) {
      const std::string usual = "    - straight: " + std::to_string(100 + i) + " mm\n";
      text += i == 100 ? at_100 : i == 2000 ? at_2000 : usual;
    }
    return test::layout_of_text(text + "    - cap: grille\n");
  };
  const auto result = compared(
      {run_of("", "    - straight: 9 m\n"),
       run_of("    - straight: 5 m\n    - loss: {coefficient: 0.1}\n", "    - straight: 8 m\n")});
  ASSERT_TRUE(result) << base::render(result.error());
  const auto& changes = result->changes.front();
  ASSERT_EQ(changes.size(), 3U);
  EXPECT_FALSE(changes[0].first.has_value());
  EXPECT_EQ(changes[0].other, 101);
  EXPECT_FALSE(changes[1].first.has_value());
  EXPECT_EQ(changes[1].other, 102);
  EXPECT_EQ(changes[2].first, 2000);
  EXPECT_EQ(changes[2].other, 2002);
  EXPECT_LT(changes[2].loss_change_pa.value_or(0.0), 0.0);
}

TEST(Compare, names_the_best_run_only_where_every_band_leaves_out_zero) {
  const auto sure =
      compared({with("variants:\n  small: {section: 6 in round}\n"
                     "  mitered: {pieces: {2: {type: mitered}}}\n")});
  ASSERT_TRUE(sure);
  EXPECT_EQ(sure->best, 0U);
  const auto unsure = compared({with("variants:\n  chase: {pieces: {3: {through: chase}}}\n")});
  ASSERT_TRUE(unsure);
  EXPECT_FALSE(unsure->best.has_value());
  EXPECT_NE(unsure->answer.front().text(units::System::ip).find("delivers the same as"),
            std::string::npos);
}

TEST(Compare, counts_the_house_in_the_pressure_that_the_fan_has_to_make) {
  const std::string house = "house: {leakage: {airflow: 500 cfm, at: 50 Pa, exponent: 0.65}}\n";
  const auto result = compared({test::layout_of_text(kPlan), test::layout_of_text(kPlan + house)});
  ASSERT_TRUE(result) << base::render(result.error());
  const study::ComparedRun& tight = result->runs[1];
  ASSERT_NE(tight.house(), nullptr);
  EXPECT_EQ(result->runs[0].house(), nullptr);
  EXPECT_NEAR(
      tight.common_pressure_pa - result->runs[0].common_pressure_pa,
      50.0 * std::pow(result->common_airflow_m3_s / (500.0 * units::kM3SPerCfm), 1.0 / 0.65),
      0.02 * tight.common_pressure_pa);
  ASSERT_EQ(result->unlike.size(), 1U);
  EXPECT_NE(result->unlike.front().find("house"), std::string::npos);
}

TEST(Compare, a_name_with_braces_stays_as_it_is) {
  const auto result = compared({with("variants:\n  '{wide} {}': {section: 8 in round}\n")});
  ASSERT_TRUE(result);
  EXPECT_EQ(result->answer.front().text(units::System::ip).find("{wide} {}"), 0U);
}

TEST(Compare, one_file_given_twice_is_refused) {
  const auto twice = compared({test::layout_of_text(kPlan), test::layout_of_text(kPlan)});
  ASSERT_FALSE(twice);
  ASSERT_EQ(twice.error().size(), 1U);
  EXPECT_EQ(twice.error().front().rule, "layout-given-twice");
}

TEST(Compare, different_fans_are_said) {
  std::string other(kPlan);
  other.replace(other.find("0 300 600 cfm"), 13, "0 350 700 cfm");
  const auto result = compared({test::layout_of_text(kPlan), test::layout_of_text(other)});
  ASSERT_TRUE(result);
  ASSERT_EQ(result->unlike.size(), 1U);
  EXPECT_NE(result->unlike.front().find("differ in fan"), std::string::npos);
}

TEST(Compare, bad_variants_are_told_clearly) {
  EXPECT_EQ(rule_of_reading("variants: {a: {pieces: {9: out}}}\n"), "unknown-piece");
  EXPECT_EQ(rule_of_reading("variants: {a: {pieces: {2: }}}\n"), "wrong-kind");
  EXPECT_EQ(rule_of_reading("variants: {a: {sections: 8 in round}}\n"), "unknown-key");
  EXPECT_EQ(rule_of_reading("variants: [a, b]\n"), "wrong-kind");
  const auto same = compared({with("variants: {a: {section: 7 in round}}\n")});
  ASSERT_FALSE(same);
  EXPECT_EQ(same.error().front().rule, "variant-changes-nothing");
  EXPECT_GT(same.error().front().span.line, 0);
  const auto alone = compared({test::layout_of_text(kPlan)});
  ASSERT_FALSE(alone);
  EXPECT_EQ(alone.error().front().rule, "nothing-to-compare");
}

}  // namespace
}  // namespace ductledger::study
