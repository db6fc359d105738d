#pragma once

#include <string>

#include "base/diagnostic.hpp"
#include "study/check.hpp"

namespace ductledger::report {

enum class Detail {
  brief,  ///< the answer, the findings' first sentences, the cautions
  usual,
  verbose  ///< friction factors, Reynolds numbers, sources, how the search ended
};

struct TextOptions {
  units::System system = units::System::ip;
  base::Paint paint = base::Paint::plain;
  Detail detail = Detail::usual;
};

/// A result as people read it, 80 columns wide.
[[nodiscard]] std::string check_text(const study::CheckResult& result,
                                     const TextOptions& options = {});

}  // namespace ductledger::report
