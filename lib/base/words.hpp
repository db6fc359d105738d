#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/expects.hpp"
#include "base/text.hpp"

/// The words of an enumeration, both ways: what results and messages call a value, and which value
/// a file means by a word. The table stands beside the enumeration; its order is that in which
/// messages list the words, and nothing else depends on it.
namespace ductledger::base {

template <class E>
struct WordOf {
  E value;
  const char* word;
};

template <class E, std::size_t N>
class Words {
 public:
  /// Refused by the compiler: a value or a word that stands twice.
  consteval explicit Words(const WordOf<E> (&rows)[N]) : rows_(std::to_array(rows)) {
    for (std::size_t i = 0; i < N; ++i) {
      for (std::size_t j = i + 1; j < N; ++j) {
        if (rows_[i].value == rows_[j].value ||
            std::string_view(rows_[i].word) == std::string_view(rows_[j].word)) {
          throw "a value or a word stands twice";
        }
      }
    }
  }

  /// The word of a value. A value without one is a fault of ours.
  [[nodiscard]] constexpr const char* of(E value) const {
    const auto row = std::ranges::find(rows_, value, &WordOf<E>::value);
    DUCTLEDGER_EXPECTS(row != rows_.end());
    return row->word;
  }
  /// The value a word means; case, underscores and blanks are forgiven.
  [[nodiscard]] std::optional<E> find(std::string_view word) const {
    const std::string wanted = canonical_word(word);
    const auto row =
        std::ranges::find(rows_, wanted, [](const auto& r) { return canonical_word(r.word); });
    return row == rows_.end() ? std::nullopt : std::optional(row->value);
  }
  /// All words, in the order of the table.
  [[nodiscard]] std::vector<std::string> all() const {
    std::vector<std::string> words;
    std::ranges::transform(rows_, std::back_inserter(words), &WordOf<E>::word);
    return words;
  }

  [[nodiscard]] constexpr auto begin() const { return rows_.begin(); }
  [[nodiscard]] constexpr auto end() const { return rows_.end(); }

 private:
  std::array<WordOf<E>, N> rows_;
};

/// `words<Level>({{Level::note, "note"}, ...})`.
template <class E, std::size_t N>
[[nodiscard]] consteval Words<E, N> words(const WordOf<E> (&rows)[N]) {
  return Words<E, N>(rows);
}

}  // namespace ductledger::base
