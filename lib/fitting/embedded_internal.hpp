#pragma once

#include <span>
#include <string>
#include <string_view>

#include "base/sha256.hpp"
#include "yaml/tree.hpp"

namespace ductledger::fitting {

/// A file of the catalogue as compiled into the program; written from fittings/ by
/// embed_catalogue.cpp when the program is built. The text is parsed then, so that a start of the
/// program parses no YAML.
struct EmbeddedFile {
  std::string_view path;  ///< below fittings/, such as `elbow/mitered-round.yaml`
  std::string_view kind;  ///< empty: no fitting
  std::string_view type;
  std::string_view table;  ///< name of a support table, or empty
  std::string_view tree;   ///< encoded, see `encoded`
};

[[nodiscard]] std::span<const EmbeddedFile> embedded_files() noexcept;
/// `Catalogue::content_hash` of the fittings among them, reckoned when the program is built.
[[nodiscard]] std::string_view embedded_hash() noexcept;
/// A file's part of such a hash. The length keeps two texts apart from one that holds both.
inline void add_content(base::Sha256& hash, std::string_view content) {
  hash.update(std::to_string(content.size()) + '\n');
  hash.update(content);
}

/// A tree without its places, as text: `n` null, `s3:abc` a scalar, `q3:abc` a quoted one, `l2;`
/// and two nodes, `m1;` and one key `3:abc` with its node.
[[nodiscard]] std::string encoded(const yaml::Node& node);
/// The way back. @param text as written by `encoded`; anything else breaks the contract
[[nodiscard]] yaml::Node decoded(std::string_view text);

/// The tree of a file; its source holds the name alone.
[[nodiscard]] yaml::Tree tree_of(const EmbeddedFile& file);

}  // namespace ductledger::fitting
