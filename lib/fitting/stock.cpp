#include "fitting/stock.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <utility>
#include <variant>

#include "base/expects.hpp"
#include "duct/section_text.hpp"
#include "fitting/embedded_internal.hpp"

namespace ductledger::fitting {
namespace {

using Sizes = std::map<std::pair<duct::Shape, Series>, std::vector<duct::Section>>;

Sizes read_sizes() {
  const auto files = embedded_files();
  const auto file = std::find_if(files.begin(), files.end(), [](const EmbeddedFile& each) {
    return each.path == "stock-sizes.yaml";
  });
  // Compiled in: a fault is ours, and a test reads the file whole.
  DUCTLEDGER_EXPECTS(file != files.end());
  const yaml::Tree tree = tree_of(*file);
  Sizes sizes;
  for (const yaml::Entry& shape : tree.root.entries) {
    for (const Series series : {Series::inch, Series::metric}) {
      const yaml::Node* own = shape.value.find(series == Series::inch ? "inch" : "metric");
      const yaml::Node* list = own == nullptr ? nullptr : own->find("sizes");
      DUCTLEDGER_EXPECTS(list != nullptr);
      for (const yaml::Node& item : list->items) {
        const auto parsed = duct::parse_section(item.text);
        const auto* section = std::get_if<duct::Section>(&parsed);
        DUCTLEDGER_EXPECTS(section != nullptr);
        sizes[{section->shape(), series}].push_back(*section);
      }
    }
  }
  for (auto& [key, list] : sizes) {
    std::stable_sort(list.begin(), list.end(), [](const auto& a, const auto& b) {
      return a.area_m2() < b.area_m2();
    });
  }
  return sizes;
}

/// Rounding of sizes stated in other units.
constexpr double kSameM = 0.0005;

}  // namespace

const std::vector<duct::Section>& stock_sizes(duct::Shape shape, Series series) {
  static const Sizes sizes = read_sizes();
  return sizes.at({shape, series});
}

std::optional<duct::Section> next_stock_size(const duct::Section& section, Series series) {
  const bool upright = section.height_m() > section.width_m();
  for (const duct::Section& stock : stock_sizes(section.shape(), series)) {
    const duct::Section lying = upright
                                    ? duct::Section::rectangular(units::metres(stock.height_m()),
                                                                 units::metres(stock.width_m()))
                                    : stock;
    const double wider_m = lying.width_m() - section.width_m();
    const double higher_m = lying.height_m() - section.height_m();
    if (wider_m > -kSameM && higher_m > -kSameM && std::max(wider_m, higher_m) > kSameM) {
      return lying;
    }
  }
  return std::nullopt;
}

}  // namespace ductledger::fitting
