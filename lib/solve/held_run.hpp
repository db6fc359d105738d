#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "solve/run.hpp"

namespace ductledger::solve {

/// A run that is compiled once and follows its layout where numbers change that no other piece
/// depends on: lengths, stated coefficients, wind and outdoor temperature. To the last digit what
/// `compile` makes of the changed layout.
class HeldRun {
 public:
  /// Fails as `compile` does. @param catalogue outlives it
  [[nodiscard]] static base::Checked<HeldRun> of(const layout::Layout& layout,
                                                 const fitting::Catalogue& catalogue);

  /// @param layout the one it was made of, with other numbers in these pieces
  /// @param changed indices in layout.run.pieces, no fan; those alone are compiled again
  /// @return what `compile` refuses; the run is of no use then until these pieces are followed
  /// again
  [[nodiscard]] base::Diagnostics follow(const layout::Layout& layout,
                                         std::span<const std::size_t> changed);
  /// @param layout the one it was made of, with another rise
  void follow_rise(const layout::Layout& layout);
  /// @param layout the one it was made of, with another rise, wind or outdoor temperature; the
  /// air in the duct is the same
  void follow_air(const layout::Layout& layout);

  [[nodiscard]] const CompiledRun& run() const noexcept { return run_; }

 private:
  HeldRun() = default;

  const fitting::Catalogue* catalogue_ = nullptr;
  CompiledRun run_;
  std::vector<PieceLoss> alone_;       ///< of `run_.pieces`, before neighbours act on them
  std::vector<FrictionGroup> groups_;  ///< without their sums
  std::vector<std::size_t> entries_;   ///< in `run_.pieces`, of a piece of the layout
  double wind_coefficient_ = 0.0;
};

}  // namespace ductledger::solve
