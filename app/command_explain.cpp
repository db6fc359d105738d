#include <string>

#include "command_common.hpp"
#include "rule_files.hpp"
#include "text/explain.hpp"

namespace ductledger::app {

Exit run_explain(const Options& options) {
  const auto sets = rule_sets(options);
  if (!sets) {
    return failed(sets.error(), options);
  }
  const auto text =
      text::explain(options.words.front(), **sets, text_options(options, system_asked(options)));
  return text ? delivered(*text, options, Exit::fine) : failed(text.error(), options);
}

}  // namespace ductledger::app
