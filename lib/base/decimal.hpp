#pragma once

#include <cstddef>
#include <string_view>

namespace ductledger::base {

/// A number as it is written in decimals: `-1.5e3`; no blanks, no plus before it, never by the
/// locale.
struct Decimal {
  double value = 0.0;
  std::size_t length = 0;  ///< bytes read; 0: no number begins here
  bool in_range = true;    ///< false: beyond what a double holds
};
[[nodiscard]] Decimal read_decimal(std::string_view text);

}  // namespace ductledger::base
