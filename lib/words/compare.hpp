#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "study/compare.hpp"

namespace ductledger::words {

/// `A`, `B`, ...: what every view calls a run. @param run from 0; beyond 25 its number from 1
[[nodiscard]] std::string run_letter(std::size_t run);

/// Whether some speed's difference has a band, so that a winner can be sure or not.
[[nodiscard]] bool any_band(const study::Comparison& result);

/// What a range between bounds is, where some speed's airflow is known by bounds alone; else empty.
[[nodiscard]] std::string bounds_remark(const study::Comparison& result);
/// Against the first run at the headline speed; null: of the first run itself, or not known.
[[nodiscard]] const study::Difference* headline_difference(const study::ComparedRun& run);
/// Runs by what they deliver at the headline speed, most first; those of unknown airflow last.
[[nodiscard]] std::vector<std::size_t> best_first(const study::Comparison& result);
/// Which run to build for the most air, or why none is named.
[[nodiscard]] std::string winner_sentence(const study::Comparison& result, units::System system);

}  // namespace ductledger::words
