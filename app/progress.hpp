#pragma once

#include <chrono>
#include <cstddef>
#include <string>

namespace ductledger::app {

/// One line on standard error while many files are worked through: only on a terminal, only after
/// half a second; with `plain` a line at most every ten seconds, terminal or not.
class Progress {
 public:
  enum class Style { automatic, plain, none };
  Progress(Style style, std::size_t count);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  /// So many are done.
  void done(std::size_t count);

 private:
  using Clock = std::chrono::steady_clock;
  Style style_;
  std::size_t count_;
  Clock::time_point begun_;
  Clock::time_point told_;
  bool shown_ = false;
};

}  // namespace ductledger::app
