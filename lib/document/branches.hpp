#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/branches.hpp"

namespace ductledger::document {

/// The document `ductledger.check/1` of a layout with branches.
[[nodiscard]] nlohmann::ordered_json network_document(const study::NetworkResult& result,
                                                      const Record& record);

}  // namespace ductledger::document
