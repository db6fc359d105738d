#include "layout/direction.hpp"

#include <algorithm>
#include <cmath>

#include "base/text.hpp"

namespace ductledger::layout {
namespace {

std::optional<Direction> single(std::string_view word) {
  if (word == "right") return Direction{1, 0, 0};
  if (word == "left") return Direction{-1, 0, 0};
  if (word == "back") return Direction{0, 1, 0};
  if (word == "front") return Direction{0, -1, 0};
  if (word == "up") return Direction{0, 0, 1};
  if (word == "down") return Direction{0, 0, -1};
  return std::nullopt;
}

double norm(const Direction& a) noexcept { return std::sqrt(dot(a, a)); }

}  // namespace

std::optional<Direction> direction_of(std::string_view text) {
  const std::string word = base::canonical_word(text);
  if (auto one = single(word)) {
    return one;
  }
  const std::size_t hyphen = word.find('-');
  if (hyphen == std::string::npos) {
    return std::nullopt;
  }
  const auto first = single(std::string_view(word).substr(0, hyphen));
  const auto second = single(std::string_view(word).substr(hyphen + 1));
  if (!first || !second || std::abs(dot(*first, *second)) > 0.5) {
    return std::nullopt;
  }
  return normalised(
      {(*first)[0] + (*second)[0], (*first)[1] + (*second)[1], (*first)[2] + (*second)[2]});
}

const std::vector<std::string>& direction_words() {
  static const std::vector<std::string> words{"up", "down", "left", "right", "back", "front"};
  return words;
}

double dot(const Direction& a, const Direction& b) noexcept {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

Direction cross(const Direction& a, const Direction& b) noexcept {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

Direction normalised(const Direction& a) noexcept {
  const double n = norm(a);
  return {a[0] / n, a[1] / n, a[2] / n};
}

double angle_between(const Direction& a, const Direction& b) noexcept {
  return std::atan2(norm(cross(a, b)), dot(a, b));
}

Direction turned(const Turn& turn) noexcept {
  const double along = dot(turn.from, turn.to);
  const Direction side = normalised({turn.to[0] - along * turn.from[0],
                                     turn.to[1] - along * turn.from[1],
                                     turn.to[2] - along * turn.from[2]});
  const double c = std::cos(turn.angle_rad);
  const double s = std::sin(turn.angle_rad);
  return {c * turn.from[0] + s * side[0],
          c * turn.from[1] + s * side[1],
          c * turn.from[2] + s * side[2]};
}

Direction carried_round(const Direction& side, const Bend& bend) noexcept {
  const Direction normal = cross(bend.from, bend.to);
  if (dot(normal, normal) < 1e-18) {
    return side;
  }
  const Direction axis = normalised(normal);
  const double along = dot(side, axis);
  const double across = dot(side, cross(axis, bend.from));
  const Direction after = cross(axis, bend.to);
  return normalised({along * axis[0] + across * after[0],
                     along * axis[1] + across * after[1],
                     along * axis[2] + across * after[2]});
}

Direction width_axis(const Direction& heading) noexcept {
  const bool sideways = std::abs(heading[0]) > std::abs(heading[1]) + 1e-9 &&
                        std::abs(heading[0]) > std::abs(heading[2]) + 1e-9;
  const Direction wanted = sideways ? Direction{0, 1, 0} : Direction{1, 0, 0};
  const double along = dot(wanted, heading);
  return normalised({wanted[0] - along * heading[0],
                     wanted[1] - along * heading[1],
                     wanted[2] - along * heading[2]});
}

}  // namespace ductledger::layout
