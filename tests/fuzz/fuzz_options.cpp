#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "command_line.hpp"
#include "flags.hpp"
#include "study/sweep.hpp"

// Any lines are the words of a command line: options that make sense with values in their range, or
// faults. No value ends the program or is taken for what it is not.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace ductledger;  // NOLINT(google-build-using-namespace)
  std::vector<std::string> words(1);
  for (const char c : std::string_view(reinterpret_cast<const char*>(data), size)) {
    if (c == '\n') {
      words.emplace_back();
    } else if (c != '\0') {  // ends a word of a real one
      words.back() += c;
    }
  }
  const auto options = app::parse_command_line(words);
  if (!options) {
    return 0;
  }
  for (const app::Flag& flag : app::flags()) {
    if (!flag.range || !options->has(flag.name)) {
      continue;
    }
    const auto value = app::quantity_option(*options, flag.name, flag.range->dimension);
    if (value && *value && (**value < flag.range->lowest || **value > flag.range->highest)) {
      __builtin_trap();
    }
    if (flag.range->dimension == units::Dimension::number) {
      (void)app::whole_option(*options, flag.name);
    }
  }
  for (const std::string& text : options->values("--vary")) {
    (void)study::read_vary(text);
  }
  for (const std::string& text : options->values("--sample")) {
    (void)study::read_sample(text);
  }
  return 0;
}
