#pragma once

#include <string>

#include "command_line.hpp"

namespace ductledger::app {

/// The program's exit status; no other is ever returned.
enum class Exit : int {
  fine = 0,      ///< calculated, nothing at or above the chosen level
  findings = 1,  ///< calculated, findings at or above it
  failed = 2     ///< could not calculate
};

[[nodiscard]] Exit run_explain(const Options& options);
[[nodiscard]] Exit run_review(const Options& options);
[[nodiscard]] Exit run_check(const Options& options);
[[nodiscard]] Exit run_batch(const Options& options);
[[nodiscard]] Exit run_compare(const Options& options);
[[nodiscard]] Exit run_parts(const Options& options);
[[nodiscard]] Exit run_fittings(const Options& options);
[[nodiscard]] Exit run_report(const Options& options);
[[nodiscard]] Exit run_commission(const Options& options);
[[nodiscard]] Exit run_measured(const Options& options);
[[nodiscard]] Exit run_sweep(const Options& options);
[[nodiscard]] Exit run_worksheet(const Options& options);
[[nodiscard]] Exit run_size(const Options& options);
[[nodiscard]] Exit run_new(const Options& options);
[[nodiscard]] Exit run_fmt(const Options& options);
[[nodiscard]] Exit run_help(const Options& options);
[[nodiscard]] Exit run_version(const Options& options);

}  // namespace ductledger::app
