#pragma once

#include <string>

#include "study/makeup.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// The makeup air that keeps the house within its limit, at 80 columns.
[[nodiscard]] std::string makeup_text(const study::MakeupSize& result, const TextOptions& options);

}  // namespace ductledger::text
