#pragma once

#include <string_view>

#include "units/quantity_text.hpp"

namespace ductledger::units {

/// As `parse_leading_length`, of a text in plain spelling.
[[nodiscard]] TextResult<LeadingLength> leading_length(std::string_view text);

}  // namespace ductledger::units
