#pragma once

#include <string>

#include "build/parts.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// The bill as people read it, 80 columns wide.
[[nodiscard]] std::string parts_text(const build::PartsResult& result, const TextOptions& options);

/// The bill's lines as comma-separated values, one heading line, quoted as RFC 4180 asks.
[[nodiscard]] std::string parts_csv(const build::PartsResult& result, units::System system);

}  // namespace ductledger::text
