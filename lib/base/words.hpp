#pragma once

#include <array>
#include <cstddef>
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

/// Plain loops: instantiated for each of thirty enumerations in every source, an algorithm with a
/// projection costs a tenth of the time of a build.
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
    const char* word = nullptr;
    for (const WordOf<E>& row : rows_) {
      if (row.value == value) {
        word = row.word;
      }
    }
    DUCTLEDGER_EXPECTS(word != nullptr);
    return word;
  }
  /// The value a word means; case, underscores and blanks are forgiven.
  [[nodiscard]] std::optional<E> find(std::string_view word) const {
    const std::string wanted = canonical_word(word);
    for (const WordOf<E>& row : rows_) {
      if (canonical_word(row.word) == wanted) {
        return row.value;
      }
    }
    return std::nullopt;
  }
  /// All words, in the order of the table.
  [[nodiscard]] std::vector<std::string> all() const {
    std::vector<std::string> words;
    words.reserve(N);
    for (const WordOf<E>& row : rows_) {
      words.emplace_back(row.word);
    }
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
