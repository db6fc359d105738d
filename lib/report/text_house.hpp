#pragma once

#include "report/page.hpp"
#include "study/check.hpp"

namespace ductledger::report {

/// The house of a check: a table of its speeds, the limit, and what would keep within it. Writes
/// nothing where the layout has no house.
void house_block(Page& page, const study::CheckResult& result);

}  // namespace ductledger::report
