#pragma once

#include <nlohmann/json_fwd.hpp>

#include "build/parts.hpp"
#include "document/check.hpp"
#include "study/check.hpp"

namespace ductledger::document {

/// The document `ductledger.parts/1`.
/// @param calculated the same layout, whose verdict it holds; null: the document around it does
[[nodiscard]] nlohmann::ordered_json parts_document(const build::PartsResult& result,
                                                    const Record& record,
                                                    const study::CheckResult* calculated = nullptr);

}  // namespace ductledger::document
