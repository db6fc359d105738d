#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "report/json.hpp"
#include "report/text.hpp"
#include "study/size.hpp"

namespace ductledger::report {

/// Which sizes deliver as people read it, 80 columns wide.
[[nodiscard]] std::string size_text(const study::SizeResult& result, const TextOptions& options);

/// The document `ductledger.size/1`.
[[nodiscard]] nlohmann::ordered_json size_document(const study::SizeResult& result,
                                                   const Record& record);

}  // namespace ductledger::report
