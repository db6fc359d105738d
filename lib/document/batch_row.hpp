#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "document/check.hpp"
#include "document/rows.hpp"
#include "study/branches.hpp"
#include "study/check.hpp"
#include "study/review.hpp"
#include "study/size.hpp"

/// One layout among many as a row.
namespace ductledger::document {

enum class BatchStudy { check, review, size };
inline constexpr auto kBatchStudyWords = base::words<BatchStudy>(
    {{BatchStudy::check, "check"}, {BatchStudy::review, "review"}, {BatchStudy::size, "size"}});

/// How a layout came out, as the exit status of its command would be.
enum class RowStatus { fine, findings, failed };
inline constexpr auto kRowStatusWords = base::words<RowStatus>(
    {{RowStatus::fine, "fine"}, {RowStatus::findings, "findings"}, {RowStatus::failed, "failed"}});

/// What a row is made of. Where nothing could be calculated only `file`, `status` and `faults`.
struct BatchSubject {
  std::string file;
  RowStatus status = RowStatus::failed;
  std::span<const base::Diagnostic> faults{};
  const study::CheckResult* check = nullptr;
  const study::NetworkResult* network = nullptr;  ///< `check` is then its collar's inlet
  const study::ReviewResult* review = nullptr;
  const study::SizeResult* size = nullptr;
  const Record* record = nullptr;  ///< for the column `document`
};

struct BatchColumn {
  const char* name;
  ColumnType type;
  const char* meaning;
  study::Depth depth;                ///< how much has to be calculated for it
  std::optional<BatchStudy> only{};  ///< of one study alone
  nlohmann::ordered_json (*value)(const BatchSubject&);
};
/// `file` and `status` first: they stand in every row.
[[nodiscard]] std::span<const BatchColumn> batch_columns();
/// Those of a study, without `document`.
[[nodiscard]] std::vector<const BatchColumn*> usual_columns(BatchStudy study);

[[nodiscard]] Row batch_row(std::span<const BatchColumn* const> columns,
                            const BatchSubject& subject);

}  // namespace ductledger::document
