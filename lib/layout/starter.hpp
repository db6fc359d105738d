#pragma once

#include <string>
#include <string_view>
#include <vector>

/// Commented layouts that `new` writes and `check` accepts as they are. Their figures are invented.
namespace ductledger::layout {

/// The words of `new --kind`: `bath-fan`, `dryer`, `makeup`, `recirculating`, `remote-fan`.
[[nodiscard]] const std::vector<std::string>& starter_kinds();

/// The starter of a kind; empty for a word that is none of them.
[[nodiscard]] std::string_view starter_of(std::string_view kind);

}  // namespace ductledger::layout
