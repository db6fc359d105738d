#pragma once

#include <csignal>
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
};

enum class Existing { replace, keep };

/// Writes a file whole or not at all: beside it first, then renamed; a signal that ends the program
/// waits until that is done. `-` is standard output.
/// @return `output-is-input` where the path, by whatever links, is a file that was read or kept
[[nodiscard]] base::Diagnostics write_file(const std::string& path,
                                           std::string_view text,
                                           Existing existing);

/// Lets `write_file` refuse a file that is named but not read.
void keep_file(const std::string& path);

}  // namespace ductledger::app
