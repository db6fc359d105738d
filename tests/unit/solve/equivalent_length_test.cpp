#include "solve/equivalent_length.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <string>

#include "base/diagnostic.hpp"
#include "support/example_layout.hpp"

namespace ductledger::solve {
namespace {

using test::catalogue;

layout::Layout read(const std::string& pieces) {
  auto made = layout::read(
      std::make_shared<const base::SourceText>(
          "t.yaml",
          "layout: 1\nrun: {section: 6 in round, material: pvc, pieces: [" + pieces + "]}\n"),
      catalogue());
  EXPECT_TRUE(made) << (made ? "" : base::render(made.error()));
  return *std::move(made);
}

CompiledRun compiled(const layout::Layout& layout) {
  auto run = compile(layout, catalogue());
  EXPECT_TRUE(run) << (run ? "" : base::render(run.error()));
  return *std::move(run);
}

TEST(EquivalentLength, a_coefficient_and_its_length_lose_the_same_at_that_airflow_alone) {
  const layout::Layout by_coefficient = read("{straight: 4 ft}, {cap: {coefficient: 2.5}}");
  const CompiledRun one = compiled(by_coefficient);
  const double airflow_m3_s = 0.12;
  const StraightDuct duct{.section = by_coefficient.run.first_section,
                          .roughness_m = by_coefficient.run.roughness_m,
                          .airflow_m3_s = airflow_m3_s};
  const double length_m = length_of_coefficient(2.5, duct, one.air);
  EXPECT_NEAR(coefficient_of_length(length_m, duct, one.air), 2.5, 1e-12);
  const CompiledRun two = compiled(
      read(fmt::format("{{straight: 4 ft}}, {{cap: {{equivalent_length: {} m}}}}", length_m)));
  EXPECT_NEAR(two.loss.at(airflow_m3_s), one.loss.at(airflow_m3_s), 1e-9);
  // Friction follows the airflow by less than its square.
  EXPECT_GT(two.loss.at(airflow_m3_s / 2.0), one.loss.at(airflow_m3_s / 2.0) * 1.01);
}

TEST(EquivalentLength, a_straight_is_its_own_length_and_all_rows_add_up) {
  const layout::Layout layout =
      read("{straight: 4 ft}, {elbow: {angle: 90 deg}}, {straight: 3 m}, {cap: wall-hood-flap}");
  const CompiledRun run = compiled(layout);
  const auto found = equivalent_length(layout, run, 0.1);
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->pieces_m[0], 4.0 * 0.3048, 1e-9);
  EXPECT_NEAR(found->pieces_m[2], 3.0, 1e-9);
  EXPECT_NEAR(found->duct_m, 3.0 + 4.0 * 0.3048, 1e-12);
  double sum_m = 0.0;
  for (const double piece_m : found->pieces_m) {
    sum_m += piece_m;
  }
  EXPECT_NEAR(found->total_m, sum_m, 1e-12);
  EXPECT_NEAR(found->total_m * found->gradient_pa_m, run.loss.at(0.1), 1e-9);
  EXPECT_EQ(found->airflow_m3_s, 0.1);
}

TEST(EquivalentLength, the_duct_meant_is_the_section_with_most_of_the_length) {
  const layout::Layout layout =
      read("{straight: 4 ft}, {transition: 8 in round}, {straight: 7 ft}, {cap: wall-hood-flap}");
  const auto found = equivalent_length(layout, compiled(layout), 0.1);
  ASSERT_TRUE(found);
  EXPECT_EQ(found->section, duct::Section::round(units::inches(8.0)));
  EXPECT_NEAR(found->pieces_m[2], 7.0 * 0.3048, 1e-9);
  EXPECT_GT(found->pieces_m[0], 4.0 * 0.3048 * 3.0);
  EXPECT_FALSE(equivalent_length(layout, compiled(layout), 0.0));
}

}  // namespace
}  // namespace ductledger::solve
