#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "base/checked.hpp"
#include "command_line.hpp"

/// Files that a layout names: they lie in its folder or below, unless the user says otherwise.
namespace ductledger::app {

/// The folder that named files must not leave, resolved; nothing: they may lie anywhere.
using Fence = std::optional<std::filesystem::path>;

/// The folder of a file; that of the call for standard input, `-`.
[[nodiscard]] std::filesystem::path folder_of(const std::string& path);

/// Round the layout's folder, or nothing with `--allow-outside`.
/// @return `cannot-read` where the folder cannot be found
[[nodiscard]] base::Checked<Fence> fence_round(const std::string& layout_path,
                                               const Options& options);

/// Whether a resolved path lies outside. @param path without links and dots
[[nodiscard]] bool leaves(const Fence& fence, const std::filesystem::path& path);

/// What is said then. @param what `catalogue`, `rule file`
struct Outside {
  std::string rule;
  std::string what;
  std::string path;
};
[[nodiscard]] base::Diagnostic outside(const Outside& found);

}  // namespace ductledger::app
