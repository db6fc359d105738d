#pragma once

#include "result/case.hpp"

namespace ductledger::result {

/// What follows from a speed's operating point, its rating and the run.
[[nodiscard]] Figures figures(const SpeedResult& speed, const solve::CompiledRun& run);

}  // namespace ductledger::result
