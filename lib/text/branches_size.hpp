#pragma once

#include <string>

#include "study/branches_size.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// Sizes of each leg, or what stands against every choice.
[[nodiscard]] std::string network_size_text(const study::NetworkSizeResult& result,
                                            const TextOptions& options = {});

}  // namespace ductledger::text
