#include "files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <memory>
#include <mutex>
#include <set>
#include <system_error>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "console.hpp"
#include "yaml/parse.hpp"

namespace ductledger::app {
namespace {

using base::fault;

base::Diagnostic cannot(const char* rule, const char* what, const std::string& path, int error) {
  return fault(rule,
               fmt::format("`{}` cannot be {}: {}",
                           base::escaped(path),
                           what,
                           std::generic_category().message(error)));
}

struct Close {
  void operator()(std::FILE* file) const noexcept { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, Close>;

base::Checked<std::string> read_all(std::FILE* file, const std::string& path) {
  const std::size_t limit = yaml::Limits{}.bytes;
  std::string text;
  std::array<char, 1U << 14U> block{};
  std::size_t got = 0;
  while ((got = std::fread(block.data(), 1, block.size(), file)) > 0) {
    text.append(block.data(), got);
    if (text.size() > limit) {
      return fault(
          "too-large",
          fmt::format(
              "`{}` is larger than {} MiB, no layout is", base::escaped(path), limit >> 20U));
    }
  }
  if (std::ferror(file) != 0) {
    return cannot("cannot-read", "read", path, errno);
  }
  return text;
}

/// A file as the system knows it, whatever path led there.
using Inode = std::pair<dev_t, ino_t>;

/// Every file that this call of the program has read or must not lose; layouts may be read by
/// several threads.
class Kept {
 public:
  static Kept& files() {
    static Kept kept;
    return kept;
  }
  void add(const struct stat& file) {
    if (S_ISREG(file.st_mode)) {
      const std::lock_guard lock(guard_);
      files_.insert({file.st_dev, file.st_ino});
    }
  }
  [[nodiscard]] bool holds(const struct stat& file) {
    const std::lock_guard lock(guard_);
    return files_.contains({file.st_dev, file.st_ino});
  }

 private:
  std::mutex guard_;
  std::set<Inode> files_;
};

}  // namespace

mode_t mode_for(const std::string& path) {
  struct stat there {};
  if (stat(path.c_str(), &there) == 0) {
    return there.st_mode & 07777U;
  }
  const mode_t mask = umask(0);
  umask(mask);
  return 0666U & ~mask;
}

namespace {

// A device or pipe cannot be replaced by renaming; it is written as it is.
base::Diagnostics write_in_place(const std::string& path, std::string_view text) {
  File file(std::fopen(path.c_str(), "wb"));
  if (!file) {
    return {cannot_write(path, errno)};
  }
  const bool written = std::fwrite(text.data(), 1, text.size(), file.get()) == text.size();
  if (std::fflush(file.get()) != 0 || !written) {
    return {cannot_write(path, errno)};
  }
  return {};
}

}  // namespace

Written write_all(int descriptor, std::string_view text) {
  Written out;
  while (out.error == 0 && out.bytes < text.size()) {
    const ssize_t wrote = write(descriptor, text.data() + out.bytes, text.size() - out.bytes);
    if (wrote >= 0) {
      out.bytes += static_cast<std::size_t>(wrote);
    } else if (errno != EINTR) {
      out.error = errno;
    }
  }
  return out;
}

namespace {

constexpr std::array kEnding{SIGINT, SIGTERM, SIGHUP, SIGQUIT};
/// Those that came while they had to wait, by their place in `kEnding`.
std::array<std::atomic<bool>, kEnding.size()> came{};

extern "C" void note_signal(int signal) {
  for (std::size_t i = 0; i < kEnding.size(); ++i) {
    if (kEnding[i] == signal) {
      came[i] = true;
    }
  }
}

}  // namespace

// Blocked in this thread alone, a signal would end the program through another: so it is also
// noted in place of what it does.
Uninterrupted::Uninterrupted() {
  sigset_t signals;
  sigemptyset(&signals);
  for (std::size_t i = 0; i < kEnding.size(); ++i) {
    sigaddset(&signals, kEnding[i]);
    sigaction(kEnding[i], nullptr, &actions_[i]);
    if (actions_[i].sa_handler == SIG_DFL) {
      struct sigaction noted {};
      noted.sa_handler = note_signal;
      noted.sa_flags = SA_RESTART;
      sigaction(kEnding[i], &noted, nullptr);
    }
  }
  pthread_sigmask(SIG_BLOCK, &signals, &before_);
}

Uninterrupted::~Uninterrupted() {
  for (std::size_t i = 0; i < kEnding.size(); ++i) {
    sigaction(kEnding[i], &actions_[i], nullptr);
  }
  pthread_sigmask(SIG_SETMASK, &before_, nullptr);
  for (std::size_t i = 0; i < kEnding.size(); ++i) {
    if (came[i].exchange(false)) {
      (void)std::raise(kEnding[i]);
    }
  }
}

base::Checked<base::SourcePtr> read_file(const std::string& path, std::string help_if_missing) {
  const bool standard_input = path == "-";
  File opened;
  if (!standard_input) {
    struct stat there {};
    if (stat(path.c_str(), &there) != 0) {
      return errno == ENOENT ? fault("no-such-file",
                                     fmt::format("there is no file `{}`", base::escaped(path)),
                                     std::move(help_if_missing))
                             : cannot("cannot-read", "read", path, errno);
    }
    if (S_ISDIR(there.st_mode)) {
      return fault("directory",
                   fmt::format("`{}` is a directory, not a layout file", base::escaped(path)));
    }
    opened.reset(std::fopen(path.c_str(), "rb"));
    if (!opened) {
      return cannot("cannot-read", "read", path, errno);
    }
  }
  struct stat read {};
  if (fstat(standard_input ? STDIN_FILENO : fileno(opened.get()), &read) == 0) {
    Kept::files().add(read);
  }
  const std::string name = standard_input ? "<stdin>" : path;
  return read_all(standard_input ? stdin : opened.get(), name).transform([&](std::string text) {
    return base::SourcePtr(std::make_shared<base::SourceText>(name, std::move(text)));
  });
}

base::Diagnostics cannot_take(const std::string& path) {
  struct stat there {};
  const bool exists = stat(path.c_str(), &there) == 0;
  if (exists && S_ISDIR(there.st_mode)) {
    return {fault("directory", fmt::format("`{}` is a directory", base::escaped(path)))};
  }
  if (exists && Kept::files().holds(there)) {
    return {fault("output-is-input",
                  fmt::format("the result would overwrite `{}`, a file that this call reads",
                              base::escaped(path)),
                  "name another file after `-o`")};
  }
  return {};
}

base::Diagnostic cannot_write(const std::string& path, int error) {
  return cannot("cannot-write", "written", path, error);
}

base::Diagnostics write_file(const std::string& path, std::string_view text, Existing existing) {
  if (path == "-") {
    return print(text);
  }
  if (base::Diagnostics refused = cannot_take(path); !refused.empty()) {
    return refused;
  }
  struct stat there {};
  const bool exists = stat(path.c_str(), &there) == 0;
  if (exists && existing == Existing::keep) {
    return {fault("file-exists",
                  fmt::format("`{}` is already there", base::escaped(path)),
                  "name another file, or overwrite it with `--force`")};
  }
  if (exists && !S_ISREG(there.st_mode)) {
    return write_in_place(path, text);
  }
  const Uninterrupted uninterrupted;
  std::string temporary = path + ".XXXXXX";
  const int descriptor = mkstemp(temporary.data());
  if (descriptor < 0) {
    return {cannot_write(path, errno)};
  }
  int error = fchmod(descriptor, mode_for(path)) == 0 ? 0 : errno;
  if (error == 0) {
    error = write_all(descriptor, text).error;
  }
  if (close(descriptor) != 0 && error == 0) {
    error = errno;
  }
  if (error == 0 && std::rename(temporary.c_str(), path.c_str()) != 0) {
    error = errno;
  }
  if (error != 0) {
    unlink(temporary.c_str());
    return {cannot_write(path, error)};
  }
  return {};
}

void keep_file(const std::string& path) {
  struct stat there {};
  if (stat(path.c_str(), &there) == 0) {
    Kept::files().add(there);
  }
}

}  // namespace ductledger::app
