#include "words/whole_length.hpp"

#include <fmt/format.h>

#include "units/constants.hpp"

namespace ductledger::words {

std::string whole_length(double length_m, units::System system) {
  return system == units::System::ip ? fmt::format("{:.0f} ft", length_m / units::kMetresPerFoot)
                                     : fmt::format("{:.1f} m", length_m);
}

}  // namespace ductledger::words
