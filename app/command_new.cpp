#include <fmt/format.h>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "commands.hpp"
#include "console.hpp"
#include "files.hpp"
#include "layout/layout.hpp"
#include "layout/starter.hpp"

namespace ductledger::app {
namespace {

/// Tells an editor where the schema lies that the package installs.
constexpr const char* kEditorLine =
    "\n# yaml-language-server: $schema=/usr/share/ductledger/schemas/layout.schema.json\n";

}  // namespace

Exit run_new(const Options& options) {
  std::string text = layout::starter();
  if (options.has("--kind")) {
    const std::string kind = base::canonical_word(options.value("--kind"));
    text = layout::starter_of(kind);
    if (text.empty()) {
      const auto& kinds = layout::starter_kinds();
      const auto near = base::nearest(kind, kinds);
      complain({base::fault("unknown-kind",
                            fmt::format("nothing to start from is named `{}`", base::escaped(kind)),
                            near ? fmt::format("did you mean `{}`?", *near)
                                 : fmt::format("one of {}; without `--kind` a hood to outdoors",
                                               base::joined(kinds)))},
               options.color);
      return Exit::failed;
    }
  }
  text += kEditorLine;
  const base::Diagnostics faults =
      write_file(options.words.front(), text, options.force ? Existing::replace : Existing::keep);
  complain(faults, options.color);
  return faults.empty() ? Exit::fine : Exit::failed;
}

}  // namespace ductledger::app
