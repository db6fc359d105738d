#pragma once

#include <string>
#include <string_view>

namespace ductledger::layout {

/// A speed of a fan as a sentence names it, whatever the file calls it: `high speed`, `speed 3`;
/// a name that holds the word itself stays. For a reader it is still to be escaped.
[[nodiscard]] std::string spoken_speed(std::string_view name);

}  // namespace ductledger::layout
