#pragma once

#include <string>

#include "study/size.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// Which sizes deliver as people read it, 80 columns wide.
[[nodiscard]] std::string size_text(const study::SizeResult& result, const TextOptions& options);

}  // namespace ductledger::text
