#include "words/parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.hpp"
#include "units/constants.hpp"

namespace ductledger::words {
namespace {

using units::Dimension;
using units::System;

constexpr double kNothingM = 0.5e-3;

}  // namespace

std::string section_text(const build::PartLine& line, System system) {
  if (!line.section) {
    return {};
  }
  return duct::to_text(duct::SectionPair{*line.section, line.to.value_or(*line.section)}, system);
}

std::string item_text(const build::PartLine& line, System system) {
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

std::string quantity_text(const build::PartLine& line, System system) {
  switch (line.measure) {
    case build::Measure::count:
      return fmt::format("{:.0f}", line.quantity);
    case build::Measure::length:
      return units::display(line.quantity, Dimension::length, system);
    case build::Measure::area:
      break;
  }
  return system == System::ip ? fmt::format("{:.1f} ft2", line.quantity / units::kSquareFoot_m2)
                              : fmt::format("{:.2f} m2", line.quantity);
}

std::string mass_text(double mass_kg, System system) {
  return system == System::ip ? fmt::format("{:.1f} lb", mass_kg / units::kKilogramsPerPound)
                              : fmt::format("{:.1f} kg", mass_kg);
}

std::string pieces_text(const std::vector<int>& pieces) {
  std::vector<std::string> words;
  for (auto first = pieces.begin(); first != pieces.end();) {
    const auto breaks = std::adjacent_find(
        first, pieces.end(), [](int one, int next) { return one == 0 || next != one + 1; });
    const auto end = breaks == pieces.end() ? breaks : breaks + 1;
    if (end - first > 2) {
      words.push_back(fmt::format("{} to {}", *first, *(end - 1)));
      first = end;
      continue;
    }
    words.push_back(*first == 0 ? "collar" : fmt::format("{}", *first));
    ++first;
  }
  return base::joined(words, "and");
}

std::string hole_place(const build::HoleCentre& centre,
                       build::Duct duct,
                       const LengthWords& length) {
  std::vector<std::string> words;
  const std::string start = duct == build::Duct::makeup ? "the intake" : "the collar";
  const double side_m = centre.from_center_m.value_or(centre.at_m[0]);
  const double back_m = centre.at_m[1];
  const double up_m = centre.at_m[2];
  if (centre.across != 0) {
    const std::string from = centre.from_center_m ? "the appliance's centerline" : start;
    words.push_back(
        std::abs(side_m) < kNothingM
            ? (centre.from_center_m ? "on " : "in line with ") + from
            : fmt::format("{} {} of {}",
                          length(centre.from_center_m ? "from_center_m" : "x_m", side_m),
                          side_m > 0.0 ? "right" : "left",
                          from));
  }
  if (centre.across != 1) {
    words.push_back(
        centre.from_wall_m             ? fmt::format("{} {} the wall behind",
                                         length("from_wall_m", *centre.from_wall_m),
                                         *centre.from_wall_m < -kNothingM ? "beyond" : "from")
        : std::abs(back_m) < kNothingM ? "as far back as " + start
                                       : fmt::format("{} {} {}",
                                                     length("y_m", back_m),
                                                     back_m > 0.0 ? "behind" : "in front of",
                                                     start));
  }
  if (centre.across != 2) {
    words.push_back(
        centre.above_floor_m ? length("above_floor_m", *centre.above_floor_m) + " above the floor"
        : std::abs(up_m) < kNothingM
            ? "as high as " + start
            : fmt::format("{} {} {}", length("z_m", up_m), up_m > 0.0 ? "above" : "below", start));
  }
  return base::joined(words, "and");
}

}  // namespace ductledger::words
