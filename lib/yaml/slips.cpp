#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <utility>

#include "base/text.hpp"
#include "yaml/slips_internal.hpp"

namespace ductledger::yaml {

namespace {

using base::shown;
using base::trimmed;

constexpr std::size_t kMostSlips = 50;
constexpr std::size_t kNone = std::string_view::npos;

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_blank(char c) { return c == ' ' || c == '\t'; }
bool is_break(char c) { return c == '\n' || c == '\r'; }
bool is_flow_mark(char c) { return c == ',' || c == '[' || c == ']' || c == '{' || c == '}'; }
bool is_word(char c) {
  return is_digit(c) || c == '_' || c == '-' || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

struct Range {
  std::size_t begin = kNone;
  std::size_t end = kNone;
};

/// `word:value` without the space; the place of the colon, if so. Addresses (`a://b`) are none.
std::optional<std::size_t> colon_without_space(std::string_view text) {
  std::size_t i = 0;
  while (i < text.size() && is_word(text[i])) {
    ++i;
  }
  const bool begins_with_letter = !text.empty() && is_word(text[0]) && !is_digit(text[0]);
  if (!begins_with_letter || i + 1 >= text.size() || text[i] != ':' || is_blank(text[i + 1]) ||
      text.substr(i).starts_with("://") || text[i + 1] == ':') {
    return std::nullopt;
  }
  return i;
}

/// Whether a line's content begins like an entry: `- ` or `key: `.
bool begins_like_entry(std::string_view content) {
  if (content == "-" || content.starts_with("- ")) {
    return true;
  }
  std::size_t i = 0;
  while (i < content.size() && is_word(content[i])) {
    ++i;
  }
  return i > 0 && i < content.size() && content[i] == ':' &&
         (i + 1 == content.size() || is_blank(content[i + 1]));
}

class SlipFinder {
 public:
  SlipFinder(const base::SourcePtr& source, int depth_limit)
      : source_(source),
        text_(source->text()),
        depth_limit_(static_cast<std::size_t>(std::max(depth_limit, 1))) {}

  Slips run() {
    at_ = text_.starts_with("\xEF\xBB\xBF") ? 3 : 0;
    while (at_ < text_.size() && !is_enough()) {
      read_line();
    }
    if (!flow_.empty() && !is_enough()) {
      report_unclosed_brace();
    }
    report_tabs();
    return std::move(slips_);
  }

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

  base::Diagnostic& add(SlipKind kind, const Range& range, std::string rule, std::string message) {
    if (kind == SlipKind::unread && braces_lost_) {
      return echo_;
    }
    base::Diagnostic diagnostic;
    diagnostic.rule = std::move(rule);
    diagnostic.severity =
        kind == SlipKind::warning ? base::Severity::warning : base::Severity::error;
    diagnostic.message = std::move(message);
    diagnostic.source = source_;
    diagnostic.span = source_->span_at(range.begin, range.end - range.begin);
    slips_.found.push_back({kind, std::move(diagnostic)});
    return slips_.found.back().diagnostic;
  }

  [[nodiscard]] bool is_enough() const {
    return slips_.too_deep || slips_.found.size() >= kMostSlips;
  }

  [[nodiscard]] std::string_view piece(const Range& range) const {
    return range.begin == kNone ? std::string_view()
                                : text_.substr(range.begin, range.end - range.begin);
  }

  [[nodiscard]] std::size_t line_end(std::size_t from) const {
    const std::size_t end = text_.find_first_of("\r\n", from);
    return end == kNone ? text_.size() : end;
  }
  void next_line(std::size_t end) {
    at_ = end;
    if (at_ < text_.size()) {
      at_ += text_[at_] == '\r' && at_ + 1 < text_.size() && text_[at_ + 1] == '\n' ? 2U : 1U;
    }
  }

  void read_line() {
    line_start_ = at_;
    const std::size_t end = line_end(at_);
    std::size_t first = at_;
    while (first < end && is_blank(text_[first])) {
      ++first;
    }
    const std::string_view indentation = text_.substr(at_, first - at_);
    const std::size_t indent = indentation.size();
    const std::string_view content = text_.substr(first, end - first);
    if (content.empty() || (content[0] == '#' && block_parent_ == kNone)) {
      next_line(end);
      return;
    }
    slips_.blank = false;
    if (block_parent_ != kNone) {
      if (indent > block_parent_ || block_parent_ == kNone - 1) {
        next_line(end);
        return;
      }
      block_parent_ = kNone;
      if (content[0] == '#') {
        next_line(end);
        return;
      }
    }
    if (!flow_.empty()) {
      const bool closes = content[0] == '}' || content[0] == ']';
      if (indent > flow_indent_ || closes || !begins_like_entry(content)) {
        at_ = first;
        read_flow();
        return;
      }
      report_unclosed_brace();
      flow_.clear();
    }
    if (indentation.find('\t') != kNone && begins_like_entry(content)) {
      const std::size_t tab = at_ + indentation.find('\t');
      if (tab_lines_++ == 0) {
        first_tab_ = {tab, tab + 1};
      }
      next_line(end);
      return;
    }
    at_ = first;
    read_block(indent);
  }

  void read_block(std::size_t column) {
    const std::size_t end = line_end(at_);
    const std::string_view content = text_.substr(at_, end - at_);
    if (column == 0 &&
        (content.starts_with("---") || content.starts_with("...") || content.starts_with('%'))) {
      levels_.clear();
      open_ = {};
      next_line(end);
      return;
    }
    // A line that only goes on with the text above is not looked at.
    if (!enter(column, content)) {
      next_line(end);
      return;
    }
    while (at_ < end && text_[at_] == '-' && (at_ + 1 == end || is_blank(text_[at_ + 1]))) {
      const std::size_t dash = at_;
      ++at_;
      while (at_ < end && is_blank(text_[at_])) {
        ++at_;
      }
      if (at_ == end || text_[at_] == '#') {
        open_ = {.key = {dash, dash + 1}, .column = column, .open = true, .dash = true};
        next_line(end);
        return;
      }
      column += at_ - dash;
      open_ = {.key = {dash, dash + 1}, .column = column - 1, .open = true, .dash = true};
      const std::string_view rest = text_.substr(at_, end - at_);
      const bool nested = rest == "-" || rest.starts_with("- ");
      levels_.push_back({column, nested});
    }
    read_entry(column, end);
  }

  /// Finds the level of a line; false where it continues the text above.
  bool enter(std::size_t column, std::string_view content) {
    const bool dash = content == "-" || content.starts_with("- ");
    if (levels_.empty()) {
      levels_.push_back({column, dash});
      open_ = {};
      return true;
    }
    const bool was_open = open_.open;
    if (column > levels_.back().column) {
      if (was_open && column > open_.column) {
        levels_.push_back({column, dash});
        open_ = {};
        return true;
      }
      if (!was_open && begins_like_entry(content) && plain_open_) {
        base::Diagnostic& diagnostic = add(SlipKind::unread,
                                           first_word(content),
                                           "indentation",
                                           "this line is indented further than the line above, "
                                           "which already has its value");
        diagnostic.label = "too far to the right";
        diagnostic.help = "let it begin below the key it stands beside";
        plain_open_ = false;
      }
      return false;
    }
    while (levels_.size() > 1 && levels_.back().column > column) {
      levels_.pop_back();
    }
    if (levels_.back().column == column && levels_.back().list && !dash) {
      // A list may stand at the column of its key: then the mapping is the level below.
      if (levels_.size() > 1 && levels_[levels_.size() - 2].column == column) {
        levels_.pop_back();
      } else {
        report_indentation(content, was_open);
        return true;
      }
    } else if (levels_.back().column == column && !levels_.back().list && dash) {
      if (was_open && !open_.dash && open_.column == column) {
        levels_.push_back({column, true});
        open_ = {};
        return true;
      }
    } else if (levels_.back().column != column) {
      report_indentation(content, was_open);
      return true;
    }
    if (was_open && !open_.dash && open_.column == column && !dash && begins_like_entry(content)) {
      base::Diagnostic& diagnostic = add(SlipKind::always,
                                         open_.key,
                                         "missing-value",
                                         fmt::format("{} has no value", shown(piece(open_.key))));
      diagnostic.label = "nothing stands under this key";
      const bool piece_of_list = levels_.size() > 1 && levels_[levels_.size() - 2].list;
      diagnostic.help =
          piece_of_list
              ? fmt::format("indent the lines below further than {}", shown(piece(open_.key)))
              : fmt::format(
                    "give it a value or remove it; if the lines below belong to it, indent "
                    "them further than {}",
                    shown(piece(open_.key)));
    }
    open_ = {};
    return true;
  }

  [[nodiscard]] Range first_word(std::string_view content) const {
    std::size_t i = 0;
    while (i < content.size() && !is_blank(content[i]) && content[i] != ':') {
      ++i;
    }
    return {at_, at_ + std::max<std::size_t>(i, 1)};
  }

  void report_indentation(std::string_view content, bool was_open) {
    if (was_open && !open_.dash) {
      base::Diagnostic& diagnostic =
          add(SlipKind::unread,
              open_.key,
              "indentation",
              fmt::format("the lines below {} do not belong to it", shown(piece(open_.key))));
      diagnostic.label = "its lines must be indented further";
      diagnostic.help =
          fmt::format("indent the lines below further than {}", shown(piece(open_.key)));
    } else {
      base::Diagnostic& diagnostic = add(SlipKind::unread,
                                         first_word(content),
                                         "indentation",
                                         "the indentation of this line fits no line above");
      diagnostic.label = "begins at a column of its own";
      diagnostic.help = "let it begin at the column of the entries it belongs with";
    }
    open_ = {};
    // The column is taken as it is, so that one wrong line is told once.
    levels_.push_back({at_ - line_start_, false});
  }

  /// `key: value`, or a value alone, of a block line.
  void read_entry(std::size_t column, std::size_t end) {
    plain_open_ = false;
    const std::size_t start = at_;
    if (text_[at_] == '"' || text_[at_] == '\'') {
      const std::size_t opening = at_;
      if (!read_quoted(column)) {
        return;
      }
      if (at_ < text_.size() && text_[at_] == ':') {
        ++at_;
        read_value({opening, at_ - 1}, column, line_end(at_));
        return;
      }
      finish_line_after_quote(opening);
      return;
    }
    if (text_[at_] == '{' || text_[at_] == '[') {
      read_value({}, column, end);
      return;
    }
    // The key reaches to the first colon with a space or nothing behind it.
    for (std::size_t i = at_; i < end; ++i) {
      if (text_[i] == '#' && i > at_ && is_blank(text_[i - 1])) {
        break;
      }
      if (text_[i] == ':' && (i + 1 == end || is_blank(text_[i + 1]))) {
        at_ = i + 1;
        read_value({start, i}, column, end);
        return;
      }
    }
    const Range whole{start, plain_end(start, end)};
    if (const auto colon = colon_without_space(piece(whole))) {
      report_missing_space(whole, start + *colon);
      open_ = {};
      next_line(end);
      return;
    }
    read_value({}, column, end);
  }

  /// What stands behind a key's colon (`key` given) or alone.
  void read_value(const Range& key, std::size_t column, std::size_t end) {
    open_ = {};
    while (at_ < end && is_blank(text_[at_])) {
      ++at_;
    }
    // Anchors and tags are refused elsewhere.
    while (at_ < end && (text_[at_] == '&' || text_[at_] == '!')) {
      while (at_ < end && !is_blank(text_[at_])) {
        ++at_;
      }
      while (at_ < end && is_blank(text_[at_])) {
        ++at_;
      }
    }
    if (at_ == end || text_[at_] == '#') {
      if (key.begin != kNone) {
        open_ = {.key = key, .column = column, .open = true, .dash = false};
      }
      next_line(end);
      return;
    }
    const char c = text_[at_];
    if (c == '|' || c == '>') {
      // Text of the block stands deeper than the key, or than the dash.
      block_parent_ = column;
      if (key.begin == kNone) {
        block_parent_ = column == 0 ? kNone - 1 : column - 1;
      }
      next_line(end);
      return;
    }
    if (c == '{' || c == '[') {
      flow_indent_ = indentation_of_line();
      read_flow();
      return;
    }
    if (c == '"' || c == '\'') {
      const std::size_t opening = at_;
      if (read_quoted(column)) {
        finish_line_after_quote(opening);
      }
      return;
    }
    const Range plain{at_, plain_end(at_, end)};
    plain_open_ = true;
    if (key.begin != kNone) {
      report_colon_in_text(key, plain);
    }
    next_line(end);
  }

  [[nodiscard]] std::size_t indentation_of_line() const {
    std::size_t i = line_start_;
    while (i < text_.size() && is_blank(text_[i])) {
      ++i;
    }
    return i - line_start_;
  }

  /// The end of a plain text of a block line; warns where ` #2` cuts it.
  std::size_t plain_end(std::size_t begin, std::size_t end) {
    for (std::size_t i = begin + 1; i < end; ++i) {
      if (text_[i] == '#' && is_blank(text_[i - 1])) {
        warn_of_cut(begin, i, end);
        end = i;
        break;
      }
    }
    while (end > begin && is_blank(text_[end - 1])) {
      --end;
    }
    return end;
  }

  void warn_of_cut(std::size_t begin, std::size_t hash, std::size_t end) {
    if (hash + 1 >= end || is_blank(text_[hash + 1]) || text_[hash + 1] == '#' ||
        hash == last_cut_) {
      return;
    }
    last_cut_ = hash;
    const bool swallows_brace =
        !flow_.empty() && text_.substr(hash, end - hash).find_first_of("}]") != kNone;
    cut_in_braces_ = cut_in_braces_ || swallows_brace;
    std::size_t word_end = hash;
    while (word_end < end && !is_blank(text_[word_end]) && !is_flow_mark(text_[word_end])) {
      ++word_end;
    }
    base::Diagnostic& diagnostic = add(swallows_brace ? SlipKind::unread : SlipKind::warning,
                                       {hash, word_end},
                                       "comment-cuts-text",
                                       fmt::format("{} begins a comment: the text ends before it",
                                                   shown(piece({hash, word_end}))));
    diagnostic.label = "not part of the text";
    const std::string_view whole = trimmed(text_.substr(begin, word_end - begin));
    diagnostic.help =
        fmt::format("put the text in quotes if it belongs to it: {}; else write a space after `#`",
                    shown(quoted(whole)));
  }

  static std::string quoted(std::string_view text) {
    if (text.find('"') == kNone && text.find('\\') == kNone) {
      return fmt::format("\"{}\"", text);
    }
    std::string doubled;
    for (const char c : text) {
      doubled += c;
      if (c == '\'') {
        doubled += c;
      }
    }
    return fmt::format("'{}'", doubled);
  }

  void report_colon_in_text(const Range& key, const Range& plain) {
    for (std::size_t i = plain.begin; i < plain.end; ++i) {
      if (text_[i] == ':' && (i + 1 == plain.end || is_blank(text_[i + 1]))) {
        base::Diagnostic& diagnostic = add(SlipKind::unread,
                                           {i, i + 1},
                                           "colon-in-text",
                                           "a second colon stands in the value of one key");
        diagnostic.label = "begins another value";
        diagnostic.help =
            fmt::format("put the text in quotes: {}",
                        shown(fmt::format("{}: {}", piece(key), quoted(piece(plain)))));
        return;
      }
    }
  }

  void report_missing_space(const Range& whole, std::size_t colon) {
    slips_.missing_spaces.push_back(colon + 1);
    const std::string_view text = piece(whole);
    const std::size_t split = colon - whole.begin;
    base::Diagnostic& diagnostic =
        add(SlipKind::always,
            {colon, colon + 1},
            "missing-space",
            fmt::format("a space is missing after the colon of {}", shown(text.substr(0, split))));
    diagnostic.label = "no space follows";
    diagnostic.help = fmt::format(
        "write {}", shown(fmt::format("{}: {}", text.substr(0, split), text.substr(split + 1))));
  }

  /// Reads a quoted text from its opening quote to behind the closing one. False where the closing
  /// quote is missing: then the scan goes on with the next line.
  bool read_quoted(std::size_t column) {
    const std::size_t opening = at_;
    const char quote = text_[opening];
    std::size_t i = opening + 1;
    bool closed = false;
    for (; i < text_.size(); ++i) {
      if (quote == '"' && text_[i] == '\\') {
        ++i;
      } else if (text_[i] == quote) {
        if (quote == '\'' && i + 1 < text_.size() && text_[i + 1] == quote) {
          ++i;
          continue;
        }
        closed = true;
        break;
      }
    }
    const std::size_t first_end = line_end(opening);
    if (closed && i < first_end) {
      at_ = i + 1;
      return true;
    }
    if (closed && !swallows_entries({opening, i}, column)) {
      at_ = i + 1;
      line_start_ = at_;
      return true;
    }
    const std::string_view rest = trimmed(text_.substr(opening, first_end - opening));
    base::Diagnostic& diagnostic = add(SlipKind::always,
                                       {opening, opening + 1},
                                       "missing-quote",
                                       "the closing quote of this text is missing");
    diagnostic.label = "opened here";
    const std::string_view body = rest.substr(std::min<std::size_t>(1, rest.size()));
    diagnostic.help =
        body.empty() || is_digit(body[0])
            ? fmt::format("close it, or leave {} away", shown(text_.substr(opening, 1)))
            : fmt::format("close it at the end of the text with {}",
                          shown(text_.substr(opening, 1)));
    flow_.clear();
    next_line(first_end);
    return false;
  }

  /// Whether a quoted text of several lines has run over entries that were meant to stand alone.
  [[nodiscard]] bool swallows_entries(const Range& quotes, std::size_t column) const {
    const std::size_t deeper_than = std::min(column, indentation_of_line());
    for (std::size_t at = line_end(quotes.begin); at < quotes.end; at = line_end(at)) {
      while (at < quotes.end && is_break(text_[at])) {
        ++at;
      }
      std::size_t first = at;
      while (first < quotes.end && is_blank(text_[first])) {
        ++first;
      }
      const std::string_view content = text_.substr(first, line_end(first) - first);
      if (first < quotes.end && !content.empty() && first - at <= deeper_than &&
          begins_like_entry(content)) {
        return true;
      }
    }
    std::size_t behind = quotes.end + 1;
    while (behind < text_.size() && is_blank(text_[behind])) {
      ++behind;
    }
    const bool ends = behind >= text_.size() || is_break(text_[behind]) || text_[behind] == '#' ||
                      text_[behind] == ':' || (!flow_.empty() && is_flow_mark(text_[behind]));
    return !ends;
  }

  /// Nothing but a comment may stand behind a quoted value.
  void finish_line_after_quote(std::size_t opening) {
    const std::size_t end = line_end(at_);
    std::size_t behind = at_;
    while (behind < end && is_blank(text_[behind])) {
      ++behind;
    }
    if (behind < end && !(text_[behind] == '#' && behind > at_)) {
      report_text_after_quote(opening, {behind, end});
    }
    next_line(end);
  }

  void report_text_after_quote(std::size_t opening, Range behind) {
    while (behind.end > behind.begin + 1 && is_blank(text_[behind.end - 1])) {
      --behind.end;
    }
    base::Diagnostic& diagnostic =
        add(SlipKind::unread, behind, "text-after-quote", "text follows a closing quote");
    diagnostic.label = "outside the quotes";
    const std::string_view whole = piece({opening, behind.end});
    const std::string_view inner = whole.substr(1, whole.size() - 2);
    const bool plain = inner.find(": ") == kNone && inner.find(" #") == kNone &&
                       (flow_.empty() || std::none_of(inner.begin(), inner.end(), is_flow_mark));
    if (whole.back() != text_[opening]) {
      diagnostic.help =
          "write marks of feet and inches behind their numbers (`8\" round`), or put quotes around "
          "the whole text";
    } else if (plain) {
      diagnostic.help = fmt::format("leave the outer quote marks away: {}", shown(inner));
    } else {
      diagnostic.help = fmt::format("quote it as {}", shown(quoted(inner)));
    }
  }

  void report_unclosed_brace() {
    if (std::exchange(cut_in_braces_, false)) {
      return;
    }
    const std::size_t at = flow_.front().at;
    const char open = text_[at];
    base::Diagnostic& diagnostic = add(SlipKind::unread,
                                       {at, at + 1},
                                       "missing-brace",
                                       fmt::format("`{}` is opened here and never closed", open));
    diagnostic.label = "opened here";
    diagnostic.help = fmt::format("close it with `{}`", open == '{' ? '}' : ']');
  }

  // Inside braces and brackets.

  void read_flow() {
    while (at_ < text_.size() && !is_enough()) {
      const char c = text_[at_];
      if (is_break(c)) {
        next_line(at_);
        return;
      }
      if (is_blank(c)) {
        ++at_;
      } else if (c == '#' && at_ > 0 && (is_blank(text_[at_ - 1]) || at_ == line_start_)) {
        at_ = line_end(at_);
      } else if (c == '{' || c == '[') {
        open_brace();
      } else if (c == '}' || c == ']') {
        close_brace(c);
        if (flow_.empty()) {
          finish_line_after_braces();
          return;
        }
      } else if (c == ',') {
        end_flow_entry(flow_.back());
        ++at_;
      } else if (c == ':' && ends_flow_key(at_)) {
        flow_.back().colon = true;
        ++at_;
      } else if ((c == '"' || c == '\'') && !text_is_open()) {
        const std::size_t opening = at_;
        if (!read_quoted(flow_indent_)) {
          return;
        }
        extend({opening, at_});
      } else {
        report_text_after_quote_in_flow();
        read_flow_plain();
      }
    }
  }

  [[nodiscard]] bool text_is_open() const {
    const Frame& frame = flow_.back();
    return frame.colon ? frame.value.begin != kNone : frame.entry.begin != kNone;
  }

  [[nodiscard]] bool ends_flow_key(std::size_t colon) const {
    const bool after_quote = colon > 0 && (text_[colon - 1] == '"' || text_[colon - 1] == '\'') &&
                             !flow_.back().colon && flow_.back().entry.begin != kNone &&
                             text_[flow_.back().entry.begin] == text_[colon - 1];
    return after_quote || colon + 1 >= text_.size() || is_blank(text_[colon + 1]) ||
           is_break(text_[colon + 1]) || is_flow_mark(text_[colon + 1]);
  }

  void extend(const Range& range) {
    Frame& frame = flow_.back();
    Range& text = frame.colon ? frame.value : frame.entry;
    text.begin = std::min(text.begin, range.begin);
    text.end = range.end;
  }

  void report_text_after_quote_in_flow() {
    const Frame& frame = flow_.back();
    const Range& text = frame.colon ? frame.value : frame.entry;
    if (text.begin == kNone || (text_[text.begin] != '"' && text_[text.begin] != '\'')) {
      return;
    }
    const std::size_t end = line_end(at_);
    const std::size_t behind = text_.find_first_of(",{}[]", at_);
    if (text_[text.end - 1] == text_[text.begin]) {
      report_text_after_quote(text.begin, {at_, std::min(end, behind)});
    }
  }

  void read_flow_plain() {
    const std::size_t begin = at_;
    std::size_t last = at_;
    for (; at_ < text_.size(); ++at_) {
      const char c = text_[at_];
      if (is_break(c) || is_flow_mark(c) ||
          (c == ':' && ends_flow_key(at_) && !flow_.back().colon)) {
        break;
      }
      if (c == ':' && ends_flow_key(at_) && at_ > begin) {
        Frame& frame = flow_.back();
        base::Diagnostic& diagnostic = add(SlipKind::unread,
                                           {at_, at_ + 1},
                                           "colon-in-text",
                                           "a second colon stands in the value of one key");
        diagnostic.label = "begins another value";
        std::size_t word = at_;
        while (word > begin && is_word(text_[word - 1])) {
          --word;
        }
        diagnostic.help =
            word == at_ ? fmt::format("put the text of {} in quotes", shown(piece(frame.entry)))
                        : fmt::format("put a comma before {}, or the text of {} in quotes",
                                      shown(piece({word, at_})),
                                      shown(piece(frame.entry)));
      }
      if (c == '#' && at_ > begin && is_blank(text_[at_ - 1])) {
        warn_of_cut(begin, at_, line_end(at_));
        at_ = line_end(at_);
        break;
      }
      if (!is_blank(c)) {
        last = at_ + 1;
      }
    }
    extend({begin, std::max(last, begin + 1)});
    if (at_ == begin) {
      ++at_;
    }
  }

  void open_brace() {
    if (flow_.size() + levels_.size() > depth_limit_) {
      slips_.too_deep = true;
      base::Diagnostic& diagnostic = add(SlipKind::always,
                                         {at_, at_ + 1},
                                         "too-deep",
                                         fmt::format("nested deeper than {} levels", depth_limit_));
      diagnostic.label = "one level too many";
      return;
    }
    if (!flow_.empty()) {
      extend({at_, at_ + 1});
    }
    Frame frame;
    frame.at = at_;
    flow_.push_back(std::move(frame));
    ++at_;
  }

  void close_brace(char c) {
    Frame frame = std::move(flow_.back());
    flow_.pop_back();
    const char open = text_[frame.at];
    if ((open == '{') != (c == '}')) {
      base::Diagnostic& diagnostic = add(SlipKind::unread,
                                         {at_, at_ + 1},
                                         "missing-brace",
                                         fmt::format("`{}` does not close `{}`", c, open));
      diagnostic.label = fmt::format("`{}` is expected", open == '{' ? '}' : ']');
      diagnostic.others.push_back({source_->span_at(frame.at, 1), "opened here"});
      braces_lost_ = true;
    }
    end_flow_entry(frame);
    report_loose(frame);
    ++at_;
    if (!flow_.empty()) {
      extend({at_ - 1, at_});
    }
  }

  void finish_line_after_braces() {
    const std::size_t end = line_end(at_);
    std::size_t behind = at_;
    while (behind < end && is_blank(text_[behind])) {
      ++behind;
    }
    if (behind < end && text_[behind] != '#' && text_[behind] != ':') {
      base::Diagnostic& diagnostic = add(
          SlipKind::unread, {behind, end}, "text-after-brace", "text follows the closing brace");
      diagnostic.label =
          text_[behind] == '}' || text_[behind] == ']' ? "closes nothing" : "not read";
    }
    next_line(end);
  }

  void end_flow_entry(Frame& frame) {
    if (text_[frame.at] == '{' && frame.entry.begin != kNone) {
      if (frame.colon) {
        report_loose(frame);
        frame.last_key = frame.entry;
        frame.last_value = frame.value;
      } else if (const auto colon = colon_without_space(piece(frame.entry))) {
        report_loose(frame);
        report_missing_space(frame.entry, frame.entry.begin + *colon);
        // Texts that follow belong to this value.
        frame.last_key = {frame.entry.begin, frame.entry.begin + *colon};
        frame.last_value = {frame.entry.begin + *colon + 1, frame.entry.end};
      } else {
        frame.loose.push_back(frame.entry);
      }
    }
    frame.entry = {};
    frame.value = {};
    frame.colon = false;
  }

  /// One diagnostic for texts that a comma has cut from the value before them.
  void report_loose(Frame& frame) {
    if (frame.loose.empty()) {
      return;
    }
    const std::vector<Range> loose = std::exchange(frame.loose, {});
    const Range first = loose.front();
    base::Diagnostic& diagnostic = add(SlipKind::always,
                                       first,
                                       "missing-value",
                                       fmt::format("{} has no value", shown(piece(first))));
    diagnostic.label = "read as a key";
    if (frame.last_key.begin == kNone || frame.last_value.begin == kNone) {
      diagnostic.help =
          "inside braces every entry is `key: value`; a single value stands without braces";
      return;
    }
    const std::string_view key = piece(frame.last_key);
    const std::string_view whole = piece({frame.last_value.begin, loose.back().end});
    const std::string_view value = piece(frame.last_value);
    const char* comma_says = "a comma inside braces separates keys; ";
    const bool numbers = is_digit(value.back()) && is_digit(piece(first).front());
    const bool touching = first.begin == frame.last_value.end + 1;
    if (!numbers) {
      diagnostic.help = fmt::format("{}put the text in quotes: {}",
                                    comma_says,
                                    shown(fmt::format("{}: {}", key, quoted(whole))));
      return;
    }
    bool thousands = touching;
    std::string spaced(value);
    std::string plain(value);
    std::string pointed(value);
    for (const Range& range : loose) {
      const std::string_view text = piece(range);
      std::size_t digits = 0;
      while (digits < text.size() && is_digit(text[digits])) {
        ++digits;
      }
      thousands = thousands && digits == 3;
      spaced += fmt::format(" {}", text);
      plain += text;
      pointed += fmt::format(".{}", text);
    }
    std::size_t lead = value.size();
    while (lead > 0 && is_digit(value[lead - 1])) {
      --lead;
    }
    thousands = thousands && value.size() - lead <= 3 && value[lead] != '0';
    const bool one_number = value.find_first_not_of("0123456789+-") == kNone;
    if (thousands && one_number) {
      diagnostic.help =
          fmt::format("{}thousands are written without one: {}; decimals with a point: {}",
                      comma_says,
                      shown(plain),
                      shown(pointed));
    } else if (touching && loose.size() == 1 && one_number) {
      diagnostic.help =
          fmt::format("{}decimals are written with a point: {}", comma_says, shown(pointed));
    } else {
      diagnostic.help = fmt::format(
          "{}the values of a column stand with spaces between: {}", comma_says, shown(spaced));
    }
  }

  void report_tabs() {
    if (tab_lines_ == 0) {
      return;
    }
    base::Diagnostic& diagnostic =
        add(SlipKind::always, first_tab_, "tab-indentation", "a tab is used as indentation");
    diagnostic.label = "a tab";
    if (tab_lines_ == 2) {
      diagnostic.notes.emplace_back("so is one more line");
    } else if (tab_lines_ > 2) {
      diagnostic.notes.push_back(fmt::format("so are {} more lines", tab_lines_ - 1));
    }
    diagnostic.help = "YAML is indented with spaces only: replace each tab";
  }

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

}  // namespace

Slips find_slips(const base::SourcePtr& source, int depth_limit) {
  return SlipFinder(source, depth_limit).run();
}

}  // namespace ductledger::yaml
