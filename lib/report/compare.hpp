#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "report/json.hpp"
#include "report/text.hpp"
#include "study/compare.hpp"

namespace ductledger::report {

/// Runs side by side as people read them, 80 columns wide.
[[nodiscard]] std::string compare_text(const study::Comparison& result, const TextOptions& options);

/// The document `ductledger.compare/1`.
[[nodiscard]] nlohmann::ordered_json compare_document(const study::Comparison& result,
                                                      const Record& record);

}  // namespace ductledger::report
