#pragma once

#include <nlohmann/json_fwd.hpp>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "build/parts.hpp"
#include "document/check.hpp"
#include "study/branches.hpp"
#include "study/check.hpp"
#include "study/compare.hpp"
#include "study/review.hpp"
#include "units/message.hpp"

/// A result as one page for people: HTML that needs no network and no script to be read.
namespace ductledger::html {

struct ReportSubject {
  const study::CheckResult* result = nullptr;
  const nlohmann::ordered_json* document = nullptr;  ///< `check_document` of the same result
  const build::PartsResult* parts = nullptr;         ///< null: cannot be made
  std::string parts_missing{};                       ///< why not, for a sentence
  const study::ReviewResult* review = nullptr;       ///< null: not asked for
  /// Of a layout with branches: `result` is `study::as_single` of it, `document` its
  /// `network_document`.
  const study::NetworkResult* network = nullptr;
};

struct ReportOptions {
  units::System system = units::System::ip;
  document::Record record;
  const study::Comparison* comparison = nullptr;  ///< null: none, or it cannot be made
  std::string not_compared{};                     ///< of several layouts: why not
  bool on_paper = false;  ///< made to be printed: ends in the rough-in sheet
};

/// The page. Shows what the documents hold and embeds them (`script` of type application/json);
/// every figure stands in a `data` element whose value is the document's and whose `data-at` is its
/// JSON pointer. @param subjects one or more; a comparison stands before them, or an overview of
/// several that cannot be compared
[[nodiscard]] std::string report_html(std::span<const ReportSubject> subjects,
                                      const ReportOptions& options);

/// Sections of the page of one layout, without its frame and pictures, for a page of another
/// making; empty where the result has nothing to say.
struct ReportFragments {
  std::string ledger;
  std::string speeds;
  std::string findings;
  std::string doubt;
  std::string house;
  std::string yardstick;
  std::string rules;  ///< where the subject has a review
  std::string assumptions;
  std::string cautions;
};
[[nodiscard]] ReportFragments report_fragments(const ReportSubject& subject,
                                               const ReportOptions& options);
/// The runs side by side, with their pictures.
[[nodiscard]] std::string comparison_fragment(const study::Comparison& comparison,
                                              units::System system,
                                              const document::Record& record);

/// The document `ductledger.report/1` that the page embeds.
[[nodiscard]] nlohmann::ordered_json report_document(std::span<const ReportSubject> subjects,
                                                     const ReportOptions& options);

/// The single pictures: `route`, `plan`, `elevation`, `curves`, `pressure`, `answer`.
[[nodiscard]] const std::vector<std::string>& picture_names();
struct PictureWanted {
  std::string_view name;
  units::System system = units::System::ip;
};
/// An SVG file; empty where the result has nothing for it to show.
[[nodiscard]] std::string picture_svg(const study::CheckResult& result,
                                      const PictureWanted& wanted);

}  // namespace ductledger::html
