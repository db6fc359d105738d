#pragma once

#include <cstddef>
#include <string>

#include "base/diagnostic.hpp"
#include "study/check.hpp"

namespace ductledger::text {

enum class Detail {
  brief,  ///< the answer, the findings' first sentences, the cautions
  usual,
  verbose  ///< friction factors, Reynolds numbers, sources, how the search ended
};

/// The pressure along the run as a picture in characters.
enum class Profile { none, blocks, ascii };

struct TextOptions {
  units::System system = units::System::ip;
  base::Paint paint = base::Paint::plain;
  Detail detail = Detail::usual;
  Profile profile = Profile::none;
  std::size_t width = 80;  ///< columns, 40 and more
};

/// A result as people read it.
[[nodiscard]] std::string check_text(const study::CheckResult& result,
                                     const TextOptions& options = {});

}  // namespace ductledger::text
