#pragma once

#include <string>

#include "units/unit_table.hpp"

namespace ductledger::words {

/// An equivalent length is no length to be cut: whole feet, or tenths of a meter.
[[nodiscard]] std::string whole_length(double length_m, units::System system);

}  // namespace ductledger::words
