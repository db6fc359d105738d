#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "study/size.hpp"

namespace ductledger::document {

/// The document `ductledger.size/1`.
[[nodiscard]] nlohmann::ordered_json size_document(const study::SizeResult& result,
                                                   const Record& record);

}  // namespace ductledger::document
