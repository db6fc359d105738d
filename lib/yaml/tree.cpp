#include "yaml/tree.hpp"

#include <algorithm>

namespace ductledger::yaml {

const Node* Node::find(std::string_view key) const {
  const auto found = std::find_if(
      entries.begin(), entries.end(), [&](const Entry& entry) { return entry.key == key; });
  return found == entries.end() ? nullptr : &found->value;
}

}  // namespace ductledger::yaml
