#pragma once

#include <nlohmann/json_fwd.hpp>

#include "document/check.hpp"
#include "site/measured.hpp"

namespace ductledger::document {

/// The document `ductledger.measured/1`.
[[nodiscard]] nlohmann::ordered_json measured_document(const site::MeasuredResult& result,
                                                       const Record& record);

}  // namespace ductledger::document
