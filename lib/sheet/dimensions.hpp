#pragma once

#include <array>
#include <string>
#include <vector>

#include "sheet/drawing.hpp"

namespace ductledger::sheet {

enum class Side { left, below };

/// One measure from the datum.
struct Measured {
  Point at;          ///< what is measured to
  std::string text;  ///< `6 ft 8 in collar`
};

/// Running dimensions along one side of a view, as a tape lies: one line from the datum, whose end
/// is a ring, with a tick for each measure.
struct Datum {
  Side side = Side::below;
  double at_m = 0.0;    ///< along the side
  double edge_m = 0.0;  ///< the view's edge on that side
  /// Where the line is broken, from and to; the measures across are true.
  std::vector<std::array<double, 2>> gaps{};
};
/// @return the line's ends
std::array<Point, 2> add_dimensions(Drawing& drawing,
                                    const Datum& datum,
                                    std::vector<Measured> measures);

/// Places as near to the wanted ones as a distance between neighbors allows.
/// @param wanted ascending
[[nodiscard]] std::vector<double> spread(const std::vector<double>& wanted, double apart);

}  // namespace ductledger::sheet
