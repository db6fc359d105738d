#pragma once

#include <string>

#include "units/unit_table.hpp"

namespace ductledger::study {

/// A value as a layout writes it, read again to the last digit: `0.6096 m`, `40 %`.
[[nodiscard]] std::string written(double si, units::Dimension dimension);

}  // namespace ductledger::study
