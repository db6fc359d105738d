#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>

#include "fitting/catalogue.hpp"
#include "study/check.hpp"

// Any bytes are a layout or a list of diagnostics that can be shown; never a crash.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace ductledger;  // NOLINT(google-build-using-namespace)
  const auto* bytes = reinterpret_cast<const char*>(data);
  auto source = std::make_shared<const base::SourceText>("fuzz.yaml", std::string(bytes, size));
  auto layout = layout::read(source, fitting::Catalogue::built_in());
  if (!layout) {
    (void)base::render(layout.error());
    return 0;
  }
  const auto result = study::check(*std::move(layout), fitting::Catalogue::built_in());
  if (!result) {
    (void)base::render(result.error());
  }
  return 0;
}
