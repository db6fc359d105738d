#pragma once

#include <string>

#include "site/commission.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// The hand-over sheet, 80 columns wide, with blanks for what is read on site.
[[nodiscard]] std::string commission_text(const site::CommissionResult& result,
                                          const TextOptions& options = {});

}  // namespace ductledger::text
