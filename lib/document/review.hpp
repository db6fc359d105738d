#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/review_change.hpp"

namespace ductledger::document {

/// The document `ductledger.review/1`.
[[nodiscard]] nlohmann::ordered_json review_document(const study::ReviewResult& result,
                                                     const Record& record);

/// What became of an earlier review: the key `against` of a review document.
[[nodiscard]] nlohmann::ordered_json against_object(const study::ReviewResult& before,
                                                    const study::ReviewChanges& changes);

}  // namespace ductledger::document
