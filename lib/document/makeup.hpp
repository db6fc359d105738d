#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/makeup.hpp"

namespace ductledger::document {

/// The document `ductledger.makeup/1`.
[[nodiscard]] nlohmann::ordered_json makeup_document(const study::MakeupSize& result,
                                                     const Record& record);

}  // namespace ductledger::document
