#include "base/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <sstream>
#include <utility>

namespace ductledger::base {

namespace {

constexpr std::size_t kLongestShown = 60;    // characters of the user's text in a message
constexpr std::size_t kLongestSpelled = 64;  // bytes; longer words are no misspelling

bool is_continuation(char c) noexcept { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

struct CodePoint {
  std::uint32_t value = 0;
  std::size_t bytes = 0;  ///< 0: not valid UTF-8 here
};

CodePoint decode(std::string_view text) noexcept {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char first = byte(0);
  if (first < 0x80U) {
    return {first, 1};
  }
  const std::size_t length = first >= 0xF0U ? 4 : first >= 0xE0U ? 3 : 2;
  constexpr std::array<std::uint32_t, 5> kSmallest{0, 0, 0x80, 0x800, 0x10000};
  if (first < 0xC2U || first > 0xF4U || text.size() < length) {
    return {};
  }
  std::uint32_t value = first & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if (!is_continuation(text[i])) {
      return {};
    }
    value = (value << 6U) | (byte(i) & 0x3FU);
  }
  const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
  if (value < kSmallest[length] || value > 0x10FFFF || surrogate) {
    return {};
  }
  return {value, length};
}

bool turns_direction(std::uint32_t c) noexcept {
  return c == 0x061C || c == 0x200E || c == 0x200F || (c >= 0x202A && c <= 0x202E) ||
         (c >= 0x2066 && c <= 0x2069);
}

/// Control characters beyond ASCII (and DEL), and what turns or breaks a line unseen.
bool disturbs(std::uint32_t c) noexcept {
  return (c >= 0x7F && c <= 0x9F) || turns_direction(c) || c == 0x2028 || c == 0x2029 ||
         c == 0xFEFF;
}

char lower(char c) noexcept { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

/// Insertions, deletions, substitutions and swaps of neighbours.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> last(b.size() + 1);
  std::vector<std::size_t> now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) {
    last[j] = j;
  }
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = last[j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U);
      now[j] = std::min({last[j] + 1, now[j - 1] + 1, change});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        now[j] = std::min(now[j], before[j - 2] + 1);
      }
    }
    before.swap(last);
    last.swap(now);
  }
  return last[b.size()];
}

}  // namespace

std::size_t character_count(std::string_view utf8) noexcept {
  return static_cast<std::size_t>(
      std::count_if(utf8.begin(), utf8.end(), [](char c) { return !is_continuation(c); }));
}

std::optional<std::size_t> first_invalid_utf8(std::string_view text) noexcept {
  for (std::size_t i = 0; i < text.size();) {
    const CodePoint c = decode(text.substr(i));
    if (c.bytes == 0) {
      return i;
    }
    i += c.bytes;
  }
  return std::nullopt;
}

std::string escaped_beyond_ascii(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size();) {
    const CodePoint c = decode(text.substr(i));
    const std::size_t bytes = std::max<std::size_t>(c.bytes, 1);
    if (c.bytes > 0 && disturbs(c.value)) {
      out += fmt::format("\\u{:04x}", c.value);
    } else {
      out += text.substr(i, bytes);
    }
    i += bytes;
  }
  return out;
}

std::string escaped(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size();) {
    const CodePoint c = decode(text.substr(i));
    if (c.bytes == 0) {
      out += fmt::format("\\x{:02x}", static_cast<unsigned char>(text[i]));
      ++i;
      continue;
    }
    if (c.value == '\n') {
      out += "\\n";
    } else if (c.value == '\t') {
      out += "\\t";
    } else if (c.value == '\r') {
      out += "\\r";
    } else if (c.value < 0x20 || c.value == 0x7F) {
      out += fmt::format("\\x{:02x}", c.value);
    } else if (disturbs(c.value)) {
      out += fmt::format("\\u{:04x}", c.value);
    } else {
      out += text.substr(i, c.bytes);
    }
    i += c.bytes;
  }
  return out;
}

std::string shown(std::string_view text) {
  std::size_t end = 0;
  std::size_t count = 0;
  while (end < text.size() && count < kLongestShown) {
    ++end;
    while (end < text.size() && is_continuation(text[end])) {
      ++end;
    }
    ++count;
  }
  return fmt::format("`{}{}`", escaped(text.substr(0, end)), end < text.size() ? "..." : "");
}

std::string_view trimmed(std::string_view text) noexcept {
  constexpr std::string_view kBlanks = " \t\r\n";
  const std::size_t begin = text.find_first_not_of(kBlanks);
  if (begin == std::string_view::npos) {
    return {};
  }
  return text.substr(begin, text.find_last_not_of(kBlanks) - begin + 1);
}

std::optional<std::string> nearest(std::string_view word, std::span<const std::string> candidates) {
  const std::string wanted = canonical_word(word);
  if (wanted.empty() || wanted.size() > kLongestSpelled) {
    return std::nullopt;
  }
  std::size_t best = std::max<std::size_t>(1, wanted.size() / 3) + 1;
  const std::string* found = nullptr;
  for (const std::string& candidate : candidates) {
    const std::string spelled = canonical_word(candidate);
    const std::size_t distance = edit_distance(wanted, spelled);
    // A word of which nothing is left is no likeness.
    if (distance < best && distance < std::max(wanted.size(), spelled.size())) {
      best = distance;
      found = &candidate;
    }
  }
  if (found == nullptr && wanted.size() >= 4) {
    for (const std::string& candidate : candidates) {
      if (canonical_word(candidate).find(wanted) != std::string::npos &&
          (found == nullptr || candidate.size() < found->size())) {
        found = &candidate;
      }
    }
  }
  if (found == nullptr) {  // `ratings` for `rated`: half of both words and more is one stem
    const std::string_view one(wanted.data(), wanted.size() - (wanted.ends_with('s') ? 1 : 0));
    std::size_t longest = 2;
    for (const std::string& candidate : candidates) {
      const std::string spelled = canonical_word(candidate);
      const auto [end, other] = std::ranges::mismatch(one, spelled);
      const auto stem = static_cast<std::size_t>(end - one.begin());
      if (stem > longest && 2 * stem >= std::max(one.size(), spelled.size())) {
        longest = stem;
        found = &candidate;
      }
    }
  }
  return found == nullptr ? std::nullopt : std::optional<std::string>(*found);
}

std::vector<std::string> split(std::string_view words) {
  std::vector<std::string> out;
  std::istringstream stream{std::string(words)};
  for (std::string word; stream >> word;) {
    out.push_back(std::move(word));
  }
  return out;
}

std::string joined(std::span<const std::string> words, std::string_view last) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) {
      out += i + 1 == words.size() ? fmt::format(" {} ", last) : ", ";
    }
    out += words[i];
  }
  return out;
}

std::string capitalized(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  return text;
}

std::string canonical_word(std::string_view text) {
  std::string out(trimmed(text));
  for (char& c : out) {
    c = c == '_' || c == ' ' ? '-' : lower(c);
  }
  return out;
}

}  // namespace ductledger::base
