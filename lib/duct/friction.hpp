#pragma once

#include "units/quantity.hpp"

namespace ductledger::duct {

struct FrictionState {
  double reynolds = 0.0;            ///< [1] 0 and above
  double relative_roughness = 0.0;  ///< [1] roughness / De, 0 to 0.1
};

/// Darcy friction factor: 64/Re to 2300; Colebrook-White from 4000 (to 1e-10 relative up to 1e8);
/// between, with G = f Re^2, the cubic Hermite in Re with values and slopes of both laws at the two
/// ends. Allocates nothing.
/// @param state [1] Re 0 to 1e8, relative roughness 0 to 0.1; above a roughness of 0.1 the law is
/// carried on and the caller says so
/// @return [1]; infinite at Re = 0
/// @source colebrook-1939; blend: this project's design, loss rises everywhere (checked by a test)
[[nodiscard]] double friction_factor(const FrictionState& state) noexcept;

/// The factor with how it goes: d ln f / d ln Re, -1 in laminar flow.
struct SlopedFriction {
  double factor = 0.0;
  double exponent = 0.0;
};
/// @param state [1] as for friction_factor, Re above 0
/// @return [1] the derivative is that of the same laws. Allocates nothing.
/// @source colebrook-1939
[[nodiscard]] SlopedFriction sloped_friction(const FrictionState& state) noexcept;

/// G = f Re^2, the loss against airflow without its constants; 0 at Re = 0, finite everywhere.
/// @param state [1] as for friction_factor
/// @return [1]
/// @source colebrook-1939
[[nodiscard]] double friction_group(const FrictionState& state) noexcept;

struct FlexState {
  units::Length diameter;
  double stretched = 1.0;  ///< [1] installed length over fully stretched length
};

/// Loss multiplier of a flexible duct against the same duct fully stretched:
/// 1 + 0.58 K exp(-0.126 D), D in inches, K = 100 (1 - stretched) percent.
/// @param state [m, 1] diameter 6 to 10 in (0.1524 to 0.254 m), stretched 0.7 to 1; outside the
/// value is given and the caller says so
/// @return [1] on the loss over the installed length
/// @source ashrae-pdcf (memory), after abushakra-2004
[[nodiscard]] double flexible_multiplier(const FlexState& state) noexcept;

/// True where flexible_multiplier is read outside the range of its source.
/// @param state [m, 1] diameter 6 to 10 in and stretched 0.7 and above are inside
/// @source ashrae-pdcf (memory)
[[nodiscard]] bool is_outside_flexible_range(const FlexState& state) noexcept;

/// Roughness of fully stretched flexible duct with wire helix [m]. @source ashrae-roughness-2021
inline constexpr double kFlexibleRoughnessM = 0.0009;

}  // namespace ductledger::duct
