#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "base/checked.hpp"
#include "command_line.hpp"
#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"

/// The one way in which commands read layouts and catalogues.
namespace ductledger::app {

using CataloguePtr = std::shared_ptr<const fitting::Catalogue>;

/// The built-in catalogue with the files of `--catalogue`; a folder's files in the order of their
/// names.
[[nodiscard]] base::Checked<CataloguePtr> load_catalogue(const Options& options);

/// A catalogue with files added, and what they warn of.
struct Extended {
  CataloguePtr catalogue;
  base::Diagnostics warnings{};
};
/// Catalogues that many layouts share, each read once; several threads may ask.
class Shelf {
 public:
  [[nodiscard]] base::Checked<Extended> get(const std::vector<std::string>& files);

 private:
  std::mutex guard_;
  std::map<std::vector<std::string>, base::Checked<Extended>> made_;
};

/// A layout with the catalogue it was read by.
struct Loaded {
  layout::Layout layout;
  CataloguePtr catalogue;
};

/// Reads a layout. Its own key `catalogue` is loaded first, `--catalogue` on top of it.
[[nodiscard]] base::Checked<Loaded> load_layout(const std::string& path, const Options& options);
/// The same for a text that is already there. @param path where it came from, for relative paths
[[nodiscard]] base::Checked<Loaded> load_layout(const base::SourcePtr& text,
                                                const std::string& path,
                                                const Options& options,
                                                Shelf* shelf = nullptr);

}  // namespace ductledger::app
