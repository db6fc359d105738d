#include "console.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

#include "base/fault.hpp"
#include "base/text.hpp"

namespace ductledger::app {
namespace {

bool set(const char* name) {
  const char* value = std::getenv(name);
  return value != nullptr && *value != '\0';
}

bool dumb_terminal() {
  const char* term = std::getenv("TERM");
  return term != nullptr && std::string_view(term) == "dumb";
}

}  // namespace

base::Paint paint(Stream stream, Color color) {
  if (color != Color::automatic) {
    return color == Color::always ? base::Paint::colour : base::Paint::plain;
  }
  const int descriptor = stream == Stream::out ? STDOUT_FILENO : STDERR_FILENO;
  const bool coloured = isatty(descriptor) == 1 && !set("NO_COLOR") && !dumb_terminal();
  return coloured ? base::Paint::colour : base::Paint::plain;
}

bool draws_blocks() {
  if (isatty(STDOUT_FILENO) != 1 || dumb_terminal()) {
    return false;
  }
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    if (set(name)) {
      const std::string charset = base::canonical_word(std::getenv(name));
      return charset.find("utf-8") != std::string::npos ||
             charset.find("utf8") != std::string::npos;
    }
  }
  return false;
}

std::size_t columns() {
  constexpr std::size_t kPiped = 80;
  constexpr std::size_t kFewest = 40;
  constexpr std::size_t kMost = 200;
  if (isatty(STDOUT_FILENO) != 1) {
    return kPiped;
  }
  std::size_t wide = 0;
  if (set("COLUMNS")) {
    const std::string_view text = std::getenv("COLUMNS");
    std::from_chars(text.data(), text.data() + text.size(), wide);
  }
  winsize size{};
  if (wide == 0 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0) {
    wide = size.ws_col;
  }
  return wide == 0 ? kPiped : std::clamp(wide, kFewest, kMost);
}

base::Diagnostics print(std::string_view text) {
  errno = 0;
  const bool written =
      std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0;
  if (written || errno == EPIPE) {
    return {};
  }
  return {base::fault("cannot-write",
                      std::string("standard output cannot be written: ") + std::strerror(errno))};
}

void start_over(bool first) {
  if (isatty(STDOUT_FILENO) == 1 && !dumb_terminal()) {
    static_cast<void>(print("\x1b[H\x1b[2J\x1b[3J"));
  } else if (!first) {
    static_cast<void>(print('\n' + std::string(columns(), '-') + "\n\n"));
  }
}

void complain(const base::Diagnostics& diagnostics, Color color) {
  const std::string text = base::render(diagnostics, paint(Stream::err, color));
  std::fwrite(text.data(), 1, text.size(), stderr);
}

}  // namespace ductledger::app
