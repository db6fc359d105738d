#pragma once

#include <cstddef>
#include <string_view>

#include "yaml/tree.hpp"

namespace ductledger::yaml {

struct Limits {
  std::size_t bytes = 4U << 20U;
  std::size_t nodes = 200'000;
  int depth = 32;
  /// Keys that may stand without a value before others of their block; null: none.
  bool (*may_be_blank)(std::string_view key) = nullptr;
};

/// Text to tree. Checks UTF-8 and control bytes first; refuses duplicate keys (case, hyphens and
/// underscores forgiven), anchors, aliases, tags, a second document, depth and size over the
/// limits. Slips that YAML takes without a word get their own diagnostic: a comma inside braces
/// that leaves a key without value (`note: a, b`, `1,5 m`, `7,200 ft`, `0, 250 cfm`), `{length:4
/// ft}` and `section:8 in` without the space, a `key:` followed by lines that are not indented
/// deeper (so an empty value may only stand last in its block, but for keys that may be blank),
/// pieces without dashes, tabs used as indentation, a missing closing quote or brace; a ` #2` that
/// cuts a plain scalar is a warning. Independent faults are told in one pass, in the order of the
/// file, warnings among them.
[[nodiscard]] base::Checked<Tree> parse(const base::SourcePtr& source, const Limits& limits = {});

}  // namespace ductledger::yaml
