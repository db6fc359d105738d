#include "files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>
#include <system_error>
#include <utility>

#include "base/text.hpp"
#include "console.hpp"
#include "yaml/parse.hpp"

namespace ductledger::app {
namespace {

base::Diagnostic fault(std::string rule, std::string message, std::string help = {}) {
  base::Diagnostic out;
  out.rule = std::move(rule);
  out.message = std::move(message);
  out.help = std::move(help);
  return out;
}

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

base::Checked<base::SourcePtr> read_file(const std::string& path) {
  const bool standard_input = path == "-";
  File opened;
  if (!standard_input) {
    struct stat there {};
    if (stat(path.c_str(), &there) != 0) {
      return errno == ENOENT
                 ? fault("no-such-file",
                         fmt::format("there is no file `{}`", base::escaped(path)),
                         fmt::format("`ductledger new {}` writes a layout to start from",
                                     base::escaped(path)))
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
  if (exists && existing == Existing::keep) {
    return {fault("file-exists",
                  fmt::format("`{}` is already there", base::escaped(path)),
                  "name another file, or overwrite it with `--force`")};
  }
  if (exists && !S_ISREG(there.st_mode)) {
    return write_in_place(path, text);
  }
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

bool same_file(const std::string& path, const std::string& other) {
  struct stat a {};
  struct stat b {};
  return path != "-" && other != "-" && stat(path.c_str(), &a) == 0 &&
         stat(other.c_str(), &b) == 0 && S_ISREG(a.st_mode) && a.st_dev == b.st_dev &&
         a.st_ino == b.st_ino;
}

}  // namespace ductledger::app
