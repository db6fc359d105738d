#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>

#include "base/fault.hpp"
#include "rules/rule.hpp"

// Any bytes are a rule set or a list of diagnostics that can be shown. A set that extends a file
// finds none.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace ductledger;  // NOLINT(google-build-using-namespace)
  const auto* bytes = reinterpret_cast<const char*>(data);
  const auto set = rules::read_rule_set(
      std::make_shared<const base::SourceText>("fuzz.yaml", std::string(bytes, size)),
      [](const rules::RuleFileAsked&) -> base::Checked<base::SourcePtr> {
        return base::fault("no-file", "there are no files here");
      });
  if (!set) {
    (void)base::render(set.error());
  }
  return 0;
}
