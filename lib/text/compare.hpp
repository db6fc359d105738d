#pragma once

#include <cstddef>
#include <string>

#include "study/compare.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// Runs side by side as people read them, 80 columns wide.
[[nodiscard]] std::string compare_text(const study::Comparison& result, const TextOptions& options);

}  // namespace ductledger::text
