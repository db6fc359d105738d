#pragma once

#include <optional>
#include <vector>

#include "duct/section.hpp"
#include "units/unit_table.hpp"

/// Sizes of duct that people can buy; data in fittings/stock-sizes.yaml.
namespace ductledger::fitting {

enum class Series { inch, metric };
/// The series on a shelf where people write in these units.
[[nodiscard]] constexpr Series series_of(units::System written) noexcept {
  return written == units::System::ip ? Series::inch : Series::metric;
}

/// The sizes of a shape, by area, smallest first. A rectangular one has its longer side as width.
/// @source common-practice inch sizes; the ovals derived from round duct flattened; metric round
/// and rectangular ones recalled
[[nodiscard]] const std::vector<duct::Section>& stock_sizes(duct::Shape shape, Series series);

/// The smallest stock size of the same shape with more area and neither side shorter, lying as the
/// section lies (width stays the longer side where it is). Nothing beyond the largest.
[[nodiscard]] std::optional<duct::Section> next_stock_size(const duct::Section& section,
                                                           Series series);

}  // namespace ductledger::fitting
