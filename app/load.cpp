#include "load.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <system_error>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "fence.hpp"
#include "files.hpp"

namespace ductledger::app {
namespace {

using base::fault;

namespace fs = std::filesystem;

// A catalogue of more files than this is a mistaken folder.
constexpr std::size_t kMostFiles = 500;

base::Diagnostic leaves_folder(const std::string& path) {
  return outside({.rule = "catalogue-outside", .what = "catalogue", .path = path});
}

base::Checked<std::vector<std::string>> files_of(const std::string& path, const Fence& fence) {
  std::error_code error;
  const fs::path real = fs::canonical(path, error);
  if (error) {
    return fault("no-such-file",
                 fmt::format("the catalogue `{}` cannot be found", base::escaped(path)));
  }
  keep_file(real.string());
  if (leaves(fence, real)) {
    return leaves_folder(path);
  }
  if (fs::is_regular_file(real, error)) {
    return std::vector<std::string>{path};
  }
  if (!fs::is_directory(real, error)) {
    return fault(
        "cannot-read",
        fmt::format("the catalogue `{}` is neither a file nor a folder", base::escaped(path)));
  }
  std::vector<std::string> files;
  fs::recursive_directory_iterator at(path, error);
  for (const fs::recursive_directory_iterator end; !error && at != end; at.increment(error)) {
    std::error_code unreadable;
    const fs::path& file = at->path();
    if (file.extension() != ".yaml" || !fs::is_regular_file(file, unreadable)) {
      continue;
    }
    const fs::path target = fs::canonical(file, unreadable);
    if (unreadable || leaves(fence, target)) {
      return leaves_folder(file.string());
    }
    files.push_back(file.string());
    if (files.size() > kMostFiles) {
      return fault("too-many-files",
                   fmt::format("`{}` holds more than {} files; is it a catalogue?",
                               base::escaped(path),
                               kMostFiles));
    }
  }
  if (error) {
    return fault(
        "cannot-read",
        fmt::format("the folder `{}` cannot be read: {}", base::escaped(path), error.message()));
  }
  if (files.empty()) {
    return fault("empty-catalogue",
                 fmt::format("the folder `{}` holds no file `*.yaml`", base::escaped(path)));
  }
  // By name, whatever order the file system gives.
  std::sort(files.begin(), files.end());
  return files;
}

base::Diagnostics add_files(const std::vector<std::string>& files, fitting::Catalogue& catalogue) {
  base::Diagnostics faults;
  for (const std::string& file : files) {
    const auto text = read_file(file);
    const base::Diagnostics found = text ? catalogue.add(*text) : text.error();
    faults.insert(faults.end(), found.begin(), found.end());
  }
  return faults;
}

using Files = base::Checked<std::vector<std::string>>;

/// The files of `--catalogue`.
Files files_of_option(const Options& options) {
  return options.has("--catalogue") ? files_of(options.value("--catalogue"), Fence())
                                    : Files(std::vector<std::string>());
}

/// Those of the layout's own catalogue; a fault of the path stands at the key.
Files files_of_key(const base::SourcePtr& text,
                   const layout::CatalogueKey& key,
                   const std::string& layout_path,
                   const Options& options) {
  const auto at_key = [&](base::Diagnostics faults) {
    for (base::Diagnostic& one : faults) {
      one.source = text;
      one.span = key.span;
      one.label = "named here";
    }
    return faults;
  };
  const auto fence = fence_round(layout_path, options);
  if (!fence) {
    return at_key(fence.error());
  }
  if (*fence && fs::path(key.path).is_absolute()) {
    return at_key({leaves_folder(key.path)});
  }
  Files files = files_of((folder_of(layout_path) / key.path).lexically_normal().string(), *fence);
  return files ? files : Files(at_key(files.error()));
}

base::Checked<Extended> extended(const std::vector<std::string>& files) {
  const fitting::Catalogue& built_in = fitting::Catalogue::built_in();
  if (files.empty()) {
    return Extended{CataloguePtr(CataloguePtr(), &built_in)};  // lives as long as the program
  }
  auto catalogue = std::make_shared<fitting::Catalogue>(built_in);
  base::Diagnostics faults = add_files(files, *catalogue);
  if (base::has_error(faults)) {
    return faults;
  }
  return Extended{std::move(catalogue), std::move(faults)};
}

}  // namespace

base::Checked<Extended> Shelf::get(const std::vector<std::string>& files) {
  // An archive may hold a catalogue for every layout: those that are not shared are not kept.
  constexpr std::size_t kMost = 32;
  const std::lock_guard lock(guard_);
  const auto found = made_.find(files);
  if (found != made_.end()) {
    return found->second;
  }
  auto made = extended(files);
  if (made_.size() < kMost) {
    made_.emplace(files, made);
  }
  return made;
}

base::Checked<CataloguePtr> load_catalogue(const Options& options) {
  return files_of_option(options).and_then(extended).transform(
      [](Extended made) { return made.catalogue; });
}

base::Checked<Loaded> load_layout(const base::SourcePtr& text,
                                  const std::string& path,
                                  const Options& options,
                                  Shelf* shelf) {
  std::vector<std::string> files;
  base::Diagnostics faults;
  const auto add = [&](const Files& more) {
    if (more) {
      files.insert(files.end(), more->begin(), more->end());
    } else {
      faults.insert(faults.end(), more.error().begin(), more.error().end());
    }
  };
  if (const auto key = layout::catalogue_key(text)) {
    add(files_of_key(text, *key, path, options));
  }
  add(files_of_option(options));
  if (!faults.empty()) {
    return faults;
  }
  const auto made = shelf == nullptr || files.empty() ? extended(files) : shelf->get(files);
  if (!made) {
    return made.error();
  }
  return layout::read(text, *made->catalogue).transform([&](layout::Layout layout) {
    for (const layout::RuleSetKey& key : layout.rules) {
      keep_file((folder_of(path) / key.name).string());
    }
    layout.warnings.insert(layout.warnings.begin(), made->warnings.begin(), made->warnings.end());
    return Loaded{std::move(layout), made->catalogue};
  });
}

base::Checked<Loaded> load_layout(const std::string& path, const Options& options) {
  return read_file(
             path,
             fmt::format("`ductledger new {}` writes a layout to start from", base::escaped(path)))
      .and_then([&](const base::SourcePtr& text) { return load_layout(text, path, options); });
}

}  // namespace ductledger::app
