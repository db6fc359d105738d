#pragma once

#include <optional>

#include "layout/layout.hpp"

namespace ductledger::layout {

/// Height of the run's end over its begin [m] by headings, lengths and legs; nothing where a
/// heading is not known.
[[nodiscard]] std::optional<double> rise_by_headings(const Run& run);

}  // namespace ductledger::layout
