#include "study/difference.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>

#include "result/uncertainty.hpp"
#include "support/check_text.hpp"

// Bands of differences against samples drawn for both runs together, uncertainties below 10 %.
namespace ductledger {
namespace {

/// What the two runs of a pair share: fan, size of the errors, cap.
struct Shared {
  double free_cfm = 0.0;
  double top_in_h2o = 0.0;
  double fan_percent = 0.0;
  double friction_percent = 0.0;
  double cap_percent = 0.0;
};

std::string run_text(const Shared& shared) {
  const double cap = 1.2 + *rc::gen::inRange(0, 300) / 100.0;
  return fmt::format(
      "layout: 1\n"
      "appliance: {{kind: exhaust, collar: 8 in round}}\n"
      "uncertainty: {{fan_pressure: {} %, friction: {} %, diameter: 0.5 mm}}\n"
      "fan: {{speeds: [{{name: a, curve: {{airflow: 0 {} {} {} cfm, pressure: {} {} {} 0 "
      "inH2O}}}}]}}\n"
      "run:\n  section: {} in round\n  pieces:\n"
      "    - straight: {} ft\n"
      "    - elbow: {{angle: 90 deg, coefficient: {} +- {} %}}\n"
      "    - cap: {{type: grille, coefficient: {} +- {} %, error: cap}}\n",
      shared.fan_percent,
      shared.friction_percent,
      0.3 * shared.free_cfm,
      0.6 * shared.free_cfm,
      shared.free_cfm,
      shared.top_in_h2o,
      0.85 * shared.top_in_h2o,
      0.55 * shared.top_in_h2o,
      *rc::gen::inRange(6, 9),
      *rc::gen::inRange(2, 60),
      *rc::gen::inRange(1, 300) / 100.0,
      *rc::gen::inRange(10, 100) / 10.0,
      cap,
      shared.cap_percent);
}

TEST(DifferenceProperty, BandsAgreeWithJointSamplesWithinTenPercent) {
  EXPECT_TRUE(rc::check([] {
    const auto u = [] { return *rc::gen::inRange(10, 100) / 10.0; };
    const Shared shared{.free_cfm = static_cast<double>(*rc::gen::inRange(150, 900)),
                        .top_in_h2o = *rc::gen::inRange(30, 200) / 100.0,
                        .fan_percent = u(),
                        .friction_percent = u(),
                        .cap_percent = u()};
    const auto a = support::check(run_text(shared));
    const auto b = support::check(run_text(shared));
    const auto& speed_a = a.speeds.front();
    const auto& speed_b = b.speeds.front();
    RC_ASSERT(speed_a.point.status == solve::Status::found);
    RC_ASSERT(speed_b.point.status == solve::Status::found);
    const auto difference = study::difference({a, speed_a}, {b, speed_b});
    RC_ASSERT(difference.band_m3_s.has_value());
    const auto drawn = [](const study::CheckResult& of) {
      const auto& speed = of.speeds.front();
      return result::sample(
          solve::ErrorModel(of.layout, of.run, {&*speed.fan.fan, speed.fan.origin}),
          {.count = 6000, .seed = 7});
    };
    // 6000 samples: the half-width of the quantiles is known to about 2 %.
    const auto limits = result::difference_band({drawn(a), drawn(b)});
    const double half_m3_s = (limits.high_m3_s - limits.low_m3_s) / 2.0;
    const double given_m3_s = (difference.band_m3_s->high - difference.band_m3_s->low) / 2.0;
    RC_ASSERT(std::abs(given_m3_s - half_m3_s) <= 0.1 * half_m3_s);
    // Never wider than if all errors of the two worked against each other.
    const double apart_m3_s = (speed_a.airflow_band_m3_s->high - speed_a.airflow_band_m3_s->low +
                               speed_b.airflow_band_m3_s->high - speed_b.airflow_band_m3_s->low) /
                              2.0;
    RC_ASSERT(given_m3_s <= apart_m3_s);
  }));
}

}  // namespace
}  // namespace ductledger
