#include "units/quantity_text.hpp"

#include <fmt/format.h>

#include <optional>
#include <utility>

#include "base/text.hpp"
#include "units/length_text_internal.hpp"
#include "units/number_text_internal.hpp"
#include "units/unit_text_internal.hpp"

namespace ductledger::units {

using base::shown;
using base::trimmed;

namespace {

/// A length as people write it, feet and inches too; nothing for a bare number.
std::optional<TextResult<double>> length_quantity(std::string_view text, std::size_t start) {
  const auto read = leading_length(text);
  if (const auto* fault = std::get_if<TextFault>(&read)) {
    return *fault;
  }
  const auto& length = std::get<LeadingLength>(read);
  if (!length.has_unit) {
    return std::nullopt;
  }
  const std::size_t rest = skip_blanks(text, length.used);
  if (rest == text.size()) {
    constexpr Unit kMetre{Dimension::length, "m", 1.0};
    return in_si(length.value, kMetre, text);
  }
  // `8 in wg`: the whole behind the number may be a unit of another kind.
  const auto first = std::get<Number>(scan_number(text, start));
  const std::size_t unit_at = skip_blanks(text, first.end);
  if (find_unit(trimmed(text.substr(unit_at)), Dimension::length) != nullptr) {
    return unit_fault(text, unit_at, Dimension::length);
  }
  TextFault fault = unit_fault(text, rest, Dimension::length);
  if (fault.rule != "unexpected-text") {
    fault.rule = "unexpected-text";
    fault.message =
        fmt::format("a length is expected, more follows: {}", shown(trimmed(text.substr(rest))));
    fault.label = "not read";
    fault.help = "feet and inches are written `6 ft 6 in`";
  }
  return fault;
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
    if (auto read = length_quantity(text, start)) {
      return *std::move(read);
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
      return number.value * kM2KPerWPerR;
    }
    return missing_unit(text, start, number.end - start, dimension);
  }
  const Unit* unit = find_unit(text.substr(unit_at), dimension);
  if (r_value || unit == nullptr || unit->dimension != dimension) {
    return unit_fault(text, unit_at, dimension);
  }
  return in_si(number.value, *unit, text);
}

/// What may not follow a value of a column that stands from `at` to `end`.
std::optional<TextFault> behind_value(std::string_view text, std::size_t at, std::size_t end) {
  const char after = end < text.size() ? text[end] : ' ';
  if (after == ',') {
    if (end + 1 < text.size() && is_digit(text[end + 1])) {
      return comma_fault(text, at, end);
    }
    return TextFault{.rule = "comma-in-number",
                     .message = "a comma stands between the values of a column",
                     .label = "not read",
                     .help = "values are written with spaces between and one unit at the end",
                     .offset = end,
                     .length = 1};
  }
  if (after == '/' && end + 1 < text.size() && is_digit(text[end + 1])) {
    return TextFault{.rule = "not-a-number",
                     .message = "a column of values takes decimals, not fractions",
                     .label = "a fraction",
                     .help = "write decimals, or a list such as `[1/4 in, 1/2 in]`",
                     .offset = at,
                     .length = word_length(text, at)};
  }
  return std::nullopt;
}

TextFault column_unit_fault(std::string_view text,
                            std::size_t at,
                            bool unknown,
                            Dimension dimension) {
  TextFault fault = unit_fault(text, at, dimension);
  const std::string_view rest = text.substr(at);
  if (unknown && rest.find_first_of("0123456789") != std::string_view::npos &&
      rest.find(' ') != std::string_view::npos && dimension != Dimension::number) {
    fault.rule = "unexpected-text";
    fault.message = fmt::format("{} is no unit at the end of a column", shown(trimmed(rest)));
    fault.label = "one unit is expected here, and nothing after it";
    fault.help = "give the unit once, at the end: `0 250 450 cfm`";
  }
  return fault;
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
    if (auto fault = behind_value(text, at, number.end)) {
      return *std::move(fault);
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
    return column_unit_fault(text, at, unit == nullptr, dimension);
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

}  // namespace

TextResult<double> parse_quantity(std::string_view text, Dimension dimension) {
  const PlainText plain = plain_text(text);
  return as_written(quantity(plain.text, dimension), plain);
}

TextResult<std::vector<double>> parse_column(std::string_view text, Dimension dimension) {
  const PlainText plain = plain_text(text);
  return as_written(column(plain.text, dimension), plain);
}

}  // namespace ductledger::units
