#include <algorithm>
#include <utility>

#include "yaml/slip_finder_internal.hpp"

namespace ductledger::yaml {
namespace slip {

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

Slips SlipFinder::run() {
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

base::Diagnostic& SlipFinder::add(SlipKind kind,
                                  const Range& range,
                                  std::string rule,
                                  std::string message) {
  if (kind == SlipKind::unread && braces_lost_) {
    return echo_;
  }
  base::Diagnostic diagnostic;
  diagnostic.rule = std::move(rule);
  diagnostic.severity = kind == SlipKind::warning ? base::Severity::warning : base::Severity::error;
  diagnostic.message = std::move(message);
  diagnostic.source = source_;
  diagnostic.span = source_->span_at(range.begin, range.end - range.begin);
  slips_.found.push_back({.kind = kind, .diagnostic = std::move(diagnostic)});
  return slips_.found.back().diagnostic;
}

bool SlipFinder::is_enough() const { return slips_.too_deep || slips_.found.size() >= kMostSlips; }

std::string_view SlipFinder::piece(const Range& range) const {
  return range.begin == kNone ? std::string_view()
                              : text_.substr(range.begin, range.end - range.begin);
}

std::size_t SlipFinder::line_end(std::size_t from) const {
  const std::size_t end = text_.find_first_of("\r\n", from);
  return end == kNone ? text_.size() : end;
}

void SlipFinder::next_line(std::size_t end) {
  at_ = end;
  if (at_ < text_.size()) {
    at_ += text_[at_] == '\r' && at_ + 1 < text_.size() && text_[at_ + 1] == '\n' ? 2U : 1U;
  }
}

void SlipFinder::read_line() {
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

}  // namespace slip

Slips find_slips(const base::SourcePtr& source, int depth_limit) {
  return slip::SlipFinder(source, depth_limit).run();
}

}  // namespace ductledger::yaml
