#pragma once

#include <array>
#include <vector>

#include "layout/geometry.hpp"

namespace ductledger::sheet {

/// A length left out of a drawing along one axis, where straights alone run on, or nothing is.
struct Break {
  double from_m = 0.0;
  double to_m = 0.0;
  double gap_m = 0.0;  ///< what the drawing keeps of it
  [[nodiscard]] double left_out_m() const noexcept { return to_m - from_m - gap_m; }
};

/// All that is left out, for both views; places are true ones until they are drawn.
class Breaks {
 public:
  /// Of those on an axis none touches another.
  void add(std::size_t axis, const Break& one);
  [[nodiscard]] const std::vector<Break>& along(std::size_t axis) const { return all_[axis]; }
  [[nodiscard]] bool empty() const noexcept;
  /// Where a place comes to lie.
  [[nodiscard]] double drawn(std::size_t axis, double at_m) const;
  [[nodiscard]] layout::Point drawn(const layout::Point& at) const;

 private:
  std::array<std::vector<Break>, 3> all_;
};

/// What has to stay whole along an axis.
struct Kept {
  double from_m = 0.0;
  double to_m = 0.0;
};
/// What lies free between those that stay. @param margin_m kept beside each of them
[[nodiscard]] std::vector<Kept> free_between(std::vector<Kept> kept, double margin_m);

}  // namespace ductledger::sheet
