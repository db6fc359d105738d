#pragma once

#include <vector>

/// The prescriptive length of a dryer's duct: elbows as lengths of straight duct; data in
/// fittings/dryer-elbow-lengths.yaml.
namespace ductledger::fitting {

enum class DryerMake { mitered, smooth };

struct DryerElbowRow {
  DryerMake make = DryerMake::mitered;
  double radius_m = 0.0;  ///< of the centre line
  double angle_rad = 0.0;
  double length_m = 0.0;
};

/// The table and the length that it takes from.
/// @source irc-dryer table M1502.4.6.1 (2021, 2024), M1502.4.5.1 (2015)
struct DryerTable {
  std::vector<DryerElbowRow> rows;
  double greatest_length_m = 0.0;  ///< 35 ft; 25 ft in editions before 2012
  double diameter_m = 0.0;         ///< 4 in
};
[[nodiscard]] const DryerTable& dryer_table();

/// What an elbow counts for [m]. Smooth ones take the row of the greatest listed radius that they
/// reach, of the next listed angle up; anything not listed (mitered, gored or adjustable, a tighter
/// radius) the 4 in mitered row, a cautious reading that is not in the code's text. Turns of more
/// than 90 degrees count as 90 and what is left.
struct DryerElbow {
  DryerMake make = DryerMake::mitered;
  double radius_m = 0.0;   ///< [m] of the centre line, over 0
  double angle_rad = 0.0;  ///< [rad] over 0, below pi
};
struct DryerAllowance {
  double length_m = 0.0;
  bool listed = false;  ///< false: the mitered row stands in
};
/// @source irc-dryer, rows of the table
[[nodiscard]] DryerAllowance dryer_allowance(const DryerElbow& elbow);

}  // namespace ductledger::fitting
