#pragma once

#include <cstddef>
#include <functional>
#include <initializer_list>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/words.hpp"
#include "units/quantity_text.hpp"
#include "yaml/tree.hpp"

namespace ductledger::yaml {

/// Collects what is wrong while a tree is read; every independent fault of a file in one pass.
class Problems {
 public:
  explicit Problems(base::SourcePtr source) : source_(std::move(source)) {}

  /// Adds a diagnostic at a place of this source; returns it so that notes or help can be set.
  base::Diagnostic& error(const base::Span& span, std::string rule, std::string message);
  base::Diagnostic& warning(const base::Span& span, std::string rule, std::string message);
  void add(base::Diagnostic diagnostic);

  [[nodiscard]] bool has_error() const noexcept { return base::has_error(list_); }
  [[nodiscard]] const base::SourcePtr& source() const noexcept { return source_; }
  [[nodiscard]] base::Diagnostics take() { return std::move(list_); }
  [[nodiscard]] const base::Diagnostics& list() const noexcept { return list_; }

 private:
  base::SourcePtr source_;
  base::Diagnostics list_;
};

/// A value and where it stood.
template <class T>
struct Placed {
  T value{};
  base::Span span;
};

/// The place in the source of a part of a scalar's text; the whole scalar where its text is not
/// written out plainly (escapes, several lines).
struct TextPart {
  std::size_t offset = 0;  ///< bytes
  std::size_t length = 0;  ///< bytes
};
[[nodiscard]] base::Span span_within(const Node& node,
                                     const base::SourcePtr& source,
                                     const TextPart& part);

/// Reports what a text parser (`units::parse_quantity`, `duct::parse_section`) found wrong with a
/// scalar, at its place.
void report(const units::TextFault& fault, const Node& node, Problems& problems);

/// Whether the node is a scalar; if not, one diagnostic says what was found and what was expected.
/// @param expected such as `a section such as `8 in round``
[[nodiscard]] bool is_scalar(const Node& node, std::string_view expected, Problems& problems);

// Scalars, read by what is expected. Each adds one diagnostic and returns nothing when it fails.
std::optional<double> read_quantity(const Node& node,
                                    units::Dimension dimension,
                                    Problems& problems);
/// `0 250 cfm`, or a YAML list of quantities.
std::optional<std::vector<double>> read_column(const Node& node,
                                               units::Dimension dimension,
                                               Problems& problems);
std::optional<bool> read_yes_no(const Node& node, Problems& problems);
std::optional<std::string> read_text(const Node& node, Problems& problems);
std::optional<long> read_whole(const Node& node, Problems& problems);
/// One of a closed set of words, in canonical form (case, underscores and spaces forgiven); a
/// suggestion names the nearest. @param what such as `appliance kind`.
std::optional<std::size_t> read_choice(const Node& node,
                                       const std::vector<std::string>& choices,
                                       std::string_view what,
                                       Problems& problems);

/// The value of an enumeration that a word means. @param words as declared beside the enumeration
template <class E, std::size_t N>
std::optional<E> read_choice(const Node& node,
                             const base::Words<E, N>& words,
                             std::string_view what,
                             Problems& problems) {
  const auto at = read_choice(node, words.all(), what, problems);
  return at ? std::optional(std::next(words.begin(), static_cast<std::ptrdiff_t>(*at))->value)
            : std::nullopt;
}

/// Reads the keys of one mapping; `finish` complains about those nobody asked for.
class MapReader {
 public:
  /// A node that is no mapping is reported at once (`what` names it) and reads as empty.
  MapReader(const Node& node, std::string what, Problems& problems);

  [[nodiscard]] bool is_mapping() const noexcept { return mapping_; }
  [[nodiscard]] const base::Span& span() const noexcept { return node_->span; }
  /// The value under a key (underscore and hyphen forgiven), marked as known; null when absent.
  /// A key with an empty value is reported and reads as absent.
  [[nodiscard]] const Node* get(std::string_view key);
  /// As `get`, but also an empty value is handed out.
  [[nodiscard]] const Node* get_or_empty(std::string_view key);
  /// As `get`; absence is an error that points at the mapping and names the key and an example.
  [[nodiscard]] const Node* require(std::string_view key, std::string_view example);
  /// Whether a key that is not known so far is all but one of these: it is then the one cause of
  /// their absence, and `finish` speaks of it.
  [[nodiscard]] bool misspells(std::initializer_list<std::string_view> keys) const;

  std::optional<double> quantity(std::string_view key, units::Dimension dimension);
  std::optional<std::string> text(std::string_view key);
  std::optional<bool> yes_no(std::string_view key);

  /// Makes a key known without reading it.
  void allow(std::string_view key);
  /// Reports unknown keys, each with the nearest known one.
  void finish();

 private:
  const Node* node_;
  std::string what_;
  Problems* problems_;
  bool mapping_ = false;
  std::vector<std::string> known_;
};

}  // namespace ductledger::yaml
