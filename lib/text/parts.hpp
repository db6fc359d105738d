#pragma once

#include <string>

#include "build/parts.hpp"
#include "study/check.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// The bill as people read it, 80 columns wide.
/// @param calculated the same layout: what fails stands above the bill
[[nodiscard]] std::string parts_text(const build::PartsResult& result,
                                     const study::CheckResult& calculated,
                                     const TextOptions& options);

/// The bill's lines as comma-separated values, one heading line, quoted as RFC 4180 asks.
[[nodiscard]] std::string parts_csv(const build::PartsResult& result, units::System system);

}  // namespace ductledger::text
