#include "layout/written_system.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "units/written_system.hpp"
#include "yaml/tree.hpp"

namespace ductledger::layout {
namespace {

// What people call things.
constexpr std::array<std::string_view, 4> kWords{"title", "name", "note", "catalogue"};

void add(const yaml::Node& node, units::WrittenSystem& written) {
  written.add(node.text);
  for (const yaml::Node& item : node.items) {
    add(item, written);
  }
  for (const yaml::Entry& entry : node.entries) {
    if (std::ranges::find(kWords, entry.key) == kWords.end()) {
      add(entry.value, written);
    }
  }
}

}  // namespace

units::System written_system(const Layout& layout) {
  units::WrittenSystem written;
  if (layout.tree) {
    add(layout.tree->root, written);
  }
  return written.system();
}

}  // namespace ductledger::layout
