#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>

#include "fitting/catalogue.hpp"
#include "fitting/entry.hpp"

// Any bytes are entries of a catalogue or a list of diagnostics that can be shown; what was taken
// in can be asked for its coefficients.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace ductledger;  // NOLINT(google-build-using-namespace)
  const auto* bytes = reinterpret_cast<const char*>(data);
  fitting::Catalogue catalogue;
  const auto faults = catalogue.add(
      std::make_shared<const base::SourceText>("fuzz.yaml", std::string(bytes, size)));
  (void)base::render(faults);
  for (const fitting::Entry* entry : catalogue.entries()) {
    for (const double side_m : {0.1, 0.2}) {
      fitting::Piece piece{.kind = entry->kind,
                           .type = entry->type,
                           .upstream = duct::Section::round(units::metres(side_m)),
                           .downstream = duct::Section::round(units::metres(0.2))};
      piece.angle_rad = 1.5;
      (void)catalogue.coefficient(piece);
    }
  }
  return 0;
}
