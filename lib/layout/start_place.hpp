#pragma once

#include <optional>

namespace ductledger::layout {

/// Where a duct begins: the collar, or a makeup duct's opening outdoors.
struct StartPlace {
  std::optional<double> above_floor_m{};  ///< the finished one
  std::optional<double> from_wall_m{};    ///< before the wall behind the appliance, else negative
  std::optional<double> from_left_m{};
  std::optional<double> from_center_m{};  ///< right of the appliance's centerline
};

}  // namespace ductledger::layout
