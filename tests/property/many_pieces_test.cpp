#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "edit/edit.hpp"
#include "layout/geometry.hpp"
#include "result/uncertainty.hpp"
#include "solve/lump.hpp"
#include "study/advice.hpp"
#include "study/size.hpp"
#include "support/check_text.hpp"

// Runs of very many pieces: what they cost grows with their number, and the answers stay.
namespace ductledger::study {
namespace {

enum class Treads { feet, inches };

/// A staircase of treads of several lengths. Those of feet keep its elbows out of each other's way.
std::string run_of(std::size_t steps, const std::string& cap, Treads treads = Treads::feet) {
  std::string text =
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round, required_airflow: 100 cfm}\nfan:\n"
      "  speeds: [{name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 9 8.5 7 3 0 "
      "inH2O}}]\nrun:\n  section: 8 in round\n  heading: up\n  pieces:\n";
  for (std::size_t i = 0; i < steps; ++i) {
    text += fmt::format("    - straight: {} {}\n    - elbow: {{type: smooth-radius, turn: {}}}\n",
                        (treads == Treads::feet ? 10 : 6) + i % 9,
                        treads == Treads::feet ? "ft" : "in",
                        i % 2 == 0 ? "back" : "up");
  }
  return text + "    - straight: 1 ft\n    - cap: " + cap + '\n';
}

solve::ErrorModel model_of(const CheckResult& check) {
  const auto& fan = check.speeds.front().fan;
  return {check.layout, check.run, {.fan = &*fan.fan, .origin = fan.origin}};
}

double half_width(const solve::AirflowLimits& limits) {
  return (limits.high_m3_s - limits.low_m3_s) / 2.0;
}

constexpr std::size_t kTreads = 150;
constexpr double kWithin = 0.02;  // of a half-width, as bands are known

TEST(ManyPieces, lumped_errors_are_few_and_uncertain_by_as_much) {
  const CheckResult checked = support::check(run_of(kTreads, "wall-hood-flap"));
  const solve::ErrorModel model = model_of(checked);
  ASSERT_GT(model.sources().size(), kTreads);
  const std::vector<const solve::ErrorModel*> one{&model};
  const auto lumped = solve::lumped(one);
  ASSERT_EQ(lumped.size(), 1U);
  EXPECT_LT(lumped.front().sources.size(), 20U);
  EXPECT_EQ(lumped.front().sources.size(), lumped.front().of.size());
  EXPECT_LT(lumped.front().arrays.pieces.size(), 12U);
  // At rest of all errors the lumps lose what the pieces lose.
  const auto sum = [](const solve::ErrorModel::Arrays& arrays, double solve::PieceLoss::*term) {
    double all = 0.0;
    for (const auto& piece : arrays.pieces) {
      all += piece.loss.*term;
    }
    return all;
  };
  for (const auto term : {&solve::PieceLoss::square_pa_s2_m6,
                          &solve::PieceLoss::friction_ratio,
                          &solve::PieceLoss::reynolds_square_pa_s2_m6}) {
    EXPECT_NEAR(sum(lumped.front().arrays, term) / sum(model.arrays(), term), 1.0, 1e-12);
  }
  std::vector<char> held(model.sources().size(), 0);
  for (const auto& of : lumped.front().of) {
    for (const std::size_t source : of) {
      EXPECT_EQ(held[source], 0) << source;
      held[source] = 1;
    }
  }
  EXPECT_EQ(std::count(held.begin(), held.end(), 1), static_cast<std::ptrdiff_t>(held.size()));
}

TEST(ManyPieces, have_the_band_of_plain_samples) {
  const CheckResult checked =
      support::check(run_of(kTreads, "{type: grille, coefficient: 30 +- 60 %}"));
  const solve::ErrorModel model = model_of(checked);
  const double plain = half_width(result::band(result::sample(model, {.count = 60000, .seed = 3})));
  EXPECT_NEAR(half_width(result::even_count(model).quantiles) / plain, 1.0, kWithin);
}

TEST(ManyPieces, of_two_runs_share_what_they_share) {
  const std::string text = run_of(kTreads, "{type: grille, coefficient: 30 +- 60 %}");
  const CheckResult one = support::check(text);
  auto longer =
      edit::with_length(one.layout, fitting::Catalogue::built_in(), {.piece = 0, .length_m = 40.0});
  ASSERT_TRUE(longer);
  const auto other = check(*std::move(longer), fitting::Catalogue::built_in());
  ASSERT_TRUE(other);
  const solve::ErrorModel a = model_of(one);
  const solve::ErrorModel b = model_of(*other);
  const result::SampleOptions plain_samples{.count = 60000, .seed = 3};
  const double plain = half_width(result::difference_band(
      {result::sample(a, plain_samples), result::sample(b, plain_samples)}));
  const auto change = [](const solve::ErrorModel& model, const CheckResult& of, double sign) {
    std::vector<double> all(model.sources().size());
    const auto first = solve::first_order(model, of.speeds.front().point.airflow_m3_s);
    for (const solve::SourceEffect& effect : first.effects) {
      all[effect.source] = sign * effect.airflow_m3_s;
    }
    return all;
  };
  const std::vector<result::Joint> joint{{a, change(a, one, 1.0)}, {b, change(b, *other, -1.0)}};
  const auto even = result::even_samples(joint, {.count = 8192});
  EXPECT_NEAR(half_width(result::difference_band({even[0], even[1]})) / plain, 1.0, 2 * kWithin);
}

TEST(ManyPieces, pass_through_themselves_where_they_do) {
  const auto clash_of = [](const std::string& text) {
    const auto layout = support::read(text);
    EXPECT_TRUE(layout);
    return layout::first_clash(*layout, *layout::run_geometry(*layout));
  };
  EXPECT_FALSE(clash_of(run_of(1000, "wall-hood-flap", Treads::inches)));
  // Up the staircase, over it and down onto its first piece.
  std::string back = run_of(300, "wall-hood-flap", Treads::inches);
  const double way_in = [] {
    double sum = 0.0;
    for (std::size_t i = 1; i < 300; i += 2) {
      sum += 6.0 + static_cast<double>(i % 9);
    }
    return sum;
  }();
  const std::size_t at = back.rfind("    - straight: 1 ft\n");
  back.insert(at,
              fmt::format("    - straight: 10 ft\n    - elbow: {{turn: front, angle: 90 deg}}\n"
                          "    - straight: {} in\n    - elbow: {{turn: down}}\n"
                          "    - straight: 900 ft\n",
                          way_in));
  const auto clash = clash_of(back);
  ASSERT_TRUE(clash);
  EXPECT_EQ(clash->second, 604U);
  EXPECT_LT(clash->first, 600U);
}

TEST(ManyPieces, are_given_no_advice_nor_sizes_and_that_is_said) {
  const CheckResult checked = support::check(run_of(kMostPiecesAdvised / 2, "wall-hood-flap"));
  const Advice none = advice(checked, fitting::Catalogue::built_in());
  EXPECT_EQ(none.why_not, "the run has 502 pieces, and changes are tried in one of 500 at most");
  EXPECT_EQ(none.tried, 0U);
  const auto sized = size(checked.layout, fitting::Catalogue::built_in(), {});
  ASSERT_FALSE(sized);
  EXPECT_EQ(sized.error().front().rule, "too-many-pieces");
}

}  // namespace
}  // namespace ductledger::study
