#pragma once

#include <string>

#include "study/branches_compare.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// The worst of each layout first, then who draws more for sure, then every inlet in a row.
[[nodiscard]] std::string network_compare_text(const study::NetworkComparison& result,
                                               const TextOptions& options = {});

}  // namespace ductledger::text
