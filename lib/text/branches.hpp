#pragma once

#include <string>

#include "study/branches.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// A network as people read it, 80 columns wide: each inlet's answer first.
[[nodiscard]] std::string network_text(const study::NetworkResult& result,
                                       const TextOptions& options = {});

}  // namespace ductledger::text
