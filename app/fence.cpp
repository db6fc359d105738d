#include "fence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <system_error>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"

namespace ductledger::app {

namespace fs = std::filesystem;

fs::path folder_of(const std::string& path) {
  fs::path folder = path == "-" ? fs::path() : fs::path(path).parent_path();
  return folder.empty() ? fs::path(".") : folder;
}

base::Checked<Fence> fence_round(const std::string& layout_path, const Options& options) {
  if (options.has("--allow-outside")) {
    return Fence();
  }
  std::error_code error;
  fs::path folder = fs::canonical(folder_of(layout_path), error);
  if (error) {
    return base::fault("cannot-read", "the layout's folder cannot be found");
  }
  return Fence(std::move(folder));
}

bool leaves(const Fence& fence, const fs::path& path) {
  return fence && std::mismatch(fence->begin(), fence->end(), path.begin(), path.end()).first !=
                      fence->end();
}

base::Diagnostic outside(const Outside& found) {
  return base::fault(
      found.rule,
      fmt::format(
          "the {} `{}` lies outside the layout's folder", found.what, base::escaped(found.path)),
      "move it beside the layout, or allow it with `--allow-outside`");
}

}  // namespace ductledger::app
