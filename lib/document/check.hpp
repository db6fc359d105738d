#pragma once

#include <nlohmann/json_fwd.hpp>
#include <span>
#include <string>

#include "base/diagnostic.hpp"
#include "study/check.hpp"

namespace ductledger::document {

/// What a result document says of the program that made it.
struct Record {
  std::string tool_version;
  std::string fail_on;  ///< the level that makes the exit status 1
};

/// The document `ductledger.check/1`: SI throughout, `null` where a number is not known.
[[nodiscard]] nlohmann::ordered_json check_document(const study::CheckResult& result,
                                                    const Record& record);

/// The document `ductledger.error/1`: why nothing was calculated.
[[nodiscard]] nlohmann::ordered_json error_document(const base::Diagnostics& diagnostics,
                                                    const Record& record);

/// The document `ductledger.checks/1`: one of the two above for each file, in the order given.
[[nodiscard]] nlohmann::ordered_json checks_document(
    std::span<const nlohmann::ordered_json> results, const Record& record);

/// Indented by two, a line end last; bytes that are no UTF-8 are replaced.
[[nodiscard]] std::string to_text(const nlohmann::ordered_json& document);

}  // namespace ductledger::document
