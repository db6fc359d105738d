#pragma once

#include <optional>

#include "units/constants.hpp"

/// The residential code's table of greatest exhaust duct lengths by airflow and diameter.
namespace ductledger::rules {

enum class DuctMake { flexible, smooth };

enum class TableAnswer {
  length,       ///< at most `length_m`
  no_limit,     ///< any length
  not_allowed,  ///< none
  outside       ///< more airflow than the last column: the table has no answer
};

struct TableCell {
  TableAnswer answer = TableAnswer::outside;
  double length_m = 0.0;  ///< of a duct without elbows
  double column_m3_s = 0.0;
  double row_m = 0.0;  ///< diameter of the row that was read; 0: below the first
};

struct TableAsked {
  DuctMake make = DuctMake::smooth;
  double airflow_m3_s = 0.0;  ///< rated at 0.25 inH2O
  double diameter_m = 0.0;    ///< not round: 4 area / perimeter
};

/// Between columns the next higher airflow, between rows the next smaller diameter; under 50 cfm
/// the 50 cfm column. These readings are ours: the code does not say how to round.
/// @source irc-length-table Table M1504.2 (2021, 2024), Table M1506.2 (2015)
[[nodiscard]] TableCell prescriptive_length(const TableAsked& asked);

/// Each elbow takes 15 ft off.
constexpr double kElbowDeduction_m = 15.0 * units::kMetresPerFoot;
/// The airflow is the one rated at 0.25 inH2O.
constexpr double kTableRatingPressure_pa = 0.25 * units::kPascalPerInchWater;

}  // namespace ductledger::rules
