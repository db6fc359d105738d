#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "yaml/slip_finder_internal.hpp"

namespace ductledger::yaml::slip {

using base::shown;
using base::trimmed;

void SlipFinder::read_flow() {
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

bool SlipFinder::text_is_open() const {
  const Frame& frame = flow_.back();
  return frame.colon ? frame.value.begin != kNone : frame.entry.begin != kNone;
}

bool SlipFinder::ends_flow_key(std::size_t colon) const {
  const bool after_quote = colon > 0 && (text_[colon - 1] == '"' || text_[colon - 1] == '\'') &&
                           !flow_.back().colon && flow_.back().entry.begin != kNone &&
                           text_[flow_.back().entry.begin] == text_[colon - 1];
  return after_quote || colon + 1 >= text_.size() || is_blank(text_[colon + 1]) ||
         is_break(text_[colon + 1]) || is_flow_mark(text_[colon + 1]);
}

void SlipFinder::extend(const Range& range) {
  Frame& frame = flow_.back();
  Range& text = frame.colon ? frame.value : frame.entry;
  text.begin = std::min(text.begin, range.begin);
  text.end = range.end;
}

void SlipFinder::read_flow_plain() {
  const std::size_t begin = at_;
  std::size_t last = at_;
  for (; at_ < text_.size(); ++at_) {
    const char c = text_[at_];
    if (is_break(c) || is_flow_mark(c) || (c == ':' && ends_flow_key(at_) && !flow_.back().colon)) {
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
      diagnostic.help = word == at_
                            ? fmt::format("put the text of {} in quotes", shown(piece(frame.entry)))
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

void SlipFinder::open_brace() {
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

void SlipFinder::close_brace(char c) {
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

void SlipFinder::finish_line_after_braces() {
  const std::size_t end = line_end(at_);
  std::size_t behind = at_;
  while (behind < end && is_blank(text_[behind])) {
    ++behind;
  }
  if (behind < end && text_[behind] != '#' && text_[behind] != ':') {
    base::Diagnostic& diagnostic =
        add(SlipKind::unread, {behind, end}, "text-after-brace", "text follows the closing brace");
    diagnostic.label = text_[behind] == '}' || text_[behind] == ']' ? "closes nothing" : "not read";
  }
  next_line(end);
}

void SlipFinder::end_flow_entry(Frame& frame) {
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

}  // namespace ductledger::yaml::slip
