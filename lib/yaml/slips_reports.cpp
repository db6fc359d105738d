#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "yaml/slip_finder_internal.hpp"

namespace ductledger::yaml::slip {

using base::shown;
using base::trimmed;

void SlipFinder::report_indentation(std::string_view content, bool was_open) {
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

void SlipFinder::warn_of_cut(std::size_t begin, std::size_t hash, std::size_t end) {
  if (hash + 1 >= end || is_blank(text_[hash + 1]) || text_[hash + 1] == '#' || hash == last_cut_) {
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
  base::Diagnostic& diagnostic = add(
      swallows_brace ? SlipKind::unread : SlipKind::warning,
      {hash, word_end},
      "comment-cuts-text",
      fmt::format("{} begins a comment: the text ends before it", shown(piece({hash, word_end}))));
  diagnostic.label = "not part of the text";
  const std::string_view whole = trimmed(text_.substr(begin, word_end - begin));
  diagnostic.help =
      fmt::format("put the text in quotes if it belongs to it: {}; else write a space after `#`",
                  shown(quoted(whole)));
}

std::string SlipFinder::quoted(std::string_view text) {
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

void SlipFinder::report_colon_in_text(const Range& key, const Range& plain) {
  for (std::size_t i = plain.begin; i < plain.end; ++i) {
    if (text_[i] == ':' && (i + 1 == plain.end || is_blank(text_[i + 1]))) {
      base::Diagnostic& diagnostic = add(SlipKind::unread,
                                         {i, i + 1},
                                         "colon-in-text",
                                         "a second colon stands in the value of one key");
      diagnostic.label = "begins another value";
      diagnostic.help = fmt::format("put the text in quotes: {}",
                                    shown(fmt::format("{}: {}", piece(key), quoted(piece(plain)))));
      return;
    }
  }
}

void SlipFinder::report_missing_space(const Range& whole, std::size_t colon) {
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

void SlipFinder::report_text_after_quote(std::size_t opening, Range behind) {
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

void SlipFinder::report_unclosed_brace() {
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

void SlipFinder::report_text_after_quote_in_flow() {
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

void SlipFinder::report_too_far_right(std::string_view content) {
  base::Diagnostic& diagnostic =
      add(SlipKind::unread,
          first_word(content),
          "indentation",
          "this line is indented further than the line above, which already has its value");
  diagnostic.label = "too far to the right";
  diagnostic.help = "let it begin below the key it stands beside";
  plain_open_ = false;
}

void SlipFinder::report_missing_value() {
  const std::string_view key = piece(open_.key);
  base::Diagnostic& diagnostic =
      add(SlipKind::always, open_.key, "missing-value", fmt::format("{} has no value", shown(key)));
  diagnostic.label = "nothing stands under this key";
  slips_.found.back().blank_key = key;
  const bool piece_of_list = levels_.size() > 1 && levels_[levels_.size() - 2].list;
  diagnostic.help =
      piece_of_list ? fmt::format("indent the lines below further than {}", shown(key))
                    : fmt::format(
                          "give it a value or remove it; if the lines below belong to it, indent "
                          "them further than {}",
                          shown(key));
}

/// What a number may have been meant to be that commas have cut.
struct SlipFinder::CutNumber {
  std::string spaced;   ///< a column of numbers
  std::string plain;    ///< one without its thousands' commas
  std::string pointed;  ///< one whose commas are decimal points
  bool thousands = true;
  bool one_number = true;
};

SlipFinder::CutNumber SlipFinder::cut_number(std::string_view value,
                                             const std::vector<Range>& loose) const {
  CutNumber out{
      .spaced = std::string(value), .plain = std::string(value), .pointed = std::string(value)};
  for (const Range& range : loose) {
    const std::string_view text = piece(range);
    std::size_t digits = 0;
    while (digits < text.size() && is_digit(text[digits])) {
      ++digits;
    }
    out.thousands = out.thousands && digits == 3;
    out.spaced += fmt::format(" {}", text);
    out.plain += text;
    out.pointed += fmt::format(".{}", text);
  }
  std::size_t lead = value.size();
  while (lead > 0 && is_digit(value[lead - 1])) {
    --lead;
  }
  out.thousands = out.thousands && value.size() - lead <= 3 && value[lead] != '0';
  out.one_number = value.find_first_not_of("0123456789+-") == kNone;
  return out;
}

void SlipFinder::report_loose(Frame& frame) {
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
  const std::string comma_says = "a comma inside braces separates keys; ";
  const std::string_view value = piece(frame.last_value);
  if (!is_digit(value.back()) || !is_digit(piece(first).front())) {
    const std::string_view whole = piece({frame.last_value.begin, loose.back().end});
    diagnostic.help =
        comma_says +
        fmt::format("put the text in quotes: {}",
                    shown(fmt::format("{}: {}", piece(frame.last_key), quoted(whole))));
    return;
  }
  const CutNumber cut = cut_number(value, loose);
  const bool touching = first.begin == frame.last_value.end + 1;
  if (touching && cut.thousands && cut.one_number) {
    diagnostic.help =
        comma_says + fmt::format("thousands are written without one: {}; decimals with a point: {}",
                                 shown(cut.plain),
                                 shown(cut.pointed));
  } else if (touching && loose.size() == 1 && cut.one_number) {
    diagnostic.help =
        comma_says + fmt::format("decimals are written with a point: {}", shown(cut.pointed));
  } else {
    diagnostic.help =
        comma_says +
        fmt::format("the values of a column stand with spaces between: {}", shown(cut.spaced));
  }
}

void SlipFinder::report_tabs() {
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

}  // namespace ductledger::yaml::slip
