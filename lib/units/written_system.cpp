#include "units/written_system.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "units/unit_text_internal.hpp"

namespace ductledger::units {
namespace {

// Of either system, or of none: percent, degrees of an angle, kelvin, ampere, volt, R values.
constexpr std::array<std::string_view, 15> kInchPound{"in",
                                                      "ft",
                                                      "ft2",
                                                      "in2",
                                                      "cfm",
                                                      "inH2O",
                                                      "fpm",
                                                      "mph",
                                                      "ft/s",
                                                      "degF",
                                                      "lb/ft3",
                                                      "ft3",
                                                      "lb/ft2",
                                                      "oz/ft2",
                                                      "h ft2 degF/Btu"};
constexpr std::array<std::string_view, 22> kMetric{
    "mm",  "cm",  "m",     "m2",  "cm2",  "mm2",  "L/s",   "m3/h",   "m3/s", "m3/min", "Pa",
    "hPa", "kPa", "mmH2O", "m/s", "km/h", "degC", "kg/m3", "m2 K/W", "m3",   "kg/m2",  "uPa.s"};

}  // namespace

void WrittenSystem::add(std::string_view written) {
  const std::string text = plain_spelling(written);
  // A unit stands behind a digit, perhaps with blanks between, and ends before the next blank.
  for (std::size_t at = text.find_first_of("0123456789"); at != std::string::npos;) {
    std::size_t begin = text.find_first_not_of("0123456789.-/ ", at);
    if (begin == std::string::npos) {
      return;
    }
    const std::size_t end = std::min(text.size(), text.find_first_of(" ,;)]}", begin));
    const std::string word = text.substr(begin, end - begin);
    if (const Unit* unit = find_unit(word, Dimension::length); unit != nullptr) {
      inch_pound_ += std::ranges::count(kInchPound, unit->name) > 0 ? 1U : 0U;
      metric_ += std::ranges::count(kMetric, unit->name) > 0 ? 1U : 0U;
      by_hour_ += unit->name == "m3/h" ? 1U : 0U;
      by_second_ += unit->name == "L/s" || unit->name == "m3/s" ? 1U : 0U;
    }
    at = end == text.size() ? std::string::npos : text.find_first_of("0123456789", end);
  }
}

System WrittenSystem::system() const noexcept {
  return inch_pound_ >= metric_  ? System::ip
         : by_hour_ > by_second_ ? System::si_by_hour
                                 : System::si;
}

}  // namespace ductledger::units
