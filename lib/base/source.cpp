#include "base/source.hpp"

#include <algorithm>
#include <utility>

#include "base/sha256.hpp"
#include "base/text.hpp"

namespace ductledger::base {

namespace {

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

}  // namespace

SourceText::SourceText(std::string name, std::string text)
    : name_(std::move(name)), text_(std::move(text)) {
  // A byte order mark is no character of the first line: columns start behind it.
  starts_.push_back(std::string_view(text_).starts_with(kByteOrderMark) ? kByteOrderMark.size()
                                                                        : 0);
  for (std::size_t i = 0; i < text_.size(); ++i) {
    const bool lone_return = text_[i] == '\r' && (i + 1 == text_.size() || text_[i + 1] != '\n');
    if (text_[i] == '\n' || lone_return) {
      starts_.push_back(i + 1);
    }
  }
}

const std::string& SourceText::sha256() const {
  std::call_once(hashed_, [this] { sha256_ = sha256_hex(text_); });
  return sha256_;
}

std::string_view SourceText::line(int line) const noexcept {
  if (line < 1 || line > line_count()) {
    return {};
  }
  const auto index = static_cast<std::size_t>(line - 1);
  const std::size_t begin = starts_[index];
  std::size_t end = index + 1 < starts_.size() ? starts_[index + 1] : text_.size();
  while (end > begin && (text_[end - 1] == '\n' || text_[end - 1] == '\r')) {
    --end;
  }
  return std::string_view(text_).substr(begin, end - begin);
}

Span SourceText::span_at(std::size_t offset, std::size_t byte_length) const noexcept {
  offset = std::min(offset, text_.size());
  byte_length = std::min(byte_length, text_.size() - offset);
  const auto after = std::upper_bound(starts_.begin(), starts_.end(), offset);
  const std::size_t index =
      after == starts_.begin() ? 0 : static_cast<std::size_t>(after - starts_.begin()) - 1;
  const std::size_t begin = starts_[index];
  offset = std::max(offset, begin);
  const std::string_view all(text_);
  const std::size_t before = character_count(all.substr(begin, offset - begin));
  const std::size_t inside = character_count(all.substr(offset, byte_length));
  return Span{.line = static_cast<int>(index + 1),
              .column = static_cast<int>(before + 1),
              .length = std::max(1, static_cast<int>(inside)),
              .offset = offset};
}

}  // namespace ductledger::base
