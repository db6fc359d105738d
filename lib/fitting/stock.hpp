#pragma once

#include <optional>
#include <vector>

#include "duct/section.hpp"

/// Sizes of duct that people can buy; data in fittings/stock-sizes.yaml.
namespace ductledger::fitting {

/// The sizes of a shape, by area, smallest first. A rectangular one has its longer side as width.
/// @source common-practice round and rectangular; the ovals derived from round duct flattened
[[nodiscard]] const std::vector<duct::Section>& stock_sizes(duct::Shape shape);

/// The smallest stock size of the same shape with more area and neither side shorter, lying as the
/// section lies (width stays the longer side where it is). Nothing beyond the largest.
[[nodiscard]] std::optional<duct::Section> next_stock_size(const duct::Section& section);

}  // namespace ductledger::fitting
