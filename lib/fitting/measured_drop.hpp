#pragma once

#include <limits>
#include <vector>

#include "duct/section.hpp"
#include "units/quantity.hpp"

namespace ductledger::fitting {

/// Where a printed pressure drop was taken: total pressure lost, or the static pressure in the duct
/// against the still air beyond the fitting.
enum class DropBasis { total, static_at_cap, static_at_entry };

/// Pressure drops at airflows, as printed by a maker or measured, and the coefficient they come to.
struct MeasuredDrop {
  duct::Section section = duct::Section::round(units::inches(6.0));
  double density_kg_m3 = units::kStandardDensityKgM3;
  DropBasis basis = DropBasis::total;
  std::vector<double> airflow_m3_s;  ///< ascending, above 0 [n]
  std::vector<double> pressure_pa;   ///< as printed, above 0 [n]

  // What follows from them.
  std::vector<double> coefficient;  ///< of each reading alone [n]
  std::vector<double> residual;     ///< each reading's coefficient over the fitted one, less 1 [n]
  double fitted = 0.0;
  double residual_spread = 0.0;  ///< [1] standard deviation of the residuals, n - 1
  /// The loss follows airflow to this power; 2 for a coefficient that is constant.
  double exponent = 2.0;
  double exponent_error = std::numeric_limits<double>::quiet_NaN();  ///< standard error
  bool trend = false;  ///< the exponent differs from 2 by more than 0.05 and by its 95 % interval
};

/// Fits the coefficient: least squares in C with equal weights, so that each reading's relative
/// error counts the same. C_i = loss_i / VP_i; C is their mean. The loss is the drop, plus VP for a
/// static pressure before a cap, less VP for one behind an entry.
/// @param drop [m3/s, Pa] at least two readings, airflows ascending and above 0
/// @return false where a reading leaves no loss (a static pressure below the velocity pressure)
/// @source textbook (least squares; the trend by Student's t of the slope of ln loss)
[[nodiscard]] bool fit(MeasuredDrop& drop);

}  // namespace ductledger::fitting
