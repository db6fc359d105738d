#pragma once

#include <cstddef>

#include "study/check.hpp"
#include "text/page.hpp"

namespace ductledger::text {

/// `FAIL  high draws the house down by 23.7 Pa ...`: told apart by its word, not by colour alone.
void write_verdict(Page& page, const study::CheckResult& result);
/// The same as a part of a line.
[[nodiscard]] std::string verdict_text(const study::CheckResult& result, units::System system);

}  // namespace ductledger::text
