#include <cstddef>
#include <cstdint>
#include <string_view>

#include "duct/section_text.hpp"
#include "units/quantity_text.hpp"

// Any bytes are a quantity, a column or a section, or a fault with a place inside the text.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace ductledger;  // NOLINT(google-build-using-namespace)
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  (void)units::parse_quantity(text, units::Dimension::length);
  (void)units::parse_quantity(text, units::Dimension::temperature);
  (void)units::parse_column(text, units::Dimension::airflow);
  (void)duct::parse_section(text);
  return 0;
}
