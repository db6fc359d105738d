#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// A hinged flap that the stream holds open: its angle by the balance of moments, its loss by its
/// angle. Equations in docs/method.md, "Floating flap".
namespace ductledger::fitting {

/// A row of the printed table of a top-hinged flap on an outlet.
struct FlapRow {
  double angle_rad;    ///< from closed
  double coefficient;  ///< on the duct's velocity pressure, the exit's 1.0 included
};
/// @source idelchik, top-hinged single flap on an outlet, flap length over width 1.0 (memory)
[[nodiscard]] const std::vector<FlapRow>& flap_rows();

/// The table's coefficient, a power of the angle between its rows; below the first row as the
/// inverse square of the angle, since the gap grows with it (derived).
/// @param angle_rad [rad] over 0, to pi/2
[[nodiscard]] double flap_coefficient(double angle_rad);

/// Where the flap stands: (C + 1) VP cos(angle) = w sin(angle), the moments of the stream and of
/// the weight about the hinge, both over half the flap's height (derived from the momentum of the
/// stream, which leaves along the flap).
/// @param lift [1] velocity pressure over the weight per area, both in Pa; 0 and above
/// @return [rad] 0 to pi/2
[[nodiscard]] double flap_angle_rad(double lift);

/// How many times its part of the coefficient, fully open, a floating flap costs beyond that part:
/// (C(angle) - 1)/(C(90 deg) - 1) - 1; falls with `lift` to 0, and lift x (1 + this) rises with it.
/// Read from nodes laid out at the first call; allocates nothing afterwards.
/// @param lift [1] over 0
[[nodiscard]] double flap_excess(double lift) noexcept;

/// What flaps are made of.
struct FlapMaterial {
  std::string_view name;
  double mass_kg_m2;
  std::string_view basis;
};
/// 0.5 mm aluminum, 26 gauge galvanized steel, 1.5 mm plastic.
[[nodiscard]] const std::vector<FlapMaterial>& flap_materials();
[[nodiscard]] std::vector<std::string> flap_material_names();

/// Of a type of fitting whose flap floats.
struct FloatingFlap {
  double open_coefficient = 0.0;  ///< [1] its part of the coefficient where it stands fully open
  double mass_kg_m2 = 0.0;        ///< where a layout states none
};

}  // namespace ductledger::fitting
