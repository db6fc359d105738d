#include "units/message.hpp"

#include <fmt/args.h>
#include <fmt/format.h>

#include <cmath>
#include <cstddef>

#include "units/quantity.hpp"

namespace ductledger::units {
namespace {

constexpr double kRadPerDegree = 0.017453292519943295;
constexpr double kM2KPerWPerR =
    0.1761101838;  // 1 h ft2 degF/Btu, from exact inch, pound and Btu(IT)
constexpr double kEighthsPerInch = 8.0;

/// What a dimension is printed in: shown = (si - offset) / scale, at so many decimals.
struct Shown {
  std::string_view unit;
  double scale = 1.0;
  double offset = 0.0;
  int decimals = 0;
};

[[nodiscard]] Shown shown_in_ip(Dimension dimension) {
  switch (dimension) {
    case Dimension::number:
      return {.unit = "", .decimals = 2};
    case Dimension::ratio:
      return {.unit = "%", .scale = 0.01};
    case Dimension::length:
      return {.unit = "ft", .scale = kMetresPerFoot, .decimals = 2};
    case Dimension::area:
      return {.unit = "in2", .scale = kMetresPerInch * kMetresPerInch, .decimals = 1};
    case Dimension::airflow:
      return {.unit = "cfm", .scale = kM3SPerCfm};
    case Dimension::pressure:
      return {.unit = "inH2O", .scale = kPascalPerInchWater, .decimals = 3};
    case Dimension::velocity:
      return {.unit = "fpm", .scale = kMetresPerFoot / 60.0};
    case Dimension::temperature:
      return {.unit = "degF", .scale = 1.0 / 1.8, .offset = 273.15 - 32.0 / 1.8};
    case Dimension::density:
      return {.unit = "lb/ft3", .scale = kKgM3PerLbFt3, .decimals = 4};
    case Dimension::viscosity:
      return {.unit = "Pa s"};
    case Dimension::angle:
      return {.unit = "deg", .scale = kRadPerDegree};
    case Dimension::thermal_resistance:
      return {.unit = "h ft2 degF/Btu", .scale = kM2KPerWPerR, .decimals = 1};
    case Dimension::volume:
      return {.unit = "ft3", .scale = kMetresPerFoot * kMetresPerFoot * kMetresPerFoot};
    case Dimension::current:
      return {.unit = "A"};
    case Dimension::voltage:
      return {.unit = "V"};
  }
  return {};
}

[[nodiscard]] Shown shown_in_si(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return {.unit = "m", .decimals = 2};
    case Dimension::area:
      return {.unit = "cm2", .scale = 1e-4};
    case Dimension::airflow:
      return {.unit = "L/s", .scale = 1e-3};
    case Dimension::pressure:
      return {.unit = "Pa", .decimals = 1};
    case Dimension::velocity:
      return {.unit = "m/s", .decimals = 1};
    case Dimension::temperature:
      return {.unit = "degC", .offset = 273.15};
    case Dimension::density:
      return {.unit = "kg/m3", .decimals = 3};
    case Dimension::thermal_resistance:
      return {.unit = "m2 K/W", .decimals = 2};
    case Dimension::volume:
      return {.unit = "m3", .decimals = 1};
    default:
      return shown_in_ip(dimension);
  }
}

[[nodiscard]] Shown shown_in(Dimension dimension, System system) {
  return system == System::ip ? shown_in_ip(dimension) : shown_in_si(dimension);
}

/// Small airflows keep one decimal: 4.7 cfm is not 5.
[[nodiscard]] int decimals_of(double shown, const Shown& how, Dimension dimension) {
  if (dimension == Dimension::airflow && std::abs(shown) < 9.95) {
    return 1;
  }
  return how.decimals;
}

[[nodiscard]] std::string fixed(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') {
    text.erase(0, 1);
  }
  return text;
}

[[nodiscard]] std::string without_trailing_zeros(std::string text) {
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') {
      text.pop_back();
    }
  }
  return text;
}

/// A bare number: three figures, more only where they are whole.
[[nodiscard]] std::string plain_number(double value) {
  const double size = std::abs(value);
  if (size == 0.0 || (size >= 1e-3 && size < 1e7)) {
    const int before = size > 0.0 ? static_cast<int>(std::floor(std::log10(size))) : 0;
    return without_trailing_zeros(fixed(value, before >= 2 ? 0 : 2 - before));
  }
  return fmt::format("{:.3g}", value);
}

/// Inches in eighths: `3-1/4`.
[[nodiscard]] std::string inches_text(long eighths) {
  const long whole = eighths / 8;
  long numerator = eighths % 8;
  if (numerator == 0) {
    return fmt::format("{}", whole);
  }
  long denominator = 8;
  while (numerator % 2 == 0) {
    numerator /= 2;
    denominator /= 2;
  }
  return whole == 0 ? fmt::format("{}/{}", numerator, denominator)
                    : fmt::format("{}-{}/{}", whole, numerator, denominator);
}

/// Under two feet in inches, as duct sizes are spoken of; from there on in feet and inches.
[[nodiscard]] std::string length_in_ip(double length_m) {
  const double inches = length_m / kMetresPerInch;
  const double size = std::abs(inches);
  const char* sign = length_m < 0.0 ? "-" : "";
  if (size > 0.0 && size * kEighthsPerInch < 0.95) {
    return fmt::format("{:.2g} in", inches);
  }
  const long eighths = std::lround(size * kEighthsPerInch);
  if (eighths < 24 * 8) {
    return fmt::format("{}{} in", eighths == 0 ? "" : sign, inches_text(eighths));
  }
  const long feet = eighths / (12 * 8);
  const long rest = eighths % (12 * 8);
  if (rest == 0 || feet >= 100) {
    return fmt::format("{}{} ft", sign, feet >= 100 ? std::lround(size / 12.0) : feet);
  }
  return fmt::format("{}{} ft {} in", sign, feet, inches_text(rest));
}

[[nodiscard]] std::string length_in_si(double length_m) {
  const double size = std::abs(length_m);
  if (size > 0.0 && size < 0.00995) {
    return fmt::format("{:.2g} mm", length_m * 1e3);
  }
  if (size < 0.9995) {
    return fixed(length_m * 1e3, 0) + " mm";
  }
  return fixed(length_m, size < 100.0 ? 2 : 0) + " m";
}

[[nodiscard]] std::string area_text(double area_m2, System system) {
  if (std::abs(area_m2) < 1.0) {
    return display_number(area_m2, Dimension::area, system) + " " +
           std::string(display_unit(Dimension::area, system));
  }
  return system == System::ip ? fixed(area_m2 / (kMetresPerFoot * kMetresPerFoot), 0) + " ft2"
                              : fixed(area_m2, 1) + " m2";
}

}  // namespace

std::string_view display_unit(Dimension dimension, System system) {
  return shown_in(dimension, system).unit;
}

std::string display_number(double si, Dimension dimension, System system) {
  if (!std::isfinite(si)) {
    return "-";
  }
  if (dimension == Dimension::number) {
    return plain_number(si);
  }
  if (dimension == Dimension::viscosity) {
    return fmt::format("{:.3g}", si);
  }
  const Shown how = shown_in(dimension, system);
  const double shown = (si - how.offset) / how.scale;
  return fixed(shown, decimals_of(shown, how, dimension));
}

std::string display(double si, Dimension dimension, System system) {
  if (std::isfinite(si)) {
    if (dimension == Dimension::length) {
      return system == System::ip ? length_in_ip(si) : length_in_si(si);
    }
    if (dimension == Dimension::area) {
      return area_text(si, system);
    }
    if (dimension == Dimension::thermal_resistance && system == System::ip) {
      return "R-" + without_trailing_zeros(display_number(si, dimension, system));
    }
  }
  const std::string number = display_number(si, dimension, system);
  const std::string_view unit = display_unit(dimension, system);
  return unit.empty() ? number : fmt::format("{} {}", number, unit);
}

double displayed_value(double si, Dimension dimension, System system) {
  if (!std::isfinite(si) || dimension == Dimension::number || dimension == Dimension::viscosity) {
    return si;
  }
  if (dimension == Dimension::length && system == System::ip) {
    return std::round(si / kMetresPerInch * kEighthsPerInch) / kEighthsPerInch * kMetresPerInch;
  }
  if (dimension == Dimension::length && std::abs(si) < 0.9995) {
    return std::round(si * 1e3) * 1e-3;
  }
  const Shown how = shown_in(dimension, system);
  const double shown = (si - how.offset) / how.scale;
  const double power = std::pow(10.0, decimals_of(shown, how, dimension));
  return std::round(shown * power) / power * how.scale + how.offset;
}

std::string Message::text(System system) const {
  fmt::dynamic_format_arg_store<fmt::format_context> arguments;
  for (const Value& value : values) {
    arguments.push_back(display(value.si, value.dimension, system));
  }
  return fmt::vformat(pattern, arguments);
}

}  // namespace ductledger::units
