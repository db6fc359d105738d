#pragma once

#include <vector>

#include "study/advice.hpp"

namespace ductledger::study {

/// Every change that the layout leaves open, in the order of the run.
[[nodiscard]] std::vector<Change> possible_changes(const CheckResult& result,
                                                   const fitting::Catalogue& catalogue);

}  // namespace ductledger::study
