#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "layout/layout.hpp"

/// How people name a piece: by its place in the file, from 1. A `fan` piece counts as any other.
/// Every view, variant and message takes the number from here.
namespace ductledger::layout {

/// The number of the piece at an index of `run.pieces`.
[[nodiscard]] constexpr int piece_number(std::size_t index) noexcept {
  return static_cast<int>(index) + 1;
}

/// Its inverse; nothing where the run has no such piece.
[[nodiscard]] std::optional<std::size_t> piece_index(const Run& run, int number) noexcept;

/// `1 damper backdraft-flap, 2 straight, 3 elbow`: what a message offers where a number is wrong.
[[nodiscard]] std::string piece_list(const Run& run);

}  // namespace ductledger::layout
