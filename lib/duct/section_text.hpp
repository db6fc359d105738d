#pragma once

#include <string_view>

#include "duct/section.hpp"
#include "units/quantity_text.hpp"

namespace ductledger::duct {

/// `8 in round`, `8" round`, `10 x 3-1/4 in`, `10 in x 3.25 in`, `12 x 6 in oval`, `200 mm round`.
/// `8 in` alone is refused with "round?"; sizes must be positive and believable (1 in to 10 ft).
[[nodiscard]] units::TextResult<Section> parse_section(std::string_view text);

}  // namespace ductledger::duct
