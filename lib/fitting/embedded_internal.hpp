#pragma once

#include <span>
#include <string_view>

namespace ductledger::fitting {

/// A file of the catalogue as compiled into the program; generated from fittings/ by embed.cmake.
struct EmbeddedFile {
  std::string_view path;  ///< below fittings/, such as `elbow/mitered-round.yaml`
  std::string_view kind;  ///< empty: no fitting
  std::string_view type;
  std::string_view table;  ///< name of a support table, or empty
  std::string_view text;
};

[[nodiscard]] std::span<const EmbeddedFile> embedded_files() noexcept;

}  // namespace ductledger::fitting
