#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/branches.hpp"

namespace ductledger::document {

/// How often the rows that paths share stand: in each path, or once (`study::folded_paths`).
enum class PathRows { all, folded };
/// The document `ductledger.check/1` of a layout with branches.
[[nodiscard]] nlohmann::ordered_json network_document(const study::NetworkResult& result,
                                                      const Record& record,
                                                      PathRows rows = PathRows::all);
/// The same of any layout.
[[nodiscard]] nlohmann::ordered_json layout_document(const study::CheckedLayout& result,
                                                     const Record& record,
                                                     PathRows rows = PathRows::all);

}  // namespace ductledger::document
