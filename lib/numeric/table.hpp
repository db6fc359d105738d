#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <variant>
#include <vector>

namespace ductledger::numeric {

/// Where a coordinate lies against the nodes of its axis.
enum class AxisPlace { inside, below, above };

/// A value read from a table. Outside the nodes it is the value at the nearest edge, and marked.
struct TableValue {
  double value = 0.0;
  std::array<AxisPlace, 3> places{};  ///< one an axis; unused axes stand inside

  [[nodiscard]] bool is_inside() const noexcept {
    for (const AxisPlace place : places) {
      if (place != AxisPlace::inside) {
        return false;
      }
    }
    return true;
  }
};

/// A function of one to three variables given at the nodes of a grid, linear between neighbouring
/// nodes along every axis. Immutable.
class Table {
 public:
  static constexpr std::size_t kMaxAxes = 3;
  enum class Fault {
    axis_count,     ///< fewer than 1 or more than 3 axes
    empty_axis,     ///< an axis without nodes
    not_ascending,  ///< nodes of an axis not strictly ascending
    not_finite,     ///< a node or a value
    wrong_size,     ///< number of values is not the product of the axes' sizes
  };

  /// @param axes nodes of each axis, strictly ascending, shape [n_axis][n_i], n_i >= 1
  /// @param values row-major, the last axis fastest, shape [n_0 n_1 n_2]
  [[nodiscard]] static std::variant<Table, Fault> from(std::vector<std::vector<double>> axes,
                                                       std::vector<double> values);

  /// Allocates nothing. @param coordinates one an axis, in the axes' order and units, no NaN
  /// Errors: another number of coordinates, or a NaN, breaks the contract.
  [[nodiscard]] TableValue at(std::span<const double> coordinates) const;

  [[nodiscard]] std::size_t axis_count() const noexcept { return axes_.size(); }
  /// The nodes of an axis, ascending [n_i]. @param axis below axis_count()
  [[nodiscard]] std::span<const double> axis(std::size_t axis) const;
  [[nodiscard]] std::span<const double> values() const noexcept { return values_; }

 private:
  Table() = default;
  std::vector<std::vector<double>> axes_;
  std::vector<double> values_;
};

}  // namespace ductledger::numeric
