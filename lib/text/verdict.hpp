#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "document/verdict.hpp"
#include "study/check.hpp"
#include "text/page.hpp"

namespace ductledger::text {

/// `FAIL  high draws the house down by 23.7 Pa ...`: told apart by its word, not by colour alone.
void write_verdict(Page& page, const study::CheckResult& result);
/// Whether something fails or what is required is not met: said above any view.
[[nodiscard]] bool is_bad(const study::CheckResult& result);
/// The verdict where it is bad; else nothing.
void write_verdict_if_bad(Page& page, const study::CheckResult& result);
/// The same as a part of a line.
[[nodiscard]] std::string verdict_text(const study::CheckResult& result, units::System system);

/// The verdict of one of several files.
struct FileVerdict {
  std::string file;
  std::optional<document::Standing> standing{};  ///< none: it could not be calculated
  std::string mark = "ERROR";
  std::string text = "not calculated: see the errors";
};
[[nodiscard]] FileVerdict file_verdict(std::string file,
                                       const study::CheckResult& result,
                                       units::System system);
/// What stands above the answers to several files: a line for each, the worst first.
[[nodiscard]] std::string verdicts_text(std::vector<FileVerdict> all, const TextOptions& options);

}  // namespace ductledger::text
