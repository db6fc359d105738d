#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solve/run.hpp"

namespace ductledger::solve {

/// A run's losses as metres of one straight duct: each piece's loss at the airflow over that duct's
/// friction for one metre there. The length depends on the airflow, which it names.
///
/// The straight duct meant has the section in which the run has its greatest length of duct
/// (straights and flexible duct, the first of equals; without any, the section leaving the collar)
/// and the roughness of `run.material`. Every entry between the ends counts by its loss at the
/// airflow, those whose loss is no square of it among them (flap, filter, flexible duct); stack,
/// wind and fan are pressures and do not count.
struct EquivalentLength {
  double airflow_m3_s = 0.0;
  duct::Section section = duct::Section::round(units::inches(6.0));
  std::string material;  ///< empty: the roughness was stated as a number
  double gradient_pa_m = 0.0;
  double total_m = 0.0;
  double duct_m = 0.0;           ///< lengths of straights and flexible duct, as they are
  std::vector<double> pieces_m;  ///< for each of CompiledRun::pieces
};

/// Nothing without airflow.
[[nodiscard]] std::optional<EquivalentLength> equivalent_length(const layout::Layout& layout,
                                                                const CompiledRun& run,
                                                                double airflow_m3_s);

/// A coefficient as a length of straight duct, and back: the two give the same loss at that airflow
/// and no other, C VP = L dp/dx.
struct StraightDuct {
  duct::Section section;
  double roughness_m = 0.0;
  double airflow_m3_s = 0.0;
};
/// [m] @param coefficient [1] on the velocity pressure of the same section
[[nodiscard]] double length_of_coefficient(double coefficient,
                                           const StraightDuct& duct,
                                           const SiteAir& air);
/// [1] @param length_m [m]
[[nodiscard]] double coefficient_of_length(double length_m,
                                           const StraightDuct& duct,
                                           const SiteAir& air);

}  // namespace ductledger::solve
