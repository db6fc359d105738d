#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.hpp"
#include "yaml/parse.hpp"

/// A second look at the text beside the YAML parser: it knows the slips people make and says what
/// they meant. It never decides what the file holds.
namespace ductledger::yaml {

enum class SlipKind {
  always,   ///< wrong although YAML takes it (or whatever it makes of it)
  unread,   ///< explains why the text cannot be read; no fault where it can
  warning,  ///< taken, but perhaps not meant
};

struct Slip {
  SlipKind kind = SlipKind::always;
  base::Diagnostic diagnostic;
  std::string blank_key{};  ///< the key that has no value, where that is the slip
};

struct Slips {
  std::vector<Slip> found;  ///< in the order of the text
  /// Byte offsets behind colons that lack their space: a blank put there lets the rest be read.
  std::vector<std::size_t> missing_spaces;
  bool too_deep = false;  ///< braces nested beyond the limit; the scan stopped there
  bool blank = true;      ///< nothing but blanks and comments
};

[[nodiscard]] Slips find_slips(const base::SourcePtr& source, int depth_limit);

}  // namespace ductledger::yaml
