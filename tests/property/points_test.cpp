#include <gtest/gtest.h>

#include <cmath>

#include "result/uncertainty.hpp"
#include "support/check_text.hpp"

/// Bands by few even points against the quantiles of many plain samples.
namespace ductledger {
namespace {

struct Asked {
  const char* name;
  const char* fan;
  const char* pieces;
};

void PrintTo(const Asked& asked, std::ostream* out) { *out << asked.name; }

class EvenSamples : public testing::TestWithParam<Asked> {
 protected:
  static study::CheckResult checked(const std::string& pieces) {
    return support::check(
        std::string("layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nfan:\n  speeds: "
                    "[{name: high, ") +
        GetParam().fan + "}]\nrun:\n  section: 8 in round\n  heading: up\n  pieces:\n" + pieces);
  }
  static solve::ErrorModel model_of(const study::CheckResult& check) {
    const auto& fan = check.speeds.front().fan;
    return {check.layout, check.run, {.fan = &*fan.fan, .origin = fan.origin}};
  }
  static double half_width(const solve::AirflowLimits& limits) {
    return (limits.high_m3_s - limits.low_m3_s) / 2.0;
  }
};

// 400000 plain samples know a half-width to about a tenth of a percent.
constexpr result::SampleOptions kPlain{.count = 400000, .seed = 4};
constexpr double kWithin = 0.02;

TEST_P(EvenSamples, GiveTheHalfWidthWithinTwoPercentOfManyPlainSamples) {
  const study::CheckResult check = checked(GetParam().pieces);
  ASSERT_EQ(check.speeds.front().point.status, solve::Status::found);
  const solve::ErrorModel model = model_of(check);
  const double plain = half_width(result::band(result::sample(model, kPlain)));
  const double even = half_width(result::band(result::even_samples(model)));
  ASSERT_TRUE(std::isfinite(plain));  // else an end is open, and there is no width
  EXPECT_NEAR(even / plain, 1.0, kWithin);
}

TEST_P(EvenSamples, OfTwoRunsShareTheErrorsTheyShare) {
  const study::CheckResult one = checked(GetParam().pieces);
  const study::CheckResult other =
      checked(std::string("    - straight: 12 ft\n") + GetParam().pieces);
  const solve::ErrorModel a = model_of(one);
  const solve::ErrorModel b = model_of(other);
  const double plain =
      half_width(result::difference_band({result::sample(a, kPlain), result::sample(b, kPlain)}));
  const auto change =
      [](const solve::ErrorModel& model, const study::CheckResult& of, double sign) {
        std::vector<double> all(model.sources().size());
        const auto first = solve::first_order(model, of.speeds.front().point.airflow_m3_s);
        for (const solve::SourceEffect& effect : first.effects) {
          all[effect.source] = sign * effect.airflow_m3_s;
        }
        return all;
      };
  const std::vector<result::Joint> joint{{a, change(a, one, 1.0)}, {b, change(b, other, -1.0)}};
  const auto even = result::even_samples(joint);
  EXPECT_NEAR(half_width(result::difference_band({even[0], even[1]})) / plain, 1.0, 2.0 * kWithin);
}

INSTANTIATE_TEST_SUITE_P(
    Cases,
    EvenSamples,
    testing::Values(
        Asked{"Falling",
              "curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}",
              "    - straight: 10 ft\n    - elbow: {type: smooth-radius, turn: back}\n"
              "    - straight: 4 ft\n    - cap: wall-hood-flap\n"},
        Asked{
            "Humped",
            "curve: {airflow: 0 100 200 300 400 500 600 cfm, pressure: 110 95 100 108 95 60 0 Pa}",
            "    - straight: 10 ft\n    - elbow: {type: smooth-radius, turn: back}\n"
            "    - straight: 4 ft\n    - cap: wall-hood-flap\n"},
        Asked{"Skewed",
              "curve: {airflow: 0 100 200 700 cfm, pressure: 0.30 0.29 0.27 0 inH2O}",
              "    - straight: 4 ft\n    - cap: {type: grille, coefficient: 30 +- 60 %}\n"}),
    [](const auto& one) { return std::string(one.param.name); });

}  // namespace
}  // namespace ductledger
