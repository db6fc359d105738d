#include "units/quantity_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>
#include <optional>
#include <span>
#include <system_error>
#include <utility>

#include "base/text.hpp"
#include "units/quantity.hpp"

namespace ductledger::units {

namespace {

using base::shown;
using base::trimmed;

/// SI value = value * factor + offset.
struct Unit {
  std::string_view spelling;  ///< squeezed: lower case, without spaces, dots, hyphens
  std::string_view name;      ///< the one form that messages use
  Dimension dimension;
  double factor;
  double offset = 0.0;
};

constexpr double kSquareFoot = kMetresPerFoot * kMetresPerFoot;
constexpr double kCubicFoot = kSquareFoot * kMetresPerFoot;
constexpr double kSquareInch = kMetresPerInch * kMetresPerInch;
constexpr double kMetresPerMile = 1609.344;  // exact
constexpr double kDegree = std::numbers::pi / 180.0;
constexpr double kJoulesPerBtu = 1055.05585262;  // International Table Btu, exact
// 1 h ft2 degF/Btu in m2 K/W.
constexpr double kRValue = 3600.0 * kSquareFoot / (1.8 * kJoulesPerBtu);
constexpr double kPascalPerMillimetreWater = 9.80665;  // conventional, exact

using D = Dimension;
// The first spellings of each dimension are its usual units, in the order in which messages name
// them; later spellings of the same name are forgiven.
// `mPa` and `MPa` differ by 10^9 and are left out: case is forgiven.
constexpr auto kUnits = std::to_array<Unit>({
    {"%", "%", D::ratio, 0.01},
    {"percent", "%", D::ratio, 0.01},
    {"pct", "%", D::ratio, 0.01},
    {"in", "in", D::length, kMetresPerInch},
    {"ft", "ft", D::length, kMetresPerFoot},
    {"mm", "mm", D::length, 0.001},
    {"cm", "cm", D::length, 0.01},
    {"m", "m", D::length, 1.0},
    {"inch", "in", D::length, kMetresPerInch},
    {"inches", "in", D::length, kMetresPerInch},
    {"\"", "in", D::length, kMetresPerInch},
    {"''", "in", D::length, kMetresPerInch},
    {"foot", "ft", D::length, kMetresPerFoot},
    {"feet", "ft", D::length, kMetresPerFoot},
    {"'", "ft", D::length, kMetresPerFoot},
    {"millimetre", "mm", D::length, 0.001},
    {"millimetres", "mm", D::length, 0.001},
    {"millimeter", "mm", D::length, 0.001},
    {"millimeters", "mm", D::length, 0.001},
    {"centimetre", "cm", D::length, 0.01},
    {"centimetres", "cm", D::length, 0.01},
    {"centimeter", "cm", D::length, 0.01},
    {"centimeters", "cm", D::length, 0.01},
    {"metre", "m", D::length, 1.0},
    {"metres", "m", D::length, 1.0},
    {"meter", "m", D::length, 1.0},
    {"meters", "m", D::length, 1.0},
    {"ft2", "ft2", D::area, kSquareFoot},
    {"in2", "in2", D::area, kSquareInch},
    {"m2", "m2", D::area, 1.0},
    {"cm2", "cm2", D::area, 1e-4},
    {"mm2", "mm2", D::area, 1e-6},
    {"sqft", "ft2", D::area, kSquareFoot},
    {"squarefeet", "ft2", D::area, kSquareFoot},
    {"sqin", "in2", D::area, kSquareInch},
    {"squareinches", "in2", D::area, kSquareInch},
    {"sqm", "m2", D::area, 1.0},
    {"sqcm", "cm2", D::area, 1e-4},
    {"sqmm", "mm2", D::area, 1e-6},
    {"cfm", "cfm", D::airflow, kM3SPerCfm},
    {"l/s", "L/s", D::airflow, 0.001},
    {"m3/h", "m3/h", D::airflow, 1.0 / 3600.0},
    {"m3/s", "m3/s", D::airflow, 1.0},
    {"ft3/min", "cfm", D::airflow, kM3SPerCfm},
    {"cuft/min", "cfm", D::airflow, kM3SPerCfm},
    {"m3/hr", "m3/h", D::airflow, 1.0 / 3600.0},
    {"m3/min", "m3/min", D::airflow, 1.0 / 60.0},
    {"inh2o", "inH2O", D::pressure, kPascalPerInchWater},
    {"pa", "Pa", D::pressure, 1.0},
    {"hpa", "hPa", D::pressure, 100.0},
    {"inwg", "inH2O", D::pressure, kPascalPerInchWater},
    {"iwg", "inH2O", D::pressure, kPascalPerInchWater},
    {"inwc", "inH2O", D::pressure, kPascalPerInchWater},
    {"iwc", "inH2O", D::pressure, kPascalPerInchWater},
    {"\"wg", "inH2O", D::pressure, kPascalPerInchWater},
    {"\"wc", "inH2O", D::pressure, kPascalPerInchWater},
    {"\"h2o", "inH2O", D::pressure, kPascalPerInchWater},
    {"incheswater", "inH2O", D::pressure, kPascalPerInchWater},
    {"inchesofwater", "inH2O", D::pressure, kPascalPerInchWater},
    {"mmh2o", "mmH2O", D::pressure, kPascalPerMillimetreWater},
    {"kpa", "kPa", D::pressure, 1000.0},
    {"mbar", "hPa", D::pressure, 100.0},
    {"fpm", "fpm", D::velocity, kMetresPerFoot / 60.0},
    {"m/s", "m/s", D::velocity, 1.0},
    {"mph", "mph", D::velocity, kMetresPerMile / 3600.0},
    {"km/h", "km/h", D::velocity, 1.0 / 3.6},
    {"ft/min", "fpm", D::velocity, kMetresPerFoot / 60.0},
    {"ft/s", "ft/s", D::velocity, kMetresPerFoot},
    {"km/hr", "km/h", D::velocity, 1.0 / 3.6},
    {"kph", "km/h", D::velocity, 1.0 / 3.6},
    {"kmh", "km/h", D::velocity, 1.0 / 3.6},
    {"degf", "degF", D::temperature, 1.0 / 1.8, 273.15 - 32.0 / 1.8},
    {"degc", "degC", D::temperature, 1.0, 273.15},
    {"k", "K", D::temperature, 1.0},
    {"f", "degF", D::temperature, 1.0 / 1.8, 273.15 - 32.0 / 1.8},
    {"fahrenheit", "degF", D::temperature, 1.0 / 1.8, 273.15 - 32.0 / 1.8},
    {"c", "degC", D::temperature, 1.0, 273.15},
    {"celsius", "degC", D::temperature, 1.0, 273.15},
    {"kelvin", "K", D::temperature, 1.0},
    {"lb/ft3", "lb/ft3", D::density, kKgM3PerLbFt3},
    {"kg/m3", "kg/m3", D::density, 1.0},
    {"lbm/ft3", "lb/ft3", D::density, kKgM3PerLbFt3},
    {"lb/cuft", "lb/ft3", D::density, kKgM3PerLbFt3},
    {"pas", "Pa.s", D::viscosity, 1.0},
    {"upas", "uPa.s", D::viscosity, 1e-6},
    {"kg/ms", "Pa.s", D::viscosity, 1.0},
    {"deg", "deg", D::angle, kDegree},
    {"rad", "rad", D::angle, 1.0},
    {"degree", "deg", D::angle, kDegree},
    {"degrees", "deg", D::angle, kDegree},
    {"hft2degf/btu", "h ft2 degF/Btu", D::thermal_resistance, kRValue},
    {"m2k/w", "m2 K/W", D::thermal_resistance, 1.0},
    {"ft2hdegf/btu", "h ft2 degF/Btu", D::thermal_resistance, kRValue},
    {"ft3", "ft3", D::volume, kCubicFoot},
    {"m3", "m3", D::volume, 1.0},
    {"cuft", "ft3", D::volume, kCubicFoot},
    {"cubicfeet", "ft3", D::volume, kCubicFoot},
    {"a", "A", D::current, 1.0},
    {"amp", "A", D::current, 1.0},
    {"amps", "A", D::current, 1.0},
    {"ampere", "A", D::current, 1.0},
    {"amperes", "A", D::current, 1.0},
    {"v", "V", D::voltage, 1.0},
    {"volt", "V", D::voltage, 1.0},
    {"volts", "V", D::voltage, 1.0},
});

struct UsualUnits {
  Dimension dimension;
  std::string_view name;
  std::array<std::string_view, 5> units;
};
constexpr auto kUsual = std::to_array<UsualUnits>({
    {D::number, "a plain number", {}},
    {D::ratio, "a percentage", {"%"}},
    {D::length, "a length", {"in", "ft", "mm", "cm", "m"}},
    {D::area, "an area", {"ft2", "in2", "m2", "cm2", "mm2"}},
    {D::airflow, "an airflow", {"cfm", "L/s", "m3/h", "m3/s"}},
    {D::pressure, "a pressure", {"inH2O", "Pa", "hPa"}},
    {D::velocity, "a velocity", {"fpm", "ft/min", "m/s", "mph", "km/h"}},
    {D::temperature, "a temperature", {"degF", "degC", "K"}},
    {D::density, "a density", {"lb/ft3", "kg/m3"}},
    {D::viscosity, "a viscosity", {"Pa.s", "uPa.s"}},
    {D::angle, "an angle", {"deg", "rad"}},
    {D::thermal_resistance, "an insulation value", {"R-8", "m2 K/W"}},
    {D::volume, "a volume", {"ft3", "m3"}},
    {D::current, "a current", {"A"}},
    {D::voltage, "a voltage", {"V"}},
});

const UsualUnits& usual(Dimension dimension) {
  return *std::find_if(
      kUsual.begin(), kUsual.end(), [&](const UsualUnits& u) { return u.dimension == dimension; });
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

std::size_t skip_blanks(std::string_view text, std::size_t at) {
  while (at < text.size() && is_blank(text[at])) {
    ++at;
  }
  return at;
}
std::size_t skip_digits(std::string_view text, std::size_t at) {
  while (at < text.size() && is_digit(text[at])) {
    ++at;
  }
  return at;
}

std::string squeezed(std::string_view unit) {
  std::string out;
  for (const char c : unit) {
    constexpr std::string_view kDropped = ".-_^*()";
    if (!is_blank(c) && kDropped.find(c) == std::string_view::npos) {
      out += lower(c);
    }
  }
  return out;
}

const Unit* find_unit(std::string_view text, Dimension wanted) {
  const std::string spelling = squeezed(text);
  const Unit* other = nullptr;
  for (const Unit& unit : kUnits) {
    if (unit.spelling == spelling) {
      if (unit.dimension == wanted) {
        return &unit;
      }
      other = &unit;
    }
  }
  return other;
}

/// The text between the place and the next blank, for pointing.
std::size_t word_length(std::string_view text, std::size_t at) {
  std::size_t end = at;
  while (end < text.size() && !is_blank(text[end])) {
    ++end;
  }
  return std::max<std::size_t>(end - at, 1);
}

std::string fitting_units_help(Dimension dimension) {
  return fmt::format("units that fit: {}", units_that_fit(dimension));
}

std::string expected(Dimension dimension) {
  if (dimension == Dimension::number) {
    return "a plain number is expected";
  }
  if (dimension == Dimension::thermal_resistance) {
    return "an insulation value such as `R-8` is expected";
  }
  return fmt::format("{} is expected", name_of(dimension));
}

TextFault not_a_number(std::string_view text, std::size_t at, Dimension dimension) {
  const std::string_view rest = trimmed(text.substr(std::min(at, text.size())));
  TextFault fault{.rule = "not-a-number",
                  .message = rest.empty()
                                 ? fmt::format("a number is missing: {}", expected(dimension))
                                 : fmt::format("{} is no number", shown(rest)),
                  .label = expected(dimension),
                  .help = {},
                  .offset = at,
                  .length = std::max<std::size_t>(rest.size(), 1)};
  if (dimension != Dimension::number) {
    fault.help = fitting_units_help(dimension);
  }
  return fault;
}

struct Number {
  double value = 0.0;
  std::size_t end = 0;
  bool whole = false;  ///< digits only: may begin a fraction
};

/// A decimal at `at`: sign, digits, point, exponent. Its end is `at` when there is none.
std::variant<Number, TextFault> scan_decimal(std::string_view text, std::size_t at) {
  std::size_t end = at;
  const bool signed_number = end < text.size() && (text[end] == '+' || text[end] == '-');
  const bool plus = signed_number && text[end] == '+';
  if (signed_number) {
    ++end;
  }
  const std::size_t first = end;
  end = skip_digits(text, end);
  std::size_t digits = end - first;
  bool whole = !signed_number;
  if (end < text.size() && text[end] == '.') {
    const std::size_t fraction = skip_digits(text, end + 1);
    // `8.` is a number and a full stop that a unit may follow: `8.in` is no spelling of ours.
    if (fraction > end + 1 || digits > 0) {
      digits += fraction - end - 1;
      end = fraction;
      whole = false;
    }
  }
  if (digits == 0) {
    return Number{.value = 0.0, .end = at, .whole = false};
  }
  if (end < text.size() && (text[end] == 'e' || text[end] == 'E')) {
    std::size_t exponent = end + 1;
    if (exponent < text.size() && (text[exponent] == '+' || text[exponent] == '-')) {
      ++exponent;
    }
    const std::size_t after = skip_digits(text, exponent);
    if (after > exponent) {
      end = after;
      whole = false;
    }
  }
  double value = 0.0;
  const char* begin = text.data() + at + (plus ? 1 : 0);  // from_chars takes no plus
  const auto result = std::from_chars(begin, text.data() + end, value);
  if (result.ec != std::errc()) {
    return TextFault{.rule = "number-out-of-range",
                     .message = fmt::format("{} is too large or too small to calculate with",
                                            shown(text.substr(at, end - at))),
                     .label = "out of range",
                     .help = {},
                     .offset = at,
                     .length = end - at};
  }
  return Number{.value = value, .end = end, .whole = whole};
}

/// `/4` after a numerator that ends at `at`.
std::optional<Number> scan_denominator(std::string_view text, std::size_t at) {
  if (at >= text.size() || text[at] != '/') {
    return std::nullopt;
  }
  const std::size_t end = skip_digits(text, at + 1);
  if (end == at + 1 || end - at > 9) {
    return std::nullopt;
  }
  double value = 0.0;
  std::from_chars(text.data() + at + 1, text.data() + end, value);
  return Number{.value = value, .end = end, .whole = true};
}

TextFault comma_fault(std::string_view text, std::size_t at, std::size_t comma) {
  std::size_t end = comma;
  bool thousands = comma - at <= 3 && text[at] != '0';
  while (end < text.size() && text[end] == ',' && end + 1 < text.size() &&
         is_digit(text[end + 1])) {
    const std::size_t after = skip_digits(text, end + 1);
    thousands = thousands && after - end - 1 == 3;
    end = after;
  }
  const bool several = std::count(text.begin() + static_cast<std::ptrdiff_t>(at),
                                  text.begin() + static_cast<std::ptrdiff_t>(end),
                                  ',') > 1;
  const std::string_view number = text.substr(at, end - at);
  std::string plain;
  std::copy_if(
      number.begin(), number.end(), std::back_inserter(plain), [](char c) { return c != ','; });
  std::string decimal(number);
  std::replace(decimal.begin(), decimal.end(), ',', '.');
  const std::string rest(trimmed(text.substr(end)));
  const auto with_unit = [&](const std::string& value) {
    return base::shown(rest.empty() ? value : value + " " + rest);
  };
  std::string help;
  if (thousands) {
    help = fmt::format("thousands are written without a comma: {}; decimals with a point: {}",
                       with_unit(plain),
                       with_unit(decimal));
  } else if (several) {
    help = "several values are written with spaces between";
  } else {
    help = fmt::format("decimals are written with a point: {}", with_unit(decimal));
  }
  return TextFault{.rule = "comma-in-number",
                   .message = fmt::format("a comma stands in the number {}", shown(number)),
                   .label = "a number holds no comma",
                   .help = help,
                   .offset = at,
                   .length = end - at};
}

/// A number as people write it: decimal, `3/4`, `3-1/4`, `3 1/4`.
std::variant<Number, TextFault> scan_number(std::string_view text, std::size_t at) {
  std::size_t start = at;
  double sign = 1.0;
  auto scanned = scan_decimal(text, at);
  if (std::holds_alternative<TextFault>(scanned)) {
    return scanned;
  }
  Number number = std::get<Number>(scanned);
  if (number.end == at) {
    return number;
  }
  if (!number.whole && (text[at] == '-' || text[at] == '+')) {
    // A sign before a fraction: `-1/4`, `-3-1/4`.
    const auto unsigned_part = std::get<Number>(scan_decimal(text, at + 1));
    if (unsigned_part.whole) {
      sign = text[at] == '-' ? -1.0 : 1.0;
      number = unsigned_part;
      start = at + 1;
    }
  }
  const auto zero_denominator = [&](std::size_t end) {
    return TextFault{.rule = "not-a-number",
                     .message = fmt::format("{} divides by zero", shown(text.substr(at, end - at))),
                     .label = "a fraction of nothing",
                     .help = {},
                     .offset = at,
                     .length = end - at};
  };
  if (number.whole) {
    if (const auto below = scan_denominator(text, number.end)) {
      if (below->value == 0.0) {
        return zero_denominator(below->end);
      }
      return Number{.value = sign * number.value / below->value, .end = below->end, .whole = false};
    }
    std::size_t next = skip_blanks(text, number.end);
    if (next == number.end && next < text.size() && text[next] == '-') {
      ++next;
    }
    const std::size_t over_end = skip_digits(text, next);
    if (next > number.end && over_end > next && over_end - next <= 8) {
      if (const auto below = scan_denominator(text, over_end)) {
        if (below->value == 0.0) {
          return zero_denominator(below->end);
        }
        double over = 0.0;
        std::from_chars(text.data() + next, text.data() + over_end, over);
        return Number{.value = sign * (number.value + over / below->value),
                      .end = below->end,
                      .whole = false};
      }
    }
  }
  number.value *= sign;
  if (number.end + 1 < text.size() && text[number.end] == ',' && is_digit(text[number.end + 1])) {
    return comma_fault(text, start, number.end);
  }
  return number;
}

/// Whether digits that touch the unit before them are inches after feet: `6in`, `6"`, `1/2in`.
bool begins_inches(std::string_view text) {
  const std::size_t end = skip_digits(text, 0);
  if (end == text.size()) {
    return false;
  }
  const bool goes_on = text[end] == '/' || text[end] == '-' || text[end] == '.';
  return is_letter(text[end]) || text[end] == '"' || text[end] == '\'' ||
         (goes_on && end + 1 < text.size() && is_digit(text[end + 1]));
}

/// The unit of length at `at`, if any: letters or quote marks, and the full stop behind them.
struct UnitHere {
  const Unit* unit = nullptr;
  std::size_t end = 0;
};
UnitHere length_unit_at(std::string_view text, std::size_t at) {
  std::size_t end = at;
  if (at < text.size() && text[at] == '-' && at + 1 < text.size() && is_letter(text[at + 1])) {
    end = ++at;  // `8-in`, `4-foot`
  }
  if (text.substr(at).starts_with("''")) {
    end = at + 2;
  } else if (at < text.size() && (text[at] == '"' || text[at] == '\'')) {
    end = at + 1;
  } else {
    while (end < text.size() && is_letter(text[end])) {
      ++end;
    }
    // `ft2`, `in/s`, `m3/h` are no lengths, nor is the `in.` of `in.wg`; `6ft6in` is one.
    if (end < text.size() && (text[end] == '/' || text[end] == '^' ||
                              (is_digit(text[end]) && !begins_inches(text.substr(end))))) {
      return {};
    }
  }
  if (end == at) {
    return {};
  }
  const Unit* unit = find_unit(text.substr(at, end - at), Dimension::length);
  if (unit == nullptr || unit->dimension != Dimension::length) {
    return {};
  }
  if (end < text.size() && text[end] == '.') {
    if (end + 1 < text.size() && is_letter(text[end + 1])) {
      return {};
    }
    ++end;
  }
  return {unit, end};
}

TextResult<LeadingLength> leading_length(std::string_view text) {
  const std::size_t start = skip_blanks(text, 0);
  const auto scanned = scan_number(text, start);
  if (const auto* fault = std::get_if<TextFault>(&scanned)) {
    return *fault;
  }
  const Number first = std::get<Number>(scanned);
  if (first.end == start) {
    return not_a_number(text, start, Dimension::length);
  }
  const UnitHere here = length_unit_at(text, skip_blanks(text, first.end));
  if (here.unit == nullptr) {
    return LeadingLength{.value = first.value, .has_unit = false, .unit_m = 0.0, .used = first.end};
  }
  LeadingLength length{.value = first.value * here.unit->factor,
                       .has_unit = true,
                       .unit_m = here.unit->factor,
                       .used = here.end};
  if (here.unit->name != "ft") {
    return length;
  }
  // Inches may follow feet.
  std::size_t next = skip_blanks(text, here.end);
  if (next < text.size() && text[next] == '-' && next + 1 < text.size() &&
      is_digit(text[next + 1])) {
    ++next;
  }
  if (next >= text.size() || (!is_digit(text[next]) && text[next] != '.')) {
    return length;
  }
  const auto scanned_inches = scan_number(text, next);
  if (const auto* fault = std::get_if<TextFault>(&scanned_inches)) {
    return *fault;
  }
  const Number inches = std::get<Number>(scanned_inches);
  const UnitHere inch = length_unit_at(text, skip_blanks(text, inches.end));
  if (inches.end == next) {
    return length;
  }
  if (inch.unit == nullptr || inch.unit->name != "in") {
    const std::string_view written = trimmed(text.substr(next, inches.end - next));
    return TextFault{
        .rule = "missing-unit",
        .message = fmt::format("{} after the feet has no unit of inches", shown(written)),
        .label = "inches are expected after feet",
        .help = fmt::format(
            "write {}",
            shown(fmt::format(
                "{} ft {} in", trimmed(text.substr(start, first.end - start)), written))),
        .offset = next,
        .length = inches.end - next};
  }
  const double sign = text[start] == '-' ? -1.0 : 1.0;
  length.value += sign * inches.value * inch.unit->factor;
  length.unit_m = 0.0;
  length.used = inch.end;
  return length;
}

TextFault unit_fault(std::string_view text, std::size_t at, Dimension dimension) {
  const std::string_view written = trimmed(text.substr(at));
  TextFault fault{.rule = "unknown-unit",
                  .message = {},
                  .label = {},
                  .help = {},
                  .offset = at,
                  .length = written.size()};
  if (const Unit* unit = find_unit(written, dimension)) {
    fault.rule = "wrong-unit";
    fault.message =
        fmt::format("{} is a unit of {}; {}",
                    shown(written),
                    name_of(unit->dimension).substr(name_of(unit->dimension).find(' ') + 1),
                    expected(dimension));
    fault.label = dimension == Dimension::number ? "no unit belongs here" : "another kind of unit";
    if (dimension == Dimension::pressure && unit->name == "in") {
      fault.help = "inches of water are written `inH2O`";
    } else if (dimension == Dimension::temperature && unit->dimension == Dimension::angle) {
      fault.help = "write `degF` or `degC`";
    } else if (dimension == Dimension::number) {
      fault.help = "leave the unit away";
    } else {
      fault.help = fitting_units_help(dimension);
    }
    return fault;
  }
  if (dimension != Dimension::length) {
    // `6 ft 6 in` where another kind is expected.
    const auto whole = leading_length(text);
    const auto* length = std::get_if<LeadingLength>(&whole);
    if (length != nullptr && length->has_unit && skip_blanks(text, length->used) == text.size()) {
      fault.rule = "wrong-unit";
      fault.message = fmt::format("{} is a length; {}", shown(trimmed(text)), expected(dimension));
      fault.label = "another kind of unit";
      fault.help = fitting_units_help(dimension);
      return fault;
    }
  }
  if (is_digit(written.front()) || written.front() == '.') {
    fault.rule = "unexpected-text";
    fault.message = fmt::format("one value is expected, more follows: {}", shown(written));
    fault.label = "a second number";
    // `1 200 cfm`: blanks between groups of three.
    const std::size_t digits = skip_digits(written, 0);
    if (digits == 3 && at > 0) {
      fault.help = "thousands are written without a blank";
    }
    return fault;
  }
  if (written.front() == ',') {
    fault.rule = "unexpected-text";
    fault.message = fmt::format("a comma does not belong in a quantity: {}", shown(written));
    fault.label = "not read";
    fault.help = dimension == Dimension::length ? "feet and inches are written `6 ft 6 in`" : "";
    return fault;
  }
  fault.message = fmt::format("{} is no unit known here; {}", shown(written), expected(dimension));
  fault.label = "unknown unit";
  if (dimension == Dimension::number) {
    fault.message =
        fmt::format("{} stands after the number; {}", shown(written), expected(dimension));
    fault.rule = "unexpected-text";
    fault.label = "no unit belongs here";
    fault.help = "leave it away";
    return fault;
  }
  std::vector<std::string> spellings;
  for (const Unit& unit : kUnits) {
    if (unit.dimension == dimension) {
      spellings.emplace_back(unit.spelling);
    }
  }
  if (const auto near = base::nearest(squeezed(written), spellings)) {
    const Unit* unit = find_unit(*near, dimension);
    fault.help = fmt::format("did you mean `{}`? ", unit->name);
  }
  fault.help += fitting_units_help(dimension);
  return fault;
}

TextResult<double> in_si(double value, const Unit& unit, std::string_view text) {
  const double si = value * unit.factor + unit.offset;
  if (!std::isfinite(si)) {
    return TextFault{.rule = "number-out-of-range",
                     .message = fmt::format("{} is too large to calculate with", shown(text)),
                     .label = "out of range",
                     .help = {},
                     .offset = 0,
                     .length = text.size()};
  }
  return si;
}

TextFault missing_unit(std::string_view text,
                       std::size_t at,
                       std::size_t length,
                       Dimension dimension) {
  const std::string_view number = text.substr(at, length);
  std::string help = fitting_units_help(dimension);
  if (dimension == Dimension::ratio) {
    help = fmt::format("write {}", shown(fmt::format("{} %", number)));
  } else if (dimension == Dimension::thermal_resistance) {
    help = fmt::format("write {}", shown(fmt::format("R-{}", number)));
  }
  return TextFault{.rule = "missing-unit",
                   .message = fmt::format("{} has no unit; {}", shown(number), expected(dimension)),
                   .label = "a unit is missing",
                   .help = help,
                   .offset = at,
                   .length = length};
}

TextResult<double> quantity(std::string_view text, Dimension dimension) {
  std::size_t start = skip_blanks(text, 0);
  if (start == text.size()) {
    return not_a_number(text, 0, dimension);
  }
  // `R-8`, `R8`, `R 8`: the letter is the unit.
  const bool r_value = dimension == Dimension::thermal_resistance && lower(text[start]) == 'r';
  if (r_value) {
    start = skip_blanks(text, start + 1);
    if (start < text.size() && text[start] == '-') {
      start = skip_blanks(text, start + 1);
    }
  }
  if (dimension == Dimension::length) {
    const auto read = leading_length(text);
    if (const auto* fault = std::get_if<TextFault>(&read)) {
      return *fault;
    }
    const auto& length = std::get<LeadingLength>(read);
    if (length.has_unit && skip_blanks(text, length.used) == text.size()) {
      constexpr Unit kMetre{"m", "m", Dimension::length, 1.0};
      return in_si(length.value, kMetre, text);
    }
    if (length.has_unit) {
      const std::size_t rest = skip_blanks(text, length.used);
      // `8 in wg`: the whole behind the number may be a unit of another kind.
      const auto first = std::get<Number>(scan_number(text, start));
      const std::size_t unit_at = skip_blanks(text, first.end);
      const Unit* whole = find_unit(trimmed(text.substr(unit_at)), dimension);
      if (whole != nullptr) {
        return unit_fault(text, unit_at, dimension);
      }
      TextFault fault = unit_fault(text, rest, dimension);
      if (fault.rule != "unexpected-text") {
        fault.rule = "unexpected-text";
        fault.message = fmt::format("a length is expected, more follows: {}",
                                    shown(trimmed(text.substr(rest))));
        fault.label = "not read";
        fault.help = "feet and inches are written `6 ft 6 in`";
      }
      return fault;
    }
  }
  const auto scanned = scan_number(text, start);
  if (const auto* fault = std::get_if<TextFault>(&scanned)) {
    return *fault;
  }
  const Number number = std::get<Number>(scanned);
  if (number.end == start) {
    return not_a_number(text, skip_blanks(text, 0), dimension);
  }
  const std::size_t unit_at = skip_blanks(text, number.end);
  if (unit_at == text.size()) {
    if (dimension == Dimension::number) {
      return number.value;
    }
    if (r_value) {
      return number.value * kRValue;
    }
    return missing_unit(text, start, number.end - start, dimension);
  }
  const Unit* unit = find_unit(text.substr(unit_at), dimension);
  if (r_value || unit == nullptr || unit->dimension != dimension) {
    return unit_fault(text, unit_at, dimension);
  }
  return in_si(number.value, *unit, text);
}

TextResult<std::vector<double>> column(std::string_view text, Dimension dimension) {
  std::vector<Number> numbers;
  std::size_t at = skip_blanks(text, 0);
  std::size_t last_start = at;
  while (at < text.size()) {
    const auto scanned = scan_decimal(text, at);
    if (const auto* fault = std::get_if<TextFault>(&scanned)) {
      return *fault;
    }
    const Number number = std::get<Number>(scanned);
    if (number.end == at) {
      break;
    }
    const char after = number.end < text.size() ? text[number.end] : ' ';
    if (after == ',') {
      if (number.end + 1 < text.size() && is_digit(text[number.end + 1])) {
        return comma_fault(text, at, number.end);
      }
      return TextFault{.rule = "comma-in-number",
                       .message = "a comma stands between the values of a column",
                       .label = "not read",
                       .help = "values are written with spaces between and one unit at the end",
                       .offset = number.end,
                       .length = 1};
    }
    if (after == '/' && number.end + 1 < text.size() && is_digit(text[number.end + 1])) {
      return TextFault{.rule = "not-a-number",
                       .message = "a column of values takes decimals, not fractions",
                       .label = "a fraction",
                       .help = "write decimals, or a list such as `[1/4 in, 1/2 in]`",
                       .offset = at,
                       .length = word_length(text, at)};
    }
    numbers.push_back(number);
    last_start = at;
    at = skip_blanks(text, number.end);
  }
  if (numbers.empty()) {
    return not_a_number(text, at, dimension);
  }
  const Number& last = numbers.back();
  std::vector<double> values;
  values.reserve(numbers.size());
  if (at == text.size()) {
    if (dimension != Dimension::number) {
      return missing_unit(text, last_start, last.end - last_start, dimension);
    }
    for (const Number& number : numbers) {
      values.push_back(number.value);
    }
    return values;
  }
  const Unit* unit = find_unit(text.substr(at), dimension);
  if (unit == nullptr || unit->dimension != dimension) {
    TextFault fault = unit_fault(text, at, dimension);
    const std::string_view rest = text.substr(at);
    if (unit == nullptr && rest.find_first_of("0123456789") != std::string_view::npos &&
        rest.find(' ') != std::string_view::npos && dimension != Dimension::number) {
      fault.rule = "unexpected-text";
      fault.message = fmt::format("{} is no unit at the end of a column", shown(trimmed(rest)));
      fault.label = "one unit is expected here, and nothing after it";
      fault.help = "give the unit once, at the end: `0 250 450 cfm`";
    }
    return fault;
  }
  for (const Number& number : numbers) {
    const auto value = in_si(number.value, *unit, text);
    if (const auto* fault = std::get_if<TextFault>(&value)) {
      return *fault;
    }
    values.push_back(std::get<double>(value));
  }
  return values;
}

struct Respelling {
  std::string_view written;
  std::string_view plain;
};
// Fractions take a blank before them where a digit stands there: `3¼` is `3 1/4`.
constexpr auto kFractions = std::to_array<Respelling>({
    {"\u00BC", "1/4"},
    {"\u00BD", "1/2"},
    {"\u00BE", "3/4"},
    {"\u2150", "1/7"},
    {"\u2151", "1/9"},
    {"\u2152", "1/10"},
    {"\u2153", "1/3"},
    {"\u2154", "2/3"},
    {"\u2155", "1/5"},
    {"\u2156", "2/5"},
    {"\u2157", "3/5"},
    {"\u2158", "4/5"},
    {"\u2159", "1/6"},
    {"\u215A", "5/6"},
    {"\u215B", "1/8"},
    {"\u215C", "3/8"},
    {"\u215D", "5/8"},
    {"\u215E", "7/8"},
});
constexpr auto kSpellings = std::to_array<Respelling>({
    {"\u2044", "/"},   {"\u2215", "/"},                     // fraction, division
    {"\u00D7", "x"},   {"\u2715", "x"},   {"\u2A2F", "x"},  // multiplication
    {"\u2032", "'"},   {"\u2018", "'"},   {"\u2019", "'"},    {"\u02B9", "'"},    {"\u00B4", "'"},
    {"\u2033", "\""},  {"\u201C", "\""},  {"\u201D", "\""},   {"\u02BA", "\""},   {"\u00B2", "2"},
    {"\u00B3", "3"},   {"\u2082", "2"},  // m², m³, H₂O
    {"\u00B0", "deg"}, {"\u00BA", "deg"}, {"\u2103", "degC"}, {"\u2109", "degF"}, {"\u00A0", " "},
    {"\u202F", " "},   {"\u2007", " "},   {"\u2009", " "},    {"\u2002", " "},    {"\u2212", "-"},
    {"\u2010", "-"},   {"\u2011", "-"},   {"\u2013", "-"},    {"\u2014", "-"},    {"\u00B7", "."},
    {"\u22C5", "."},   {"\u00B5", "u"},   {"\u03BC", "u"},
});

const Respelling* find_spelling(std::string_view text, std::span<const Respelling> table) {
  const auto found = std::find_if(
      table.begin(), table.end(), [&](const Respelling& r) { return text.starts_with(r.written); });
  return found == table.end() ? nullptr : &*found;
}

template <class T>
TextResult<T> as_written(TextResult<T> result, const PlainText& plain) {
  if (auto* fault = std::get_if<TextFault>(&result)) {
    return as_written(std::move(*fault), plain);
  }
  return result;
}

}  // namespace

TextFault as_written(TextFault fault, const PlainText& plain) {
  const std::size_t last = plain.origin.size() - 1;
  const std::size_t begin = plain.origin[std::min(fault.offset, last)];
  const std::size_t end = plain.origin[std::min(fault.offset + fault.length, last)];
  fault.offset = begin;
  fault.length = end > begin ? end - begin : 0;
  return fault;
}

PlainText plain_text(std::string_view text) {
  PlainText plain;
  plain.text.reserve(text.size());
  plain.origin.reserve(text.size() + 1);
  const auto append = [&](std::string_view piece, std::size_t from) {
    plain.text += piece;
    plain.origin.insert(plain.origin.end(), piece.size(), from);
  };
  for (std::size_t i = 0; i < text.size();) {
    if (static_cast<unsigned char>(text[i]) < 0x80U) {
      append(text.substr(i, 1), i);
      ++i;
      continue;
    }
    const std::string_view rest = text.substr(i);
    if (const Respelling* fraction = find_spelling(rest, kFractions)) {
      if (!plain.text.empty() && is_digit(plain.text.back())) {
        append(" ", i);
      }
      append(fraction->plain, i);
      i += fraction->written.size();
    } else if (const Respelling* spelling = find_spelling(rest, kSpellings)) {
      append(spelling->plain, i);
      i += spelling->written.size();
    } else {
      append(text.substr(i, 1), i);
      ++i;
    }
  }
  plain.origin.push_back(text.size());
  return plain;
}

std::string plain_spelling(std::string_view text) { return plain_text(text).text; }

TextResult<double> parse_quantity(std::string_view text, Dimension dimension) {
  const PlainText plain = plain_text(text);
  return as_written(quantity(plain.text, dimension), plain);
}

TextResult<std::vector<double>> parse_column(std::string_view text, Dimension dimension) {
  const PlainText plain = plain_text(text);
  return as_written(column(plain.text, dimension), plain);
}

TextResult<LeadingLength> parse_leading_length(std::string_view text) {
  const PlainText plain = plain_text(text);
  auto result = as_written(leading_length(plain.text), plain);
  if (auto* length = std::get_if<LeadingLength>(&result)) {
    length->used = plain.origin[length->used];
  }
  return result;
}

std::string units_that_fit(Dimension dimension) {
  std::vector<std::string> names;
  for (const std::string_view unit : usual(dimension).units) {
    if (!unit.empty()) {
      names.emplace_back(unit);
    }
  }
  return names.empty() ? "none" : base::joined(names);
}

std::string_view name_of(Dimension dimension) { return usual(dimension).name; }

}  // namespace ductledger::units
