#include "report/parts_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "base/text.hpp"

namespace ductledger::report {
namespace {

using units::Dimension;
using units::System;

constexpr double kKilogramsPerPound = 0.45359237;  // exact
constexpr double kSquareMetresPerSquareFoot = units::kMetresPerFoot * units::kMetresPerFoot;

}  // namespace

std::string section_text(const duct::Section& section, System system) {
  return duct::to_text(
      section, system == System::ip ? duct::LengthStyle::inches : duct::LengthStyle::millimetres);
}

std::string section_text(const study::PartLine& line, System system) {
  if (!line.section) {
    return {};
  }
  const std::string from = section_text(*line.section, system);
  return line.to ? from + " to " + section_text(*line.to, system) : from;
}

std::string item_text(const study::PartLine& line, System system) {
  std::string text = line.item;
  if (line.angle_rad) {
    text += " " + units::display(*line.angle_rad, Dimension::angle, system);
  }
  if (line.radius_ratio) {
    text += fmt::format(" r/D {}", units::display(*line.radius_ratio, Dimension::number, system));
  }
  if (line.each_m) {
    text += ", " + units::display(*line.each_m, Dimension::length, system);
  }
  return text;
}

std::string quantity_text(const study::PartLine& line, System system) {
  switch (line.measure) {
    case study::Measure::count:
      return fmt::format("{:.0f}", line.quantity);
    case study::Measure::length:
      return units::display(line.quantity, Dimension::length, system);
    case study::Measure::area:
      break;
  }
  return system == System::ip
             ? fmt::format("{:.1f} ft2", line.quantity / kSquareMetresPerSquareFoot)
             : fmt::format("{:.2f} m2", line.quantity);
}

std::string mass_text(double mass_kg, System system) {
  return system == System::ip ? fmt::format("{:.1f} lb", mass_kg / kKilogramsPerPound)
                              : fmt::format("{:.1f} kg", mass_kg);
}

std::string pieces_text(const std::vector<int>& pieces) {
  std::vector<std::string> words;
  words.reserve(pieces.size());
  for (const int piece : pieces) {
    words.push_back(piece == 0 ? "collar" : fmt::format("{}", piece));
  }
  return base::joined(words, "and");
}

}  // namespace ductledger::report
