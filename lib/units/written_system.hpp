#pragma once

#include <cstddef>
#include <string_view>

#include "units/unit_table.hpp"

/// In which units a file is written, so that it is answered in its own.
namespace ductledger::units {

class WrittenSystem {
 public:
  /// Counts the units that stand in a value's text: `6 ft 6 in`, `200 mm round`, `400 m3/h`.
  void add(std::string_view written);
  /// That of most units; `ip` where as many are of either kind, or none; `si_by_hour` where more
  /// airflows are in m3/h than in L/s.
  [[nodiscard]] System system() const noexcept;

 private:
  std::size_t inch_pound_ = 0;
  std::size_t metric_ = 0;
  std::size_t by_hour_ = 0;
  std::size_t by_second_ = 0;
};

}  // namespace ductledger::units
