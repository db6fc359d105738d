#pragma once

#include <cstddef>
#include <nlohmann/json_fwd.hpp>
#include <string>

#include "report/json.hpp"
#include "report/text.hpp"
#include "study/compare.hpp"

namespace ductledger::report {

/// Runs side by side as people read them, 80 columns wide.
[[nodiscard]] std::string compare_text(const study::Comparison& result, const TextOptions& options);

/// `A`, `B`, ...: what every view calls a run. @param run from 0; beyond 25 its number from 1
[[nodiscard]] std::string run_letter(std::size_t run);

/// Whether some speed's difference has a band, so that a winner can be sure or not.
[[nodiscard]] bool any_band(const study::Comparison& result);

/// The document `ductledger.compare/1`.
[[nodiscard]] nlohmann::ordered_json compare_document(const study::Comparison& result,
                                                      const Record& record);

}  // namespace ductledger::report
