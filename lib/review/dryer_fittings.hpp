#pragma once

/// Equivalent lengths of a dryer duct's elbows.
namespace ductledger::review {

struct DryerElbow {
  double radius_m = 0.0;   ///< of the centre line; smooth elbows only
  double angle_rad = 0.0;  ///< above 0
  bool smooth = false;     ///< else mitered, or any make that the table does not list
};

struct DryerElbowLength {
  double length_m = 0.0;
  bool listed = true;  ///< false: the table lists no such smooth elbow, read as mitered
};

/// @source irc-dryer Table M1502.4.6.1 (2021, 2024), M1502.4.5.1 (2015)
[[nodiscard]] DryerElbowLength dryer_elbow_length(const DryerElbow& elbow);

}  // namespace ductledger::review
