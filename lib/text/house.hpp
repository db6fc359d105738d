#pragma once

#include "study/check.hpp"
#include "text/page.hpp"

namespace ductledger::text {

/// The house of a check: a table of its speeds, the limit, and what would keep within it. Writes
/// nothing where the layout has no house.
void house_block(Page& page, const study::CheckResult& result);

}  // namespace ductledger::text
