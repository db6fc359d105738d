#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "yaml/slip_finder_internal.hpp"

namespace ductledger::yaml::slip {

using base::shown;
using base::trimmed;

bool SlipFinder::read_quoted(std::size_t column) {
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
          : fmt::format("close it at the end of the text with {}", shown(text_.substr(opening, 1)));
  flow_.clear();
  next_line(first_end);
  return false;
}

bool SlipFinder::swallows_entries(const Range& quotes, std::size_t column) const {
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

void SlipFinder::finish_line_after_quote(std::size_t opening) {
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

}  // namespace ductledger::yaml::slip
