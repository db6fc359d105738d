#pragma once

#include "layout/layout.hpp"

namespace ductledger::layout {

/// The units that most of its file is written in; `ip` where it was not read from one.
[[nodiscard]] units::System written_system(const Layout& layout);

}  // namespace ductledger::layout
