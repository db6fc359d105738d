#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/branches.hpp"

namespace ductledger::document {

/// The document `ductledger.check/1` of a layout with branches.
/// How often the rows that paths share stand: in each path, or once (`study::folded_paths`); by
/// size: once where the network has more than 50 inlets, whose rows would grow with their square.
enum class PathRows { by_size, all, folded };
[[nodiscard]] nlohmann::ordered_json network_document(const study::NetworkResult& result,
                                                      const Record& record,
                                                      PathRows rows = PathRows::by_size);

}  // namespace ductledger::document
