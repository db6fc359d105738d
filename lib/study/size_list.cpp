#include <fmt/format.h>

#include <utility>
#include <variant>

#include "duct/section_text.hpp"
#include "study/size.hpp"
#include "yaml/parse.hpp"
#include "yaml/reader.hpp"

namespace ductledger::study {

base::Checked<std::vector<duct::Section>> read_sizes(const base::SourcePtr& text) {
  const auto tree = yaml::parse(text);
  if (!tree) {
    return tree.error();
  }
  yaml::Problems problems(text);
  std::vector<duct::Section> sizes;
  yaml::MapReader map(tree->root, "sizes", problems);
  if (const yaml::Node* version = map.require("sizes", "1")) {
    const auto number = yaml::read_whole(*version, problems);
    if (number && *number != 1) {
      problems
          .error(version->span,
                 "unknown-version",
                 fmt::format("sizes version {} is not known", *number))
          .label = "expected 1";
    }
  }
  if (const yaml::Node* list = map.require("stock", "[9 in round, 12 x 4 in]")) {
    if (list->kind != yaml::NodeKind::sequence || list->items.empty()) {
      problems.error(list->span, "wrong-kind", "`stock` must be a list of sections").help =
          "such as `stock: [9 in round, 12 x 4 in]`";
    }
    for (const yaml::Node& item : list->items) {
      if (!yaml::is_scalar(item, "a section such as `9 in round`", problems)) {
        continue;
      }
      const auto parsed = duct::parse_section(item.text);
      if (const auto* found = std::get_if<units::TextFault>(&parsed)) {
        yaml::report(*found, item, problems);
      } else {
        sizes.push_back(std::get<duct::Section>(parsed));
      }
    }
  }
  map.finish();
  if (problems.has_error()) {
    auto faults = problems.take();
    base::sort_by_place(faults);
    return faults;
  }
  return sizes;
}

}  // namespace ductledger::study
