#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "commands.hpp"
#include "console.hpp"
#include "files.hpp"
#include "worksheet_page.hpp"

namespace ductledger::app {
namespace {

/// Where a layout stands in the page.
constexpr std::string_view kPlace = "id=\"layout\"></script>";

/// The layout as JSON that can stand in a script element.
std::string in_script(const base::SourceText& layout, const std::string& path) {
  const nlohmann::ordered_json held = {{"file", path.substr(path.rfind('/') + 1)},
                                       {"text", layout.text()}};
  std::string out;
  for (const char c : held.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace)) {
    out += c == '<' ? std::string("\\u003c") : std::string(1, c);
  }
  return out;
}

base::Diagnostics written(const Options& options) {
  if (!options.has("--output")) {
    return {base::fault("no-output",
                        "`worksheet` writes a page, and no file is named for it",
                        "`ductledger worksheet kitchen.yaml -o kitchen.html`")};
  }
  std::string page(worksheet_page());
  if (page.empty()) {
    return {base::fault("no-worksheet",
                        "this program was built without the worksheet's page",
                        "in the sources of ductledger, `sh app/worksheet.sh` builds it with the "
                        "page, and `build/worksheet/app/ductledger` carries it then")};
  }
  if (!options.words.empty()) {
    const std::string& path = options.words.front();
    const auto layout = read_file(path, "`ductledger new kitchen.yaml` writes one to start from");
    if (!layout) {
      return layout.error();
    }
    const std::size_t at = page.find(kPlace);
    page.insert(at + kPlace.find('>') + 1, in_script(**layout, path));
  }
  return write_file(options.output, page, Existing::replace);
}

}  // namespace

Exit run_worksheet(const Options& options) {
  const base::Diagnostics faults = written(options);
  complain(faults, options.color);
  return faults.empty() ? Exit::fine : Exit::failed;
}

}  // namespace ductledger::app
