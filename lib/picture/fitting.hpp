#pragma once

#include "picture/plot.hpp"
#include "study/fitting_sheet.hpp"

namespace ductledger::picture {

/// C against one variable, with the printed points.
[[nodiscard]] Plot fitting_plot(const study::FittingSheet& sheet);

}  // namespace ductledger::picture
