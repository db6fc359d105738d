#pragma once

#include <cstddef>
#include <string_view>

#include "units/plain_text.hpp"

/// Numbers as people write them: decimals, `3/4`, `3-1/4`, `3 1/4`.
namespace ductledger::units {

[[nodiscard]] constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }
[[nodiscard]] constexpr bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
[[nodiscard]] constexpr bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}
[[nodiscard]] constexpr char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}
[[nodiscard]] std::size_t skip_blanks(std::string_view text, std::size_t at);
[[nodiscard]] std::size_t skip_digits(std::string_view text, std::size_t at);
/// The text between the place and the next blank, for pointing.
[[nodiscard]] std::size_t word_length(std::string_view text, std::size_t at);

struct Number {
  double value = 0.0;
  std::size_t end = 0;
  bool whole = false;  ///< digits only: may begin a fraction
};

/// A decimal at `at`: sign, digits, point, exponent. Its end is `at` when there is none.
[[nodiscard]] TextResult<Number> scan_decimal(std::string_view text, std::size_t at);
/// A decimal or a fraction at `at`; end as above.
[[nodiscard]] TextResult<Number> scan_number(std::string_view text, std::size_t at);

/// A comma inside the number that begins at `at`: a slip whose help knows thousands from decimals.
[[nodiscard]] TextFault comma_fault(std::string_view text, std::size_t at, std::size_t comma);

}  // namespace ductledger::units
