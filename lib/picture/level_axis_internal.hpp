#pragma once

#include <string>
#include <vector>

#include "picture/svg.hpp"

namespace ductledger::picture {

/// The axis below level bars: a line up from each value, texts where there is room, the unit at the
/// last one.
struct LevelAxis {
  std::vector<double> values;  ///< ascending
  std::string unit;
  double left = 0.0;  ///< of the first value [px]
  double right = 0.0;
  double top = 0.0;
  double bottom = 0.0;
  bool differences = false;  ///< with signs, 0 drawn stronger

  [[nodiscard]] double at(double value) const noexcept {
    return left + (right - left) * (value - values.front()) / (values.back() - values.front());
  }
};
void write_level_axis(Svg& svg, const LevelAxis& axis);

/// A band along the axis: a line with a stroke across each end.
struct LevelBand {
  double from = 0.0;  ///< [px]
  double to = 0.0;
  double y = 0.0;
};
void write_level_band(Svg& svg, const LevelBand& band, const char* classes = "line");
/// A text of 12 px about `x`, moved so far that all of it stands on the sheet.
[[nodiscard]] double middle_on_sheet(const std::string& text, double x, double width_px);

}  // namespace ductledger::picture
