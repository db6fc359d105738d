#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/branches_size.hpp"

namespace ductledger::document {

/// The document `ductledger.size/1` of a layout with branches: `legs` and `inlets` stand in place
/// of the sizes of one run, which are null or empty.
[[nodiscard]] nlohmann::ordered_json network_size_document(const study::NetworkSizeResult& result,
                                                           const Record& record);

}  // namespace ductledger::document
