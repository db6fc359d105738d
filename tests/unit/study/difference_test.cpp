#include "study/difference.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <map>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "edit/variant.hpp"
#include "result/uncertainty.hpp"
#include "support/check_text.hpp"

namespace ductledger::study {
namespace {

// Invented data.
const std::string kFan =
    "layout: 1\n"
    "title: plan\n"
    "appliance: {kind: range-hood, collar: 7 in round, includes: [filter, damper]}\n"
    "fan: {speeds: [{name: high, curve: {airflow: 0 105 210 280 320 cfm, "
    "pressure: 0.9 0.78 0.5 0.22 0 inH2O}}]}\n";
const std::string kRun = kFan +
                         "run:\n"
                         "  section: 6 in round\n"
                         "  heading: up\n"
                         "  pieces:\n"
                         "    - straight: 4 ft\n"
                         "    - elbow: {type: gored-5, turn: back, radius_ratio: 1.5}\n"
                         "    - straight: {length: 10 ft, through: attic}\n"
                         "    - cap: wall-hood-flap\n";

study::CheckResult variant_of(const std::string& text) {
  const auto layout = support::read(text);
  EXPECT_TRUE(layout) << base::render(layout.error());
  auto edited =
      edit::with_variant(*layout, fitting::Catalogue::built_in(), layout->variants.front());
  EXPECT_TRUE(edited) << base::render(edited.error());
  auto result = study::check(*std::move(edited), fitting::Catalogue::built_in());
  EXPECT_TRUE(result);
  return *std::move(result);
}

study::Difference of(const study::CheckResult& a, const study::CheckResult& b) {
  return study::difference({a, a.speeds.front()}, {b, b.speeds.front()});
}

solve::ErrorModel model(const study::CheckResult& result) {
  const result::SpeedResult& speed = result.speeds.front();
  return {result.layout, result.run, {&*speed.fan.fan, speed.fan.origin}};
}

std::set<std::string> identities(const study::CheckResult& result) {
  std::set<std::string> names;
  const solve::ErrorModel of = model(result);
  for (const solve::ErrorSource& source : of.sources()) {
    names.insert(source.identity);
  }
  return names;
}

std::size_t starting_with(const std::set<std::string>& names, const std::string& prefix) {
  return static_cast<std::size_t>(
      std::count_if(names.begin(), names.end(), [&](const std::string& name) {
        return name.compare(0, prefix.size(), prefix) == 0;
      }));
}

std::set<std::string> common(const std::set<std::string>& a, const std::set<std::string>& b) {
  std::set<std::string> both;
  std::set_intersection(a.begin(), a.end(), b.begin(), b.end(), std::inserter(both, both.begin()));
  return both;
}

/// Both runs solved one sample after the other, with numbers drawn here.
result::Band drawn_one_by_one(const study::CheckResult& a, const study::CheckResult& b) {
  const std::array<solve::ErrorModel, 2> models{model(a), model(b)};
  std::mt19937_64 engine(99);
  std::normal_distribution<double> normal;
  std::vector<double> differences;
  constexpr std::size_t kCount = 4000;
  for (std::size_t i = 0; i < kCount; ++i) {
    std::map<std::string, double> drawn;
    std::array<double, 2> airflow_m3_s{};
    for (std::size_t m = 0; m < 2; ++m) {
      std::vector<double> z;
      for (const solve::ErrorSource& source : models[m].sources()) {
        if (drawn.count(source.identity) == 0) {
          drawn[source.identity] = normal(engine);
        }
        z.push_back(drawn[source.identity]);
      }
      const solve::PerturbedRun run = models[m].at(z);
      airflow_m3_s[m] = solve::operating_point(run.demand(), *run.fan).airflow_m3_s;
    }
    differences.push_back(airflow_m3_s[0] - airflow_m3_s[1]);
  }
  std::sort(differences.begin(), differences.end());
  return {differences[static_cast<std::size_t>(0.023 * kCount)],
          differences[static_cast<std::size_t>(0.977 * kCount)]};
}

void expect_as_drawn(const study::CheckResult& a, const study::CheckResult& b) {
  const study::Difference difference = of(a, b);
  ASSERT_TRUE(difference.band_m3_s);
  const result::Band drawn = drawn_one_by_one(a, b);
  const double half_m3_s = (drawn.high - drawn.low) / 2.0;
  EXPECT_NEAR(
      (difference.band_m3_s->high - difference.band_m3_s->low) / 2.0, half_m3_s, 0.1 * half_m3_s)
      << difference.method;
}

/// A run and a variant of it, both of one file.
struct Two {
  study::CheckResult run;
  study::CheckResult variant;
};
Two two(const std::string& run, const std::string& variant) {
  const std::string text = run + "variants: {a: " + variant + "}\n";
  return {support::check(text), variant_of(text)};
}

TEST(Difference, bands_of_wide_errors_are_those_of_joint_samples) {
  for (const char* variant : {"{section: 7 in round}",
                              "{pieces: {2: {type: mitered}}}",
                              "{pieces: {4: {type: louver}}}"}) {
    SCOPED_TRACE(variant);
    const Two runs = two(kRun, variant);
    expect_as_drawn(runs.variant, runs.run);
  }
}

TEST(Difference, a_larger_duct_behind_the_same_cap_surely_gains_though_the_bands_overlap) {
  const auto [six, seven] = two(kRun, "{section: 7 in round}");
  const study::Difference gain = of(seven, six);
  EXPECT_NEAR(gain.airflow_m3_s / units::kM3SPerCfm, 32.0, 2.0);
  EXPECT_TRUE(gain.is_sure());
  const result::Band narrow = *six.speeds.front().airflow_band_m3_s;
  const result::Band wide = *seven.speeds.front().airflow_band_m3_s;
  EXPECT_GT(narrow.high - wide.low, 0.3 * (wide.high - wide.low));
  EXPECT_LT(gain.band_m3_s->high - gain.band_m3_s->low, 0.5 * (wide.high - wide.low));
  const study::Difference loss = of(six, seven);
  EXPECT_EQ(loss.airflow_m3_s, -gain.airflow_m3_s);
  EXPECT_NEAR(loss.band_m3_s->low, -gain.band_m3_s->high, 1e-12);
}

TEST(Difference, inside_its_band_it_names_no_winner) {
  std::string reduced(kRun);
  reduced.replace(reduced.find("    - cap"), 0, "    - transition: 8 in round\n");
  const auto [narrow, wide] = two(reduced, "{section: 7 in round}");  // the cap is then smaller
  const study::Difference gain = of(wide, narrow);
  EXPECT_LT(gain.band_m3_s->low, 0.0);
  EXPECT_GT(gain.band_m3_s->high, 0.0);
  EXPECT_FALSE(gain.is_sure());
}

TEST(Difference, equal_runs_differ_by_nothing_and_nothing_is_doubtful) {
  const Two runs = two(kRun, "{pieces: {3: {through: chase}}}");
  const study::Difference none = of(runs.variant, runs.run);
  EXPECT_EQ(none.airflow_m3_s, 0.0);
  ASSERT_TRUE(none.band_m3_s);
  EXPECT_EQ(none.band_m3_s->low, 0.0);
  EXPECT_EQ(none.band_m3_s->high, 0.0);
  EXPECT_FALSE(none.is_sure());
}

TEST(Difference, a_fan_of_two_points_has_one_shape_in_both_runs) {
  std::string text(kRun);
  const std::string curve = "airflow: 0 105 210 280 320 cfm, pressure: 0.9 0.78 0.5 0.22 0 inH2O";
  text.replace(text.find(curve), curve.size(), "airflow: 0 320 cfm, pressure: 0.9 0 inH2O");
  const auto [base, wider] = two(text, "{section: 7 in round}");
  ASSERT_TRUE(base.speeds.front().other_shape);
  const study::Difference none = of(base, base);
  EXPECT_EQ(none.band_m3_s->low, 0.0);
  EXPECT_EQ(none.band_m3_s->high, 0.0);
  const study::Difference gain = of(wider, base);
  const double by_line_m3_s = wider.speeds.front().other_shape->airflow_m3_s -
                              base.speeds.front().other_shape->airflow_m3_s;
  EXPECT_LT(gain.band_m3_s->low, std::min(gain.airflow_m3_s, by_line_m3_s));
  EXPECT_GT(gain.band_m3_s->high, std::max(gain.airflow_m3_s, by_line_m3_s));
}

TEST(Difference, variants_of_a_file_share_its_errors) {
  const std::string text =
      kFan +
      "run:\n  section: 7 in round\n  heading: up\n  pieces:\n"
      "    - straight: 4 ft\n    - elbow: {turn: back, coefficient: 0.4}\n"
      "    - loss: {coefficient: 0.3}\n    - straight: 6 ft\n    - cap: wall-hood-flap\n";
  const auto shared = [&](const std::string& variant) {
    const Two runs = two(text, variant);
    return common(identities(runs.run), identities(runs.variant));
  };
  const std::set<std::string> shorter = shared("{pieces: {4: out}}");
  EXPECT_EQ(starting_with(shorter, "stated:"), 2U);
  EXPECT_EQ(starting_with(shorter, "length:"), 1U);
  EXPECT_EQ(starting_with(shorter, "fan-pressure"), 1U);
  // Another figure for the same piece is another error.
  const std::set<std::string> other = shared("{pieces: {2: {coefficient: 0.2}}}");
  EXPECT_EQ(starting_with(other, "stated:"), 1U);
  EXPECT_EQ(starting_with(other, "length:"), 2U);
}

TEST(Difference, a_file_and_its_copy_with_a_comment_and_other_units_are_one_plan) {
  std::string copy = "# as measured\n" + kRun;
  copy.replace(copy.find("4 ft"), 4, "48 in");
  EXPECT_EQ(identities(support::check(copy)), identities(support::check(kRun)));
  const study::Difference none = of(support::check(copy), support::check(kRun));
  EXPECT_NEAR(none.airflow_m3_s, 0.0, 1e-12);
  ASSERT_TRUE(none.band_m3_s);
  EXPECT_NEAR(none.band_m3_s->low, 0.0, 1e-12);
  EXPECT_NEAR(none.band_m3_s->high, 0.0, 1e-12);
}

TEST(Difference, files_share_the_fan_and_the_catalogue_but_not_their_lengths) {
  std::string low(kRun);
  low.replace(low.find("]}\nrun"), 2, ", {name: low, speed_ratio: 0.5}]}");
  const std::set<std::string> shared =
      common(identities(support::check(kRun)), identities(support::check(low)));
  EXPECT_EQ(starting_with(shared, "fan-pressure"), 1U);
  EXPECT_EQ(starting_with(shared, "entry:"), 3U);  // at the collar, elbow, cap
  EXPECT_EQ(starting_with(shared, "length:"), 0U);
  std::string another(kRun);
  another.replace(another.find("280 320"), 7, "280 330");
  const std::set<std::string> fans =
      common(identities(support::check(kRun)), identities(support::check(another)));
  EXPECT_EQ(starting_with(fans, "fan-pressure"), 0U);
  // Equal runs of two files: their lengths alone are in doubt.
  std::string titled(kRun);
  titled.replace(titled.find("plan"), 4, "built");
  const study::Difference lengths = of(support::check(titled), support::check(kRun));
  EXPECT_EQ(lengths.airflow_m3_s, 0.0);
  EXPECT_GT(lengths.band_m3_s->high, 0.0);
  EXPECT_FALSE(lengths.is_sure());
}

}  // namespace
}  // namespace ductledger::study
