#include "words/fittings.hpp"

#include <fmt/format.h>

#include <cmath>

#include "duct/section.hpp"
#include "units/quantity.hpp"

namespace ductledger::words {

using units::Dimension;

std::string sections_of(const fitting::Piece& piece, units::System system) {
  return duct::to_text(duct::SectionPair{piece.upstream, piece.downstream}, system);
}

std::string variable_text(double si, Dimension dimension, units::System system) {
  const bool ip = system == units::System::ip;
  switch (dimension) {
    case Dimension::number:
      return std::abs(si) >= 1e4 ? fmt::format("{:.0f}", si) : fmt::format("{:.4g}", si);
    case Dimension::length:
      return ip ? fmt::format("{:.4g} in", si / units::kMetresPerInch)
                : fmt::format("{:.4g} mm", 1000.0 * si);
    default:
      return units::display(si, dimension, system);
  }
}

}  // namespace ductledger::words
