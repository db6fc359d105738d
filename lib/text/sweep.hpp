#pragma once

#include <span>
#include <string>

#include "study/sweep.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// What a sweep found: of one or two places a table with bars, of a sample its quantiles and how
/// often each airflow comes. Bars are blocks, or `#` with `Profile::ascii`.
/// @param as_it_is the layout unchanged, calculated whole: what fails stands first
/// @param points in the order of the rows
[[nodiscard]] std::string sweep_text(const study::CheckResult& as_it_is,
                                     const study::Sweep& sweep,
                                     std::span<const study::SweepPoint> points,
                                     const TextOptions& options);

}  // namespace ductledger::text
