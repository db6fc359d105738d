#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/compare.hpp"

namespace ductledger::document {

/// The document `ductledger.compare/1`.
[[nodiscard]] nlohmann::ordered_json compare_document(const study::Comparison& result,
                                                      const Record& record);

}  // namespace ductledger::document
