#include "base/wrap.hpp"

#include <algorithm>

#include "base/text.hpp"

namespace ductledger::base {
namespace {

/// What a word takes of a line: its characters without what colors them.
std::size_t shown_length(std::string_view word) {
  std::size_t hidden = 0;
  for (std::size_t at = word.find('\x1b'); at != std::string_view::npos;
       at = word.find('\x1b', at + 1)) {
    hidden += std::min(word.find('m', at), word.size() - 1) - at + 1;
  }
  return character_count(word) - hidden;
}

}  // namespace

std::string wrapped(std::string_view text, const Hanging& hanging) {
  std::string out;
  std::size_t used = hanging.first;
  bool line_empty = true;
  std::size_t begin = text.find_first_not_of(' ');
  while (begin != std::string_view::npos) {
    const std::size_t end = std::min(text.find(' ', begin), text.size());
    const std::string_view word = text.substr(begin, end - begin);
    const std::size_t length = shown_length(word);
    if (!line_empty && used + 1 + length > hanging.width) {
      out += '\n' + std::string(hanging.others, ' ');
      used = hanging.others;
      line_empty = true;
    }
    if (!line_empty) {
      out += ' ';
      ++used;
    }
    out += word;
    used += length;
    line_empty = false;
    begin = text.find_first_not_of(' ', end);
  }
  return out;
}

}  // namespace ductledger::base
