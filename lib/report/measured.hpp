#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "report/json.hpp"
#include "report/text.hpp"
#include "study/measured.hpp"

namespace ductledger::report {

/// What readings mean, as people read it, 80 columns wide.
[[nodiscard]] std::string measured_text(const study::MeasuredResult& result,
                                        const TextOptions& options = {});

/// The document `ductledger.measured/1`.
[[nodiscard]] nlohmann::ordered_json measured_document(const study::MeasuredResult& result,
                                                       const Record& record);

}  // namespace ductledger::report
