#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "report/json.hpp"
#include "report/text.hpp"
#include "study/commission.hpp"

namespace ductledger::report {

/// The hand-over sheet, 80 columns wide, with blanks for what is read on site.
[[nodiscard]] std::string commission_text(const study::CommissionResult& result,
                                          const TextOptions& options = {});

/// The document `ductledger.commission/1`.
[[nodiscard]] nlohmann::ordered_json commission_document(const study::CommissionResult& result,
                                                         const Record& record);

}  // namespace ductledger::report
