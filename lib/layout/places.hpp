#pragma once

#include <string>
#include <vector>

namespace ductledger::layout {

/// The words of `through`: where a straight or flexible duct runs.
[[nodiscard]] const std::vector<std::string>& place_words();

}  // namespace ductledger::layout
