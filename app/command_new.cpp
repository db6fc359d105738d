#include "commands.hpp"
#include "console.hpp"
#include "files.hpp"
#include "layout/layout.hpp"

namespace ductledger::app {

Exit run_new(const Options& options) {
  const base::Diagnostics faults = write_file(
      options.words.front(), layout::starter(), options.force ? Existing::replace : Existing::keep);
  complain(faults, options.color);
  return faults.empty() ? Exit::fine : Exit::failed;
}

}  // namespace ductledger::app
