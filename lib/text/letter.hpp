#pragma once

#include <string>
#include <string_view>

#include "study/review_change.hpp"
#include "study/review_letter.hpp"
#include "text/check.hpp"

/// What a reviewer sends back: a letter of what is open, and what became of an earlier one.
namespace ductledger::text {

/// @param by what made it, such as `ductledger 0.1.0`
[[nodiscard]] std::string review_letter(const study::ReviewResult& result,
                                        std::string_view by,
                                        const TextOptions& options = {});

struct TwoReviews {
  const study::ReviewResult& before;
  const study::ReviewResult& now;
  const study::ReviewChanges& changes;
};
[[nodiscard]] std::string review_against(const TwoReviews& reviews,
                                         const TextOptions& options = {});

}  // namespace ductledger::text
