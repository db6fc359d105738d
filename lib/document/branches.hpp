#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/branches.hpp"

namespace ductledger::document {

/// The document `ductledger.check/1` of a layout with branches.
/// @param folded each row of a path once: see `study::folded_paths`
enum class PathRows { all, folded };
[[nodiscard]] nlohmann::ordered_json network_document(const study::NetworkResult& result,
                                                      const Record& record,
                                                      PathRows rows = PathRows::all);

}  // namespace ductledger::document
