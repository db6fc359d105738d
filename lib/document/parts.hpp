#pragma once

#include <nlohmann/json_fwd.hpp>

#include "build/parts.hpp"
#include "document/check.hpp"

namespace ductledger::document {

/// The document `ductledger.parts/1`.
[[nodiscard]] nlohmann::ordered_json parts_document(const build::PartsResult& result,
                                                    const Record& record);

}  // namespace ductledger::document
