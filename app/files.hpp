#pragma once

#include <sys/types.h>

#include <array>
#include <csignal>
#include <cstddef>
#include <string>
#include <string_view>

#include "base/checked.hpp"

namespace ductledger::app {

/// A file's text under the name that diagnostics show; `-` is standard input (`<stdin>`). From then
/// on `write_file` refuses to write onto it.
[[nodiscard]] base::Checked<base::SourcePtr> read_file(const std::string& path,
                                                       std::string help_if_missing = {});

/// While it lives, signals that would end the program wait: no temporary file is left behind.
class Uninterrupted {
 public:
  Uninterrupted();
  ~Uninterrupted();
  Uninterrupted(const Uninterrupted&) = delete;
  Uninterrupted& operator=(const Uninterrupted&) = delete;
  /// The signals that waited before.
  [[nodiscard]] const sigset_t& before() const noexcept { return before_; }

 private:
  sigset_t before_{};
  std::array<struct sigaction, 4> actions_{};
};

enum class Existing { replace, keep };

/// Writes a file whole or not at all: beside it first, then renamed; a signal that ends the program
/// waits until that is done. `-` is standard output.
/// @return `output-is-input` where the path, by whatever links, is a file that was read or kept
[[nodiscard]] base::Diagnostics write_file(const std::string& path,
                                           std::string_view text,
                                           Existing existing);

/// Why a file cannot be written onto whatever the disk says: a folder, or a file that this call
/// reads; empty: nothing speaks against it.
[[nodiscard]] base::Diagnostics cannot_take(const std::string& path);
/// @param error of the system
[[nodiscard]] base::Diagnostic cannot_write(const std::string& path, int error);
/// The mode that the shell's `>` would leave.
[[nodiscard]] mode_t mode_for(const std::string& path);

/// How far a text came onto a descriptor.
struct Written {
  std::size_t bytes = 0;
  int error = 0;  ///< of the system; 0: all of it
};
[[nodiscard]] Written write_all(int descriptor, std::string_view text);

/// Lets `write_file` refuse a file that is named but not read.
void keep_file(const std::string& path);

}  // namespace ductledger::app
