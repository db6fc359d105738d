#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "site/commission.hpp"

namespace ductledger::document {

/// The document `ductledger.commission/1`.
[[nodiscard]] nlohmann::ordered_json commission_document(const site::CommissionResult& result,
                                                         const Record& record);

}  // namespace ductledger::document
