#pragma once

#include <span>
#include <string>

#include "study/review.hpp"
#include "text/check.hpp"

/// Views of a review: for the desk, for the site, for the applicant, and the document.
namespace ductledger::text {

/// What stands against the file first, 80 columns wide.
[[nodiscard]] std::string review_text(const study::ReviewResult& result,
                                      const TextOptions& options = {});

/// A sheet to take to the site: what the file shows, boxes for what has to be looked at.
[[nodiscard]] std::string review_sheet(const study::ReviewResult& result,
                                       const TextOptions& options = {});

/// The facts that would settle what is not shown, as YAML to fill in.
[[nodiscard]] std::string review_request(const study::ReviewResult& result,
                                         const TextOptions& options = {});

/// A row for each of several files. A file that could not be calculated has no result.
struct ReviewRow {
  std::string file;
  const study::ReviewResult* result = nullptr;
};
[[nodiscard]] std::string review_summary(std::span<const ReviewRow> rows,
                                         const TextOptions& options = {});

}  // namespace ductledger::text
