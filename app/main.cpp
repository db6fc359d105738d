#include <csignal>
#include <exception>
#ifdef __GLIBC__
#include <malloc.h>
#endif
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "base/expects.hpp"
#include "commands.hpp"
#include "console.hpp"
#include "document/check.hpp"
#include "flags.hpp"

namespace ductledger::app {
namespace {

Exit run(const Options& options) {
  switch (options.wanted) {
    case Wanted::version:
      return run_version(options);
    case Wanted::short_help:
    case Wanted::long_help:
      return run_help(options);
    case Wanted::run:
      break;
  }
  return find_command(options.command)->run(options);
}

Exit failed(const base::Diagnostics& faults, const std::vector<std::string>& arguments) {
  complain(faults, Color::automatic);
  if (asks_for_json(arguments)) {
    const document::Record record{DUCTLEDGER_VERSION, ""};
    complain(print(document::to_text(document::error_document(faults, record))), Color::automatic);
  }
  return Exit::failed;
}

Exit guarded(const std::vector<std::string>& arguments) {
  base::Diagnostic fault;
  try {
    const base::Checked<Options> options = parse_command_line(arguments);
    return options ? run(*options) : failed(options.error(), arguments);
  } catch (const base::LogicError& error) {
    fault.rule = "bug";
    fault.message = std::string("this is a bug in ductledger: ") + error.what();
    fault.help = "report it together with the layout file";
  } catch (const std::exception& error) {
    fault.rule = "stopped";
    fault.message = std::string("the calculation could not be carried out: ") + error.what();
  }
  return failed({fault}, arguments);
}

/// Blocks of samples come and go; memory that was theirs is kept for the next ones, where by
/// default it would go back to the system and be cleared each time anew.
void keep_memory() {
#ifdef __GLIBC__
  constexpr int kMegabyte = 1 << 20;
  mallopt(M_TRIM_THRESHOLD, 256 * kMegabyte);
  mallopt(M_MMAP_THRESHOLD, 4 * kMegabyte);
  mallopt(M_TOP_PAD, kMegabyte);
#endif
}

}  // namespace
}  // namespace ductledger::app

int main(int argc, char** argv) {
  ductledger::app::keep_memory();
  // A closed pipe is then seen where it is written to, and ends the program quietly.
  std::signal(SIGPIPE, SIG_IGN);
  // A limit on the size of files is then a fault of writing, told and cleaned up after.
  std::signal(SIGXFSZ, SIG_IGN);
  const std::vector<std::string> arguments(argv + (argc > 0 ? 1 : 0), argv + argc);
  return static_cast<int>(ductledger::app::guarded(arguments));
}
