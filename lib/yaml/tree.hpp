#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/checked.hpp"
#include "base/source.hpp"

/// A small YAML tree that keeps where everything stood. Scalars stay text: what they mean is
/// decided by the key they stand under.
namespace ductledger::yaml {

enum class NodeKind { null, scalar, sequence, mapping };

struct Entry;

struct Node {
  NodeKind kind = NodeKind::null;
  std::string text;            ///< scalar only
  bool quoted = false;         ///< scalar only
  base::Span span;             ///< of the scalar; of the first character of a collection
  std::vector<Node> items;     ///< sequence only
  std::vector<Entry> entries;  ///< mapping only, in file order, keys unique

  /// The value under a key, or null. Mapping only.
  [[nodiscard]] const Node* find(std::string_view key) const;
};

struct Entry {
  std::string key;
  base::Span key_span;
  Node value;
};

struct Tree {
  base::SourcePtr source;
  Node root;
  base::Diagnostics warnings;  ///< such as ` #2` cutting a title
};

}  // namespace ductledger::yaml
