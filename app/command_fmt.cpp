#include <string>

#include "base/fault.hpp"
#include "command_common.hpp"
#include "files.hpp"
#include "yaml/format.hpp"
#include "yaml/parse.hpp"

namespace ductledger::app {

Exit run_fmt(const Options& options) {
  const auto source = read_file(options.words.front());
  if (!source) {
    return failed(source.error(), options);
  }
  const auto tree = yaml::parse(*source);
  if (!tree) {
    return failed(tree.error(), options);
  }
  const std::string text = yaml::formatted(*tree);
  if (text.empty()) {
    return failed(
        {base::fault("cannot-format",
                     "its form cannot be changed without changing what it says",
                     "begin each item of a list on the line of its dash, and write a list "
                     "inside a list in brackets")},
        options);
  }
  if (options.has("--check")) {
    return text == (*source)->text() ? Exit::fine : Exit::findings;
  }
  return delivered(text, options, Exit::fine);
}

}  // namespace ductledger::app
