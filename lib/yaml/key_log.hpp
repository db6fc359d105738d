#pragma once

#include <cstddef>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "units/unit_table.hpp"
#include "yaml/tree.hpp"

namespace ductledger::yaml {

/// What readers asked of the values of a tree while they read it: the keys of a mapping, the
/// dimension of a quantity, the words of a choice. From it a schema of a file is made, so that
/// the schema knows what the reader knows. Costs nothing where none listens.
class KeyLog {
 public:
  struct Asked {
    std::string mapping;             ///< what the mapping is called; empty: none was asked for
    std::vector<std::string> keys;   ///< in the order asked
    std::set<std::string> required;  ///< of the keys
    std::set<std::string> forms;     ///< `quantity`, `column`, `yes-no`, `text`, `whole`, ...
    std::set<units::Dimension> dimensions;  ///< of a quantity or column
    std::set<std::string> words;            ///< of a choice
  };

  /// Listens to every reader of this text in this thread for as long as it lives, the newest alone.
  explicit KeyLog(base::SourcePtr text) noexcept;
  ~KeyLog();
  KeyLog(const KeyLog&) = delete;
  KeyLog& operator=(const KeyLog&) = delete;

  /// By the node's kind and place in its text: the same text may be parsed again.
  [[nodiscard]] const Asked* of(const Node& node) const;

  /// Where to note what is asked of a node of a text; null where none listens to it.
  [[nodiscard]] static Asked* about(const Node& node, const base::SourcePtr& text);

 private:
  base::SourcePtr text_;
  KeyLog* before_;
  std::map<std::pair<NodeKind, std::size_t>, Asked> asked_;
};

}  // namespace ductledger::yaml
