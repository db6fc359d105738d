#include <fmt/format.h>

#include <cmath>
#include <numeric>

#include "duct/section.hpp"

namespace ductledger::duct {
namespace {

/// `8`, `3-1/4`; two decimals where no sixteenth fits.
std::string inches(double length_m) {
  const double inch = length_m / units::kMetresPerInch;
  const double sixteenths = std::round(inch * 16.0);
  if (std::abs(inch - sixteenths / 16.0) > 0.004) {
    return fmt::format("{:.2f}", inch);
  }
  const long whole = std::lround(sixteenths) / 16;
  const long rest = std::lround(sixteenths) % 16;
  if (rest == 0) {
    return fmt::format("{}", whole);
  }
  const long common = std::gcd(rest, 16L);
  const std::string fraction = fmt::format("{}/{}", rest / common, 16 / common);
  return whole == 0 ? fraction : fmt::format("{}-{}", whole, fraction);
}

std::string number(double length_m, units::System system) {
  return system == units::System::ip ? inches(length_m) : fmt::format("{:.0f}", length_m * 1000.0);
}

}  // namespace

std::string to_text(const Section& section, units::System system) {
  const char* unit = system == units::System::ip ? "in" : "mm";
  const std::string width = number(section.width_m(), system);
  switch (section.shape()) {
    case Shape::round:
      return fmt::format("{} {} round", width, unit);
    case Shape::rectangular:
      return fmt::format("{} x {} {}", width, number(section.height_m(), system), unit);
    case Shape::flat_oval:
      return fmt::format("{} x {} {} oval", width, number(section.height_m(), system), unit);
  }
  return {};
}

units::System likely_system(const Section& section) {
  const auto are_whole = [&](double of_m) {
    constexpr double kNear = 1e-4;
    const auto is_whole = [&](double side_m) {
      return std::abs(side_m / of_m - std::round(side_m / of_m)) < kNear;
    };
    return is_whole(section.width_m()) && is_whole(section.height_m());
  };
  const bool metric = are_whole(1e-3) && !are_whole(units::kMetresPerInch / 16.0);
  return metric ? units::System::si : units::System::ip;
}

units::Message::Value message_value(const Section& section) {
  return {.texts = {to_text(section, units::System::ip), to_text(section, units::System::si)}};
}

std::string to_text(const SectionPair& sections, units::System system) {
  const std::string before = to_text(sections.before, system);
  return sections.before == sections.after ? before
                                           : before + " to " + to_text(sections.after, system);
}

}  // namespace ductledger::duct
