#pragma once

#include <concepts>
#include <cstddef>
#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace ductledger::base {

/// Number of characters (code points) of valid UTF-8.
[[nodiscard]] std::size_t character_count(std::string_view utf8) noexcept;

/// Byte offset of the first byte that is not valid UTF-8, if any.
[[nodiscard]] std::optional<std::size_t> first_invalid_utf8(std::string_view text) noexcept;

/// The text with characters that would disturb a terminal shown as escapes (`\n`, `\x07`,
/// `\u202e`): control characters, those that turn the direction of writing, and bytes that are not
/// UTF-8. Escaping twice changes nothing.
[[nodiscard]] std::string escaped(std::string_view text);

/// The same for characters beyond ASCII and DEL alone, all as `\u202e`: inside JSON that is the
/// same text. What is not UTF-8 stays.
[[nodiscard]] std::string escaped_beyond_ascii(std::string_view text);

/// The user's text for a message: between backticks, escaped, cut where it is long.
[[nodiscard]] std::string shown(std::string_view text);

/// Without spaces, tabs and line ends around it.
[[nodiscard]] std::string_view trimmed(std::string_view text) noexcept;

/// The candidate nearest to `word` by edit distance (case and `-_ ` ignored), else one that holds
/// the word or shares its stem, or nothing when none is near enough to be worth naming.
[[nodiscard]] std::optional<std::string> nearest(std::string_view word,
                                                 std::span<const std::string> candidates);

/// `1 part`, `2 parts`. @param many where an s is not enough
template <std::integral Count>
[[nodiscard]] std::string counted(Count count, std::string_view one, std::string_view many = {}) {
  std::string text = std::to_string(count) + ' ';
  if (count == 1) {
    return text.append(one);
  }
  return many.empty() ? text.append(one).append("s") : text.append(many);
}

/// `a, b or c`.
[[nodiscard]] std::string joined(std::span<const std::string> words, std::string_view last = "or");

/// The words of a text between spaces.
[[nodiscard]] std::vector<std::string> split(std::string_view words);

/// The text as a sentence begins: with its first letter (ASCII) upper case.
[[nodiscard]] std::string capitalized(std::string text);

/// Lower case (ASCII), underscores and spaces as hyphens, ends trimmed: one form for trade words.
[[nodiscard]] std::string canonical_word(std::string_view text);

}  // namespace ductledger::base
