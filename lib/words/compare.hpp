#pragma once

#include <cstddef>
#include <string>

#include "study/compare.hpp"

namespace ductledger::words {

/// `A`, `B`, ...: what every view calls a run. @param run from 0; beyond 25 its number from 1
[[nodiscard]] std::string run_letter(std::size_t run);

/// Whether some speed's difference has a band, so that a winner can be sure or not.
[[nodiscard]] bool any_band(const study::Comparison& result);

/// What a range between bounds is, where some speed's airflow is known by bounds alone; else empty.
[[nodiscard]] std::string bounds_remark(const study::Comparison& result);

}  // namespace ductledger::words
