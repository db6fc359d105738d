#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <optional>
#include <string>

#include "base/decimal.hpp"
#include "base/text.hpp"
#include "units/number_text_internal.hpp"

namespace ductledger::units {

using base::shown;
using base::trimmed;

namespace {

/// `/4` after a numerator that ends at `at`.
std::optional<Number> scan_denominator(std::string_view text, std::size_t at) {
  if (at >= text.size() || text[at] != '/') {
    return std::nullopt;
  }
  const std::size_t end = skip_digits(text, at + 1);
  if (end == at + 1 || end - at > 9) {
    return std::nullopt;
  }
  const double value = base::read_decimal(text.substr(at + 1, end - at - 1)).value;
  return Number{.value = value, .end = end, .whole = true};
}

}  // namespace

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

std::size_t word_length(std::string_view text, std::size_t at) {
  std::size_t end = at;
  while (end < text.size() && !is_blank(text[end])) {
    ++end;
  }
  return std::max<std::size_t>(end - at, 1);
}

TextResult<Number> scan_decimal(std::string_view text, std::size_t at) {
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
  const std::size_t begin = at + (plus ? 1 : 0);
  const base::Decimal read = base::read_decimal(text.substr(begin, end - begin));
  if (!read.in_range) {
    return TextFault{.rule = "number-out-of-range",
                     .message = fmt::format("{} is too large or too small to calculate with",
                                            shown(text.substr(at, end - at))),
                     .label = "out of range",
                     .help = {},
                     .offset = at,
                     .length = end - at};
  }
  return Number{.value = read.value, .end = end, .whole = whole};
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

TextResult<Number> scan_number(std::string_view text, std::size_t at) {
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
        const double over = base::read_decimal(text.substr(next, over_end - next)).value;
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

}  // namespace ductledger::units
