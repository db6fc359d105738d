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

// What the program does without a command; the others stand in the table of `flags.cpp`.
[[nodiscard]] Exit run_help(const Options& options);
[[nodiscard]] Exit run_version(const Options& options);

}  // namespace ductledger::app
