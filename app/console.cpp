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
#include "base/wrap.hpp"

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

int descriptor_of(Stream stream) { return stream == Stream::out ? STDOUT_FILENO : STDERR_FILENO; }

/// Diagnostics with their sentences broken; lines of a file stand as they are.
std::string sentences_broken(std::string_view text, std::size_t width) {
  std::string out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view line = text.substr(0, end);
    std::size_t seen = 0;
    while (seen < line.size() && line[seen] == '\x1b') {
      seen = std::min(line.find('m', seen), line.size() - 1) + 1;
    }
    const bool sentence = seen < line.size() && line[seen] >= 'a' && line[seen] <= 'z';
    out += sentence ? base::wrapped(line, {0, 2, width}) : std::string(line);
    out += '\n';
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

}  // namespace

base::Paint paint(Stream stream, Color color) {
  if (color != Color::automatic) {
    return color == Color::always ? base::Paint::colour : base::Paint::plain;
  }
  const bool coloured = isatty(descriptor_of(stream)) == 1 && !set("NO_COLOR") && !dumb_terminal();
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

std::size_t columns(Stream stream) {
  constexpr std::size_t kPiped = 80;
  constexpr std::size_t kFewest = 40;
  constexpr std::size_t kMost = 200;
  const int descriptor = descriptor_of(stream);
  if (isatty(descriptor) != 1) {
    return kPiped;
  }
  std::size_t wide = 0;
  if (set("COLUMNS")) {
    const std::string_view text = std::getenv("COLUMNS");
    std::from_chars(text.data(), text.data() + text.size(), wide);
  }
  winsize size{};
  if (wide == 0 && ioctl(descriptor, TIOCGWINSZ, &size) == 0) {
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
  std::string text = base::render(diagnostics, paint(Stream::err, color));
  if (isatty(STDERR_FILENO) == 1) {
    text = sentences_broken(text, columns(Stream::err));
  }
  std::fwrite(text.data(), 1, text.size(), stderr);
}

}  // namespace ductledger::app
