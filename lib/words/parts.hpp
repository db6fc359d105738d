#pragma once

#include <functional>
#include <string>

#include "build/parts.hpp"

namespace ductledger::words {

/// A line of the bill in words: `duct, 5 ft`, `elbow adjustable 45 deg`, `transition gradual`.
[[nodiscard]] std::string item_text(const build::PartLine& line, units::System system);
/// `8 in round`, `8 in round to 7 in round`; empty where a line has none.
[[nodiscard]] std::string section_text(const build::PartLine& line, units::System system);
/// The quantity with its unit: `3`, `12 ft 6 in`, `4.2 ft2`.
[[nodiscard]] std::string quantity_text(const build::PartLine& line, units::System system);
/// `12.4 lb`, `5.6 kg`.
[[nodiscard]] std::string mass_text(double mass_kg, units::System system);
/// `1, 2 and 5`, `4 to 7`; row 0 is the collar.
[[nodiscard]] std::string pieces_text(const std::vector<int>& pieces);

/// Writes a length's size without its sign. @param key of the document's `centre`: `x_m`, ...
using LengthWords = std::function<std::string(const char* key, double length_m)>;
/// `on the appliance's centerline and 4 ft above the collar`.
/// @param duct in which it is: an exhaust begins at its collar, makeup air at its intake
[[nodiscard]] std::string hole_place(const build::HoleCentre& centre,
                                     build::Duct duct,
                                     const LengthWords& length);

}  // namespace ductledger::words
