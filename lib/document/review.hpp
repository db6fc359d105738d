#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/review.hpp"

namespace ductledger::document {

/// The document `ductledger.review/1`.
[[nodiscard]] nlohmann::ordered_json review_document(const study::ReviewResult& result,
                                                     const Record& record);

}  // namespace ductledger::document
