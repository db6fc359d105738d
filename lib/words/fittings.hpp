#pragma once

#include <string>

#include "study/fitting_sheet.hpp"
#include "units/message.hpp"

/// Words of a fitting's sheet.
namespace ductledger::words {

/// `8 in round`, `8 in round to 6 in round`.
[[nodiscard]] std::string sections_of(const fitting::Piece& piece, units::System system);
/// A variable's value with its unit, lengths in inches or millimetres.
[[nodiscard]] std::string variable_text(double si,
                                        units::Dimension dimension,
                                        units::System system);

}  // namespace ductledger::words
