#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// The closed set of published formulas that a catalogue file may name.
namespace ductledger::fitting {

enum class Law {
  borda_carnot,          ///< (1 - small/large)^2
  contraction_power,     ///< 0.5 (1 - small/large)^0.75
  contraction_linear,    ///< 0.5 (1 - small/large)
  expander_exponential,  ///< 0.9455 (1 - exp(-0.0541 theta)) (1 - small/large)^1.92, theta in
                         ///< degrees
  mitre_angle,           ///< 0.95 sin^2(theta/2) + 2.05 sin^4(theta/2)
  mitre_hyperbola,       ///< 0.95 + 33.5/theta, theta in degrees
  bend_radius_power,     ///< 0.21 (r/D)^-2.5 to r/D 1, 0.21 (r/D)^-0.5 beyond
  bend_angle,            ///< 0.9 sin(theta) to 70 degrees, 1 at 90, 0.7 + 0.35 theta/90 from 100
  bend_angle_thirds,     ///< theta/90
  screen_round_wire,     ///< 1.3 (1 - n) + (1/n - 1)^2
  grille_sharp_edged,    ///< (0.5 (1 - n) + 1 - n^2)/n^2
  converging_junction,   ///< see fitting/junction.hpp
  converging_tee_older,  ///< see fitting/junction.hpp
  diverging_junction,    ///< see fitting/junction.hpp
  flexible_compression,  ///< see duct/friction.hpp
};

/// The name in a catalogue file, such as `borda-carnot`.
[[nodiscard]] std::string_view name_of(Law law) noexcept;
[[nodiscard]] const std::vector<std::string>& law_names();
[[nodiscard]] std::optional<Law> law_named(std::string_view name) noexcept;

/// Variables a law reads, by catalogue name; one or two.
[[nodiscard]] const std::vector<std::string>& law_variables(Law law);

/// True for those that give one number for one piece; the others need a flow ratio or belong to
/// friction, and are documented by the entry.
[[nodiscard]] bool gives_coefficient(Law law) noexcept;

/// The law's value. @param first, second its variables in the order of `law_variables`, SI
/// (angles in radians). Outside its range the formula is continued; the caller says so.
struct LawArguments {
  double first = 0.0;
  double second = 0.0;
};
[[nodiscard]] double law_value(Law law, const LawArguments& arguments) noexcept;

}  // namespace ductledger::fitting
