#pragma once

#include "study/check.hpp"
#include "text/page.hpp"

/// The parts of `check`'s text that set a run against others: its equivalent length, the nominal
/// route, the code's table for dryers, and what would help most.
namespace ductledger::text {

/// One line each, where the result has them.
void write_comparisons(Page& page, const study::CheckResult& result);

/// The ranked table with its notes; nothing where no advice was asked for.
void write_advice(Page& page, const study::CheckResult& result);

}  // namespace ductledger::text
