#pragma once

#include <cstddef>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

namespace ductledger::base {

/// A place in a text: line and column from 1, columns and length in characters (code points).
struct Span {
  int line = 0;  ///< 0: no place known
  int column = 0;
  int length = 1;
  std::size_t offset = 0;  ///< byte offset of the first character
};

/// A text with a name, kept whole so that any later stage can show the line it speaks of.
class SourceText {
 public:
  SourceText(std::string name, std::string text);

  [[nodiscard]] const std::string& name() const noexcept { return name_; }
  [[nodiscard]] std::string_view text() const noexcept { return text_; }
  /// The line without its end; empty beyond the last. @param line from 1.
  [[nodiscard]] std::string_view line(int line) const noexcept;
  [[nodiscard]] int line_count() const noexcept { return static_cast<int>(starts_.size()); }
  /// Line and column (in characters) of a byte offset.
  [[nodiscard]] Span span_at(std::size_t offset, std::size_t byte_length) const noexcept;
  /// SHA-256 of its bytes, 64 hexadecimal digits; reckoned once.
  [[nodiscard]] const std::string& sha256() const;

 private:
  std::string name_;
  std::string text_;
  std::vector<std::size_t> starts_;
  mutable std::once_flag hashed_;
  mutable std::string sha256_;
};

using SourcePtr = std::shared_ptr<const SourceText>;

}  // namespace ductledger::base
