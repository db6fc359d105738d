#pragma once

#include <string>

#include "site/measured.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// What readings mean, as people read it, 80 columns wide.
[[nodiscard]] std::string measured_text(const site::MeasuredResult& result,
                                        const TextOptions& options = {});

}  // namespace ductledger::text
