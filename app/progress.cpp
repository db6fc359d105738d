#include "progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

namespace ductledger::app {
namespace {

constexpr double kQuietS = 0.5;
constexpr double kBetweenPlainS = 10.0;
constexpr double kBetweenS = 0.1;

void tell(const std::string& text) { std::fwrite(text.data(), 1, text.size(), stderr); }

}  // namespace

Progress::Progress(Style style, std::optional<std::size_t> count)
    : style_(style), count_(count), begun_(Clock::now()), told_(begun_) {
  if (style_ == Style::automatic && isatty(STDERR_FILENO) != 1) {
    style_ = Style::none;
  }
}

Progress::Style progress_style(const Options& options) {
  const std::string style = options.value("--progress");
  return style == "plain"  ? Progress::Style::plain
         : style == "none" ? Progress::Style::none
                           : Progress::Style::automatic;
}

Progress::~Progress() {
  if (shown_ && style_ == Style::automatic) {
    tell("\r\x1b[K");
  }
}

void Progress::done(std::size_t count) {
  if (style_ == Style::none || count == before_) {
    return;
  }
  const Clock::time_point now = Clock::now();
  const double since_s = std::chrono::duration<double>(now - begun_).count();
  const double untold_s = std::chrono::duration<double>(now - told_).count();
  const bool plain = style_ == Style::plain;
  if (since_s < kQuietS || untold_s < (plain ? kBetweenPlainS : kBetweenS)) {
    return;
  }
  told_ = now;
  const double rate = static_cast<double>(count - before_) / since_s;
  const std::string text = count_ ? fmt::format("{} of {} layouts, {:.1f} a second, {:.0f} s left",
                                                count,
                                                *count_,
                                                rate,
                                                static_cast<double>(*count_ - count) / rate)
                                  : fmt::format("{} layouts, {:.1f} a second", count, rate);
  tell(plain ? text + "\n" : "\r" + text + "\x1b[K");
  std::fflush(stderr);
  shown_ = true;
}

}  // namespace ductledger::app
