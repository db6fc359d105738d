#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "report/json.hpp"
#include "report/text.hpp"
#include "study/parts.hpp"

namespace ductledger::report {

/// The bill as people read it, 80 columns wide.
[[nodiscard]] std::string parts_text(const study::PartsResult& result, const TextOptions& options);

/// The bill's lines as comma-separated values, one heading line, quoted as RFC 4180 asks.
[[nodiscard]] std::string parts_csv(const study::PartsResult& result, units::System system);

/// The document `ductledger.parts/1`.
[[nodiscard]] nlohmann::ordered_json parts_document(const study::PartsResult& result,
                                                    const Record& record);

}  // namespace ductledger::report
