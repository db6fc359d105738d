#pragma once

#include <nlohmann/json_fwd.hpp>
#include <vector>

#include "document/check.hpp"
#include "study/fitting_sheet.hpp"

namespace ductledger::document {

/// The document `ductledger.fittings/1`.
[[nodiscard]] nlohmann::ordered_json fittings_document(
    const std::vector<const fitting::Entry*>& entries,
    const fitting::Catalogue& catalogue,
    const Record& record);
[[nodiscard]] nlohmann::ordered_json fitting_sheet_document(const study::FittingSheet& sheet,
                                                            const fitting::Catalogue& catalogue,
                                                            const Record& record);

}  // namespace ductledger::document
