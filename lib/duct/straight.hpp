#pragma once

#include "air/air.hpp"
#include "duct/section.hpp"
#include "units/quantity.hpp"

namespace ductledger::duct {

/// rho V^2 / 2 [Pa]. @param velocity [m/s] any @param density [kg/m3] positive
/// @source bernoulli (definition)
[[nodiscard]] units::Pressure velocity_pressure(units::Velocity velocity,
                                                units::Density density) noexcept;

/// Airflow over the true area [m/s]. @param flow [m3/s] any @source continuity (definition)
[[nodiscard]] units::Velocity mean_velocity(const Section& section, units::Flow flow) noexcept;

/// A length of duct between fittings.
struct Straight {
  Section section;
  units::Length length;     ///< 0 and above
  units::Length roughness;  ///< 0 to 0.1 De
};

struct StraightLoss {
  units::Pressure loss;          ///< of total pressure
  double reynolds = 0.0;         ///< [1] on the equivalent diameter
  double friction_factor = 0.0;  ///< [1] Darcy, on the equivalent diameter
};

/// Loss of total pressure by wall friction, f (L/De) rho Ve^2/2 with Ve = 4 Q / (pi De^2).
/// @param straight [m] ranges as in Straight
/// @param flow [m3/s] 0 and above; no loss at 0, where the friction factor is infinite
/// @param air [kg/m3, Pa s] positive
/// @return [Pa]
/// @source colebrook-1939; huebscher-1948 rectangular; heyt-diaz-1975 flat oval
[[nodiscard]] StraightLoss straight_loss(const Straight& straight,
                                         units::Flow flow,
                                         const air::Air& air) noexcept;

}  // namespace ductledger::duct
