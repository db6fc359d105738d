#pragma once

#include <string>
#include <string_view>

#include "base/checked.hpp"

namespace ductledger::app {

/// A file's text under the name that diagnostics show; `-` is standard input (`<stdin>`).
[[nodiscard]] base::Checked<base::SourcePtr> read_file(const std::string& path);

enum class Existing { replace, keep };

/// Writes a file whole or not at all: beside it first, then renamed. `-` is standard output.
[[nodiscard]] base::Diagnostics write_file(const std::string& path,
                                           std::string_view text,
                                           Existing existing);

/// Whether two paths name one file that is there.
[[nodiscard]] bool same_file(const std::string& path, const std::string& other);

}  // namespace ductledger::app
