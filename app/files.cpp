#include "files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>
#include <system_error>
#include <utility>
#include <vector>

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
struct Inode {
  dev_t device = 0;
  ino_t number = 0;
  friend bool operator==(const Inode& a, const Inode& b) {
    return a.device == b.device && a.number == b.number;
  }
};

/// Every file that this call of the program has read or must not lose.
std::vector<Inode>& kept() {
  static std::vector<Inode> files;
  return files;
}

void keep(const struct stat& file) {
  if (S_ISREG(file.st_mode)) {
    kept().push_back({file.st_dev, file.st_ino});
  }
}

bool is_kept(const struct stat& file) {
  return std::find(kept().begin(), kept().end(), Inode{file.st_dev, file.st_ino}) != kept().end();
}

// The mode that the shell's `>` would leave.
mode_t mode_for(const std::string& path) {
  struct stat there {};
  if (stat(path.c_str(), &there) == 0) {
    return there.st_mode & 07777U;
  }
  const mode_t mask = umask(0);
  umask(mask);
  return 0666U & ~mask;
}

// A device or pipe cannot be replaced by renaming; it is written as it is.
base::Diagnostics write_in_place(const std::string& path, std::string_view text) {
  File file(std::fopen(path.c_str(), "wb"));
  if (!file) {
    return {cannot("cannot-write", "written", path, errno)};
  }
  const bool written = std::fwrite(text.data(), 1, text.size(), file.get()) == text.size();
  if (std::fflush(file.get()) != 0 || !written) {
    return {cannot("cannot-write", "written", path, errno)};
  }
  return {};
}

}  // namespace

Uninterrupted::Uninterrupted() {
  sigset_t signals;
  sigemptyset(&signals);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT}) {
    sigaddset(&signals, signal);
  }
  sigprocmask(SIG_BLOCK, &signals, &before_);
}

Uninterrupted::~Uninterrupted() { sigprocmask(SIG_SETMASK, &before_, nullptr); }

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
    keep(read);
  }
  const std::string name = standard_input ? "<stdin>" : path;
  return read_all(standard_input ? stdin : opened.get(), name).transform([&](std::string text) {
    return base::SourcePtr(std::make_shared<base::SourceText>(name, std::move(text)));
  });
}

base::Diagnostics write_file(const std::string& path, std::string_view text, Existing existing) {
  if (path == "-") {
    return print(text);
  }
  struct stat there {};
  const bool exists = stat(path.c_str(), &there) == 0;
  if (exists && S_ISDIR(there.st_mode)) {
    return {fault("directory", fmt::format("`{}` is a directory", base::escaped(path)))};
  }
  if (exists && is_kept(there)) {
    return {fault("output-is-input",
                  fmt::format("the result would overwrite `{}`, a file that this call reads",
                              base::escaped(path)),
                  "name another file after `-o`")};
  }
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
    return {cannot("cannot-write", "written", path, errno)};
  }
  int error = fchmod(descriptor, mode_for(path)) == 0 ? 0 : errno;
  for (std::size_t at = 0; error == 0 && at < text.size();) {
    const ssize_t wrote = write(descriptor, text.data() + at, text.size() - at);
    if (wrote >= 0) {
      at += static_cast<std::size_t>(wrote);
    } else if (errno != EINTR) {
      error = errno;
    }
  }
  if (close(descriptor) != 0 && error == 0) {
    error = errno;
  }
  if (error == 0 && std::rename(temporary.c_str(), path.c_str()) != 0) {
    error = errno;
  }
  if (error != 0) {
    unlink(temporary.c_str());
    return {cannot("cannot-write", "written", path, error)};
  }
  return {};
}

void keep_file(const std::string& path) {
  struct stat there {};
  if (stat(path.c_str(), &there) == 0) {
    keep(there);
  }
}

}  // namespace ductledger::app
