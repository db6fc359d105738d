#pragma once

#include <span>
#include <string>

#include "study/sweep.hpp"

namespace ductledger::html {

struct SweepPageOptions {
  units::System system = units::System::ip;
  std::string tool_version;
};

/// One page: the plot, the table or the quantiles, what was put in. No script, no network.
/// @param points in the order of the rows
[[nodiscard]] std::string sweep_html(const study::CheckResult& as_it_is,
                                     const study::Sweep& sweep,
                                     std::span<const study::SweepPoint> points,
                                     const SweepPageOptions& options);

}  // namespace ductledger::html
