#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <vector>

#include "base/diagnostic.hpp"
#include "batch_inputs.hpp"

// Any bytes on standard input are JSON Lines that name layouts, or faults that can be shown.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace ductledger;  // NOLINT(google-build-using-namespace)
  if (size == 0) {
    return 0;
  }
  std::vector<std::uint8_t> bytes(data, data + size);
  std::FILE* const before = stdin;
  stdin = fmemopen(bytes.data(), bytes.size(), "r");
  auto inputs = app::BatchInputs::of({"-"}, {});
  if (inputs) {
    while (const auto input = inputs->next()) {
      (void)base::render(input->faults);
    }
  }
  std::fclose(stdin);
  stdin = before;
  return 0;
}
