#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

/// Texts of quantities in plain spelling, and what is wrong with them.
namespace ductledger::units {

/// What is wrong with a text, with the place inside it in bytes.
struct TextFault {
  std::string rule;     ///< `missing-unit`, `wrong-unit`, `unknown-unit`, `not-a-number`, ...
  std::string message;  ///< as in `base::Diagnostic`
  std::string label;
  std::string help;  ///< may be empty
  std::size_t offset = 0;
  std::size_t length = 0;
};

template <class T>
using TextResult = std::variant<T, TextFault>;

/// A text in plain spelling; `origin[i]` is the byte of the text as written from which byte i came,
/// with one more entry for the end.
struct PlainText {
  std::string text;
  std::vector<std::size_t> origin;
};
/// The text with vulgar fractions, prime and curly quote marks, the multiplication sign,
/// superscript digits, the degree sign and no-break spaces in their plain form (`¼` -> ` 1/4`, `×`
/// -> `x`).
[[nodiscard]] PlainText plain_text(std::string_view text);
[[nodiscard]] std::string plain_spelling(std::string_view text);

/// A fault found in plain spelling, moved to its place in the text as written.
[[nodiscard]] TextFault as_written(TextFault fault, const PlainText& plain);
template <class T>
[[nodiscard]] TextResult<T> as_written(TextResult<T> result, const PlainText& plain) {
  if (auto* fault = std::get_if<TextFault>(&result)) {
    return as_written(std::move(*fault), plain);
  }
  return result;
}

}  // namespace ductledger::units
