#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "layout/layout.hpp"

/// Directions as seen by a person facing the appliance.
namespace ductledger::layout {

/// `up`, `up-back`: one word, or two of different axes joined. Unit length.
[[nodiscard]] std::optional<Direction> direction_of(std::string_view word);
/// The six words, for suggestions.
[[nodiscard]] const std::vector<std::string>& direction_words();

[[nodiscard]] double dot(const Direction& a, const Direction& b) noexcept;
[[nodiscard]] Direction cross(const Direction& a, const Direction& b) noexcept;
[[nodiscard]] Direction normalised(const Direction& a) noexcept;
/// Angle between two directions [rad], 0 to pi.
[[nodiscard]] double angle_between(const Direction& a, const Direction& b) noexcept;
/// `from` turned by `angle_rad` toward `to`; the two must not be parallel.
struct Turn {
  Direction from;
  Direction to;
  double angle_rad = 0.0;
};
[[nodiscard]] Direction turned(const Turn& turn) noexcept;

/// From one heading to another, not parallel.
struct Bend {
  Direction from;
  Direction to;
};
/// `side`, square to `from`, carried round the bend without a twist: what lies along the turning
/// axis stays, the rest turns along. Parallel headings leave it as it is.
[[nodiscard]] Direction carried_round(const Direction& side, const Bend& bend) noexcept;

/// Where the width of a stated rectangular section lies: left-right, front-back while heading left
/// or right; square to the heading.
[[nodiscard]] Direction width_axis(const Direction& heading) noexcept;

}  // namespace ductledger::layout
