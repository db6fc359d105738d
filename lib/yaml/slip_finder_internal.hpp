#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "yaml/slips_internal.hpp"

/// The scan behind `find_slips`: block lines, braces and quotes in files of their own, what is said
/// about each slip in another.
namespace ductledger::yaml::slip {

inline constexpr std::size_t kMostSlips = 50;
inline constexpr std::size_t kNone = std::string_view::npos;

[[nodiscard]] constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }
[[nodiscard]] constexpr bool is_blank(char c) { return c == ' ' || c == '\t'; }
[[nodiscard]] constexpr bool is_break(char c) { return c == '\n' || c == '\r'; }
[[nodiscard]] constexpr bool is_flow_mark(char c) {
  return c == ',' || c == '[' || c == ']' || c == '{' || c == '}';
}
[[nodiscard]] constexpr bool is_word(char c) {
  return is_digit(c) || c == '_' || c == '-' || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/// Bytes from `begin` to before `end`.
struct Range {
  std::size_t begin = kNone;
  std::size_t end = kNone;
};

/// `word:value` without the space; the place of the colon, if so. Addresses (`a://b`) are none.
[[nodiscard]] std::optional<std::size_t> colon_without_space(std::string_view text);
/// Whether a line's content begins like an entry: `- ` or `key: `.
[[nodiscard]] bool begins_like_entry(std::string_view content);

class SlipFinder {
 public:
  SlipFinder(const base::SourcePtr& source, int depth_limit)
      : source_(source),
        text_(source->text()),
        depth_limit_(static_cast<std::size_t>(std::max(depth_limit, 1))) {}

  Slips run();

 private:
  /// An open brace or bracket, and its entry being read.
  struct Frame {
    std::size_t at = 0;
    Range entry;  ///< key, or text without a colon
    Range value;
    bool colon = false;
    Range last_key;  ///< of the last entry that had a colon
    Range last_value;
    std::vector<Range> loose;  ///< texts since then that stand without a colon
  };
  struct Level {
    std::size_t column;
    bool list;
  };
  base::Diagnostic& add(SlipKind kind, const Range& range, std::string rule, std::string message);
  [[nodiscard]] bool is_enough() const;
  [[nodiscard]] std::string_view piece(const Range& range) const;
  [[nodiscard]] std::size_t line_end(std::size_t from) const;
  void next_line(std::size_t end);
  void read_line();
  void read_block(std::size_t column);

  /// Finds the level of a line; false where it continues the text above.
  bool enter(std::size_t column, std::string_view content);
  [[nodiscard]] Range first_word(std::string_view content) const;
  /// Opens a level at the line's column. @return true
  bool enter_new(const Level& level);
  void report_indentation(std::string_view content, bool was_open);
  void report_too_far_right(std::string_view content);
  /// The key above has nothing behind it, and this line stands beside it.
  void report_missing_value();

  /// `key: value`, or a value alone, of a block line.
  void read_entry(std::size_t column, std::size_t end);

  /// What stands behind a key's colon (`key` given) or alone.
  void read_value(const Range& key, std::size_t column, std::size_t end);
  [[nodiscard]] std::size_t indentation_of_line() const;

  /// The end of a plain text of a block line; warns where ` #2` cuts it.
  std::size_t plain_end(std::size_t begin, std::size_t end);
  void warn_of_cut(std::size_t begin, std::size_t hash, std::size_t end);
  static std::string quoted(std::string_view text);
  void report_colon_in_text(const Range& key, const Range& plain);
  void report_missing_space(const Range& whole, std::size_t colon);

  /// Reads a quoted text from its opening quote to behind the closing one. False where the closing
  /// quote is missing: then the scan goes on with the next line.
  bool read_quoted(std::size_t column);

  /// Whether a quoted text of several lines has run over entries that were meant to stand alone.
  [[nodiscard]] bool swallows_entries(const Range& quotes, std::size_t column) const;

  /// Nothing but a comment may stand behind a quoted value.
  void finish_line_after_quote(std::size_t opening);
  void report_text_after_quote(std::size_t opening, Range behind);
  void report_unclosed_brace();

  // Inside braces and brackets.

  void read_flow();
  [[nodiscard]] bool text_is_open() const;
  [[nodiscard]] bool ends_flow_key(std::size_t colon) const;
  void extend(const Range& range);
  void report_text_after_quote_in_flow();
  void read_flow_plain();
  void open_brace();
  void close_brace(char c);
  void finish_line_after_braces();
  void end_flow_entry(Frame& frame);

  struct CutNumber;
  [[nodiscard]] CutNumber cut_number(std::string_view value, const std::vector<Range>& loose) const;
  /// One diagnostic for texts that a comma has cut from the value before them.
  void report_loose(Frame& frame);
  void report_tabs();

  /// The last key or dash that had nothing behind it.
  struct Open {
    Range key;
    std::size_t column = 0;
    bool open = false;
    bool dash = false;
  };

  base::SourcePtr source_;
  std::string_view text_;
  std::size_t depth_limit_;
  Slips slips_;
  std::size_t at_ = 0;
  std::size_t line_start_ = 0;
  std::vector<Level> levels_;
  Open open_;
  bool plain_open_ = false;           ///< the line above ended in a plain value
  std::size_t block_parent_ = kNone;  ///< column a `|` text must stand deeper than
  std::vector<Frame> flow_;
  std::size_t flow_indent_ = 0;
  std::size_t last_cut_ = kNone;
  bool braces_lost_ = false;    ///< what cannot be read from there on is an echo
  base::Diagnostic echo_;       ///< takes the words about an echo
  bool cut_in_braces_ = false;  ///< a ` #2` has swallowed a closing brace
  std::size_t tab_lines_ = 0;
  Range first_tab_;
};

}  // namespace ductledger::yaml::slip
