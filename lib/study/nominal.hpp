#pragma once

#include <optional>
#include <string>
#include <vector>

#include "findings/finding.hpp"

/// The run against a nominal one: 10 ft of rigid galvanized steel, two 90 degree elbows and one
/// termination, all of the collar's size, in the same air and house, with the same pressures at
/// both ends: only the pieces differ.
/// @source nominal-airflow-2023 the route; its elbows and cap are chosen here: elbow/smooth-radius
/// (r/D 1.5 round, r/W 1.0 in the plane of the shorter side) and cap/wall-hood-flap
namespace ductledger::study {

inline constexpr double kNominalLengthM = 10.0 * units::kMetresPerFoot;

struct NominalSpeed {
  solve::Status status = solve::Status::no_fan;
  double airflow_m3_s = 0.0;
  /// Of this route against the nominal one; nothing where either airflow is not exact.
  std::optional<double> difference_m3_s;
  std::optional<double> difference_ratio;
};

struct NominalRoute {
  duct::Section section;                            ///< the collar's
  std::string elbow;                                ///< catalogue entry
  std::string cap;                                  ///< catalogue entry
  std::vector<std::optional<NominalSpeed>> speeds;  ///< as CheckResult::speeds; nothing: no curve
};

/// Nothing without a fan at the collar that can be solved, without a stated collar or section, or
/// for a dryer, whose lengths have their own rule. @param demand of the run in its house
[[nodiscard]] std::optional<NominalRoute> nominal_route(
    const layout::Layout& layout,
    const fitting::Catalogue& catalogue,
    const solve::Demand& demand,
    const std::vector<result::SpeedResult>& speeds);

}  // namespace ductledger::study
