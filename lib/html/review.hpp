#pragma once

#include <string>

#include "document/check.hpp"
#include "study/review_change.hpp"
#include "study/review_letter.hpp"
#include "units/message.hpp"

/// Pages of a review alone; each embeds the review document.
namespace ductledger::html {

struct ReviewPageOptions {
  units::System system = units::System::ip;
  document::Record record;
  /// An earlier review to hold it against, with what changed; null: none.
  const study::ReviewResult* before = nullptr;
  const study::ReviewChanges* changes = nullptr;
};

/// The inspection sheet, with what changed before it where that was asked for.
[[nodiscard]] std::string review_html(const study::ReviewResult& result,
                                      const ReviewPageOptions& options);
/// The letter to the applicant, with fields to fill in.
[[nodiscard]] std::string letter_html(const study::ReviewResult& result,
                                      const ReviewPageOptions& options);

}  // namespace ductledger::html
