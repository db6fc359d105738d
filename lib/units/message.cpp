#include "units/message.hpp"

#include <fmt/args.h>
#include <fmt/format.h>

#include <cmath>
#include <cstddef>

#include "units/constants.hpp"

namespace ductledger::units {
namespace {

constexpr double kEighthsPerInch = 8.0;

/// The scale on which a dimension is shown, with the decimals of this value.
struct ShownValue {
  Scale scale;
  double value = 0.0;
  int decimals = 0;
};
[[nodiscard]] ShownValue shown_value(double si, Dimension dimension, System system) {
  const Scale scale = scale_of(dimension, system);
  const double value = (si - scale.offset) / scale.scale;
  const bool small =
      row_of(dimension).rounding == Rounding::small_decimals && std::abs(value) < 9.95;
  return {scale, value, small ? 1 : scale.decimals};
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
  return system == System::ip ? fixed(area_m2 / kSquareFoot_m2, 0) + " ft2"
                              : fixed(area_m2, 1) + " m2";
}

}  // namespace

std::string_view display_unit(Dimension dimension, System system) {
  return scale_of(dimension, system).unit;
}

std::string display_number(double si, Dimension dimension, System system) {
  if (!std::isfinite(si)) {
    return "-";
  }
  if (row_of(dimension).rounding == Rounding::figures) {
    return plain_number(si);
  }
  const ShownValue shown = shown_value(si, dimension, system);
  return fixed(shown.value, shown.decimals);
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
  if (!std::isfinite(si) || row_of(dimension).rounding == Rounding::figures) {
    return si;
  }
  if (dimension == Dimension::length && system == System::ip) {
    return std::round(si / kMetresPerInch * kEighthsPerInch) / kEighthsPerInch * kMetresPerInch;
  }
  if (dimension == Dimension::length && std::abs(si) < 0.9995) {
    return std::round(si * 1e3) * 1e-3;
  }
  const ShownValue shown = shown_value(si, dimension, system);
  const double power = std::pow(10.0, shown.decimals);
  return std::round(shown.value * power) / power * shown.scale.scale + shown.scale.offset;
}

std::string Message::Value::text(System system) const {
  const std::string& text = texts[system == System::ip ? 0 : 1];
  return text.empty() ? display(si, dimension, system) : text;
}

std::string Message::text(System system) const {
  fmt::dynamic_format_arg_store<fmt::format_context> arguments;
  for (const Value& value : values) {
    arguments.push_back(value.text(system));
  }
  return fmt::vformat(pattern, arguments);
}

std::string literal(std::string_view text) {
  std::string result;
  result.reserve(text.size());
  for (const char c : text) {
    result.append(c == '{' || c == '}' ? 2 : 1, c);
  }
  return result;
}

void append(Message& to, const Message& more) {
  to.pattern += more.pattern;
  to.values.insert(to.values.end(), more.values.begin(), more.values.end());
}

}  // namespace ductledger::units
