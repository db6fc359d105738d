#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace ductledger::base {

/// Where a paragraph stands: the first line's beginning is written by the caller.
struct Hanging {
  std::size_t first = 0;   ///< characters already on the first line
  std::size_t others = 0;  ///< indent of the lines that follow
  std::size_t width = 80;
};
/// The text broken at spaces, widths counted in characters, those that color a terminal not; a word
/// longer than a line stands alone.
[[nodiscard]] std::string wrapped(std::string_view text, const Hanging& hanging);

}  // namespace ductledger::base
