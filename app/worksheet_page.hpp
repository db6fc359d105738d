#pragma once

#include <string_view>

namespace ductledger::app {

/// The page that `worksheet` writes; empty where the program was built without it.
[[nodiscard]] std::string_view worksheet_page() noexcept;

}  // namespace ductledger::app
