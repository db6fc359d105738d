#include "duct/straight.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "duct/friction.hpp"

namespace ductledger::duct {
namespace {

const Straight kRun{.section = Section::rectangular(units::inches(10.0), units::inches(3.25)),
                    .length = units::feet(8.0),
                    .roughness = units::metres(0.09e-3)};

TEST(Straight, LossIsDarcyOnTheEquivalentDiameter) {
  const air::Air air = air::standard_air();
  const units::Flow flow = units::cfm(300.0);
  const StraightLoss result = straight_loss(kRun, flow, air);
  const double diameter_m = kRun.section.equivalent_diameter_m();
  const double velocity_m_s = 4.0 * flow.value() / (std::numbers::pi * diameter_m * diameter_m);
  EXPECT_DOUBLE_EQ(result.reynolds, 1.20138 * velocity_m_s * diameter_m / air.viscosity.value());
  EXPECT_EQ(
      result.friction_factor,
      friction_factor({.reynolds = result.reynolds, .relative_roughness = 0.09e-3 / diameter_m}));
  const double expected_pa = result.friction_factor * kRun.length.value() / diameter_m * 0.5 *
                             1.20138 * velocity_m_s * velocity_m_s;
  EXPECT_NEAR(result.loss.value(), expected_pa, 1e-12 * expected_pa);
}

TEST(Straight, NothingIsLostAtRest) {
  const StraightLoss result = straight_loss(kRun, units::cfm(0.0), air::standard_air());
  EXPECT_EQ(result.loss.value(), 0.0);
  EXPECT_TRUE(std::isinf(result.friction_factor));
}

TEST(Straight, VelocityUsesTheTrueArea) {
  const units::Velocity velocity = mean_velocity(kRun.section, units::cubic_metres_per_second(0.1));
  EXPECT_DOUBLE_EQ(velocity.value(), 0.1 / (10.0 * 3.25 * 0.0254 * 0.0254));
  EXPECT_DOUBLE_EQ(
      velocity_pressure(units::metres_per_second(10.0), air::standard_air().density).value(),
      60.069);
}

}  // namespace
}  // namespace ductledger::duct
