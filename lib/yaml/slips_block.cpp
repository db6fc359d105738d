#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "yaml/slip_finder_internal.hpp"

namespace ductledger::yaml::slip {

using base::shown;
using base::trimmed;

void SlipFinder::read_block(std::size_t column) {
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

bool SlipFinder::enter_new(const Level& level) {
  levels_.push_back(level);
  open_ = {};
  return true;
}

bool SlipFinder::enter(std::size_t column, std::string_view content) {
  const bool dash = content == "-" || content.starts_with("- ");
  if (levels_.empty()) {
    return enter_new({column, dash});
  }
  const bool was_open = open_.open;
  if (column > levels_.back().column) {
    if (was_open && column > open_.column) {
      return enter_new({column, dash});
    }
    if (!was_open && begins_like_entry(content) && plain_open_) {
      report_too_far_right(content);
    }
    return false;
  }
  while (levels_.size() > 1 && levels_.back().column > column) {
    levels_.pop_back();
  }
  const bool beside_key = was_open && !open_.dash && open_.column == column;
  if (levels_.back().column != column) {
    report_indentation(content, was_open);
    return true;
  }
  if (levels_.back().list && !dash) {
    // A list may stand at the column of its key: then the mapping is the level below.
    if (levels_.size() < 2 || levels_[levels_.size() - 2].column != column) {
      report_indentation(content, was_open);
      return true;
    }
    levels_.pop_back();
  } else if (!levels_.back().list && dash && beside_key) {
    return enter_new({column, true});
  }
  if (beside_key && !dash && begins_like_entry(content)) {
    report_missing_value();
  }
  open_ = {};
  return true;
}

Range SlipFinder::first_word(std::string_view content) const {
  std::size_t i = 0;
  while (i < content.size() && !is_blank(content[i]) && content[i] != ':') {
    ++i;
  }
  return {at_, at_ + std::max<std::size_t>(i, 1)};
}

void SlipFinder::read_entry(std::size_t column, std::size_t end) {
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

void SlipFinder::read_value(const Range& key, std::size_t column, std::size_t end) {
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

std::size_t SlipFinder::indentation_of_line() const {
  std::size_t i = line_start_;
  while (i < text_.size() && is_blank(text_[i])) {
    ++i;
  }
  return i - line_start_;
}

std::size_t SlipFinder::plain_end(std::size_t begin, std::size_t end) {
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

}  // namespace ductledger::yaml::slip
