#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "edit/path.hpp"
#include "house/zone.hpp"
#include "solve/airflow_bounds.hpp"
#include "solve/operating_point.hpp"
#include "study/check.hpp"

namespace ductledger::study {

struct PointFound {
  solve::OperatingPoint point;
  std::optional<double> depressurisation_pa{};  ///< found, in a house whose leakage is known
};

/// Operating points of one layout whose numbers change, the layout read and compiled once. What can
/// be changed in the checked layout itself is changed there, and what follows from it in the
/// compiled run, to the last digit as the edited file gives it
/// (`tests/unit/study/points_test.cpp`); for the rest the tree is edited and read again.
/// Each thread has its own copy.
class Points {
 public:
  struct Asked {
    std::string speed;                ///< empty: the highest that is not locked out
    std::vector<std::string> places;  ///< paths, see edit/path.hpp
    std::vector<double> first;        ///< a value of each, SI: tells what the places take
  };
  /// @param layout and catalogue outlive the points
  [[nodiscard]] static base::Checked<Points> of(const layout::Layout& layout,
                                                const fitting::Catalogue& catalogue,
                                                const Asked& asked);

  /// @param values one for each place, SI
  [[nodiscard]] base::Checked<PointFound> at(std::span<const double> values);
  /// Whether every place is changed in the checked layout itself.
  [[nodiscard]] bool all_direct() const;

  Points(const Points& other);
  Points(Points&&) noexcept;
  Points& operator=(const Points&) = delete;
  Points& operator=(Points&&) = delete;
  ~Points();

 private:
  struct Place;
  struct Base;
  struct Held;
  Points() = default;
  [[nodiscard]] base::Checked<PointFound> followed(std::span<const double> values);
  [[nodiscard]] base::Checked<PointFound> through_the_text(std::span<const double> values) const;
  [[nodiscard]] static PointFound solved(const solve::CompiledRun& run,
                                         const house::CompiledHouse& house,
                                         const solve::SpeedFan& fan);

  std::shared_ptr<const Base> base_;
  std::unique_ptr<Held> held_;       ///< where every place is direct
  std::vector<std::size_t> pieces_;  ///< room for those that a point changes
};

}  // namespace ductledger::study
