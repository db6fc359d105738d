#pragma once

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>

#include "command_line.hpp"

namespace ductledger::app {

/// One line on standard error while many files are worked through: only on a terminal, only after
/// half a second; with `plain` a line at most every ten seconds, terminal or not.
class Progress {
 public:
  enum class Style { automatic, plain, none };
  /// @param count nothing: not known
  Progress(Style style, std::optional<std::size_t> count);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  /// So many are done, those of `begun_with` among them.
  void done(std::size_t count);
  /// So many were done before.
  void begun_with(std::size_t count) { before_ = count; }

 private:
  using Clock = std::chrono::steady_clock;
  Style style_;
  std::optional<std::size_t> count_;
  std::size_t before_ = 0;
  Clock::time_point begun_;
  Clock::time_point told_;
  bool shown_ = false;
};

/// As `--progress` asks for.
[[nodiscard]] Progress::Style progress_style(const Options& options);

}  // namespace ductledger::app
