#include "result/uncertainty.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>

#include "support/check_text.hpp"

// First order against samples, on random runs whose uncertainties stay below 10 %.
namespace ductledger {
namespace {

TEST(UncertaintyProperty, BelowTenPercentFirstOrderAndSamplesAgreeWithinTenPercent) {
  EXPECT_TRUE(rc::check([] {
    const auto u = [] { return *rc::gen::inRange(10, 100) / 10.0; };
    const double free_cfm = *rc::gen::inRange(150, 900);
    const double top_in_h2o = *rc::gen::inRange(30, 200) / 100.0;
    const std::string text = fmt::format(
        "layout: 1\n"
        "appliance: {{kind: exhaust, collar: 8 in round}}\n"
        "uncertainty: {{fan_pressure: {} %, friction: {} %, roughness: {} %, diameter: 0.5 mm}}\n"
        "fan: {{speeds: [{{name: a, curve: {{airflow: 0 {} {} {} cfm, pressure: {} {} {} 0 "
        "inH2O}}}}]}}\n"
        "run:\n  section: 8 in round\n  pieces:\n"
        "    - straight: {} ft\n"
        "    - elbow: {{angle: 90 deg, coefficient: {} +- {} %}}\n"
        "    - cap: {{type: grille, coefficient: {} +- {} %}}\n",
        u(),
        u(),
        u(),
        0.3 * free_cfm,
        0.6 * free_cfm,
        free_cfm,
        top_in_h2o,
        0.85 * top_in_h2o,
        0.55 * top_in_h2o,
        *rc::gen::inRange(2, 60),
        *rc::gen::inRange(1, 300) / 100.0,
        u(),
        1.2 + *rc::gen::inRange(0, 600) / 100.0,
        u());
    const auto result = support::check(text);
    const auto& speed = result.speeds.front();
    RC_ASSERT(speed.point.status == solve::Status::found);
    const solve::ErrorModel model(result.layout, result.run, {&*speed.fan.fan, speed.fan.origin});
    const auto first = solve::first_order(model, speed.point.airflow_m3_s);
    // 4000 samples: the half-width of the quantiles is known to about 2.5 %.
    const auto limits = result::band(result::sample(model, {.count = 4000, .seed = 1}));
    const double half_m3_s = 2.0 * first.standard_m3_s;
    RC_ASSERT(std::abs((limits.high_m3_s - limits.low_m3_s) / 2.0 - half_m3_s) <= 0.1 * half_m3_s);
  }));
}

}  // namespace
}  // namespace ductledger
