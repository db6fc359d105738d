#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/branches_compare.hpp"

namespace ductledger::document {

/// The document `ductledger.compare/1` where some layout has branches: a run's `inlets` stand
/// beside its speeds, what compares pieces of single runs is null or empty.
[[nodiscard]] nlohmann::ordered_json network_compare_document(
    const study::NetworkComparison& result, const Record& record);

}  // namespace ductledger::document
