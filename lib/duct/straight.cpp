#include "duct/straight.hpp"

#include <numbers>

#include "duct/friction.hpp"

namespace ductledger::duct {

units::Pressure velocity_pressure(units::Velocity velocity, units::Density density) noexcept {
  return units::pascals(0.5 * density.value() * velocity.value() * velocity.value());
}

units::Velocity mean_velocity(const Section& section, units::Flow flow) noexcept {
  return units::metres_per_second(flow.value() / section.area_m2());
}

StraightLoss straight_loss(const Straight& straight,
                           units::Flow flow,
                           const air::Air& air) noexcept {
  const double diameter_m = straight.section.equivalent_diameter_m();
  const double density_kg_m3 = air.density.value();
  const double viscosity_pa_s = air.viscosity.value();
  const double velocity_m_s = 4.0 * flow.value() / (std::numbers::pi * diameter_m * diameter_m);
  const FrictionState state{.reynolds = density_kg_m3 * velocity_m_s * diameter_m / viscosity_pa_s,
                            .relative_roughness = straight.roughness.value() / diameter_m};
  // f V^2 by way of f Re^2, which stays finite at rest.
  const double per_length = viscosity_pa_s / (density_kg_m3 * diameter_m);
  const double loss_pa = friction_group(state) * straight.length.value() / diameter_m * 0.5 *
                         density_kg_m3 * per_length * per_length;
  return {.loss = units::pascals(loss_pa),
          .reynolds = state.reynolds,
          .friction_factor = friction_factor(state)};
}

}  // namespace ductledger::duct
