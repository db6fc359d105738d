#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "study/compare.hpp"

/// What comparisons of runs and of networks share.
namespace ductledger::study {

/// Each layout with its variants behind it. Refused: one file twice, one run alone.
[[nodiscard]] base::Checked<std::vector<Compared>> all_runs(std::vector<Compared> layouts);

/// In a pattern, where braces stand for values.
[[nodiscard]] std::string literal(std::string_view text);

/// Whether both houses are drawn down alike at an airflow.
[[nodiscard]] bool same_house(const house::CompiledHouse& a,
                              const house::CompiledHouse& b,
                              double airflow_m3_s);

}  // namespace ductledger::study
