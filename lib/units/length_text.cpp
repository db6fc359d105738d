#include <fmt/format.h>

#include "base/text.hpp"
#include "units/length_text_internal.hpp"
#include "units/number_text_internal.hpp"
#include "units/unit_text_internal.hpp"

namespace ductledger::units {

using base::shown;
using base::trimmed;

namespace {

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

struct Feet {
  std::string_view written;  ///< the number
  std::size_t end;           ///< behind the unit
};
struct Inches {
  double length_m;
  std::size_t end;
};

/// Inches that follow feet, as in `6 ft 6 in` and `6'-6"`; nothing: none do.
TextResult<std::optional<Inches>> inches_after(const Feet& feet, std::string_view text) {
  std::size_t at = skip_blanks(text, feet.end);
  if (at < text.size() && text[at] == '-' && at + 1 < text.size() && is_digit(text[at + 1])) {
    ++at;
  }
  if (at >= text.size() || (!is_digit(text[at]) && text[at] != '.')) {
    return std::nullopt;
  }
  const auto scanned = scan_number(text, at);
  if (const auto* fault = std::get_if<TextFault>(&scanned)) {
    return *fault;
  }
  const Number inches = std::get<Number>(scanned);
  if (inches.end == at) {
    return std::nullopt;
  }
  const std::string_view written = trimmed(text.substr(at, inches.end - at));
  const UnitHere here = length_unit_at(text, skip_blanks(text, inches.end));
  if (here.unit == nullptr || here.unit->name != "in") {
    return TextFault{
        .rule = "missing-unit",
        .message = fmt::format("{} after the feet has no unit of inches", shown(written)),
        .label = "inches are expected after feet",
        .help = fmt::format("write {}", shown(fmt::format("{} ft {} in", feet.written, written))),
        .offset = at,
        .length = inches.end - at};
  }
  constexpr double kInchesPerFoot = 12.0;
  if (inches.value >= kInchesPerFoot) {
    return TextFault{.rule = "number-out-of-range",
                     .message = fmt::format("{} inches after feet are a foot or more", written),
                     .label = "expected less than 12",
                     .help = "write the feet and what is left of them, or inches alone",
                     .offset = at,
                     .length = inches.end - at};
  }
  return Inches{.length_m = inches.value * here.unit->scale, .end = here.end};
}

}  // namespace

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
  LeadingLength length{.value = first.value * here.unit->scale,
                       .has_unit = true,
                       .unit_m = here.unit->scale,
                       .used = here.end};
  if (here.unit->name != "ft") {
    return length;
  }
  const auto behind = inches_after(
      {.written = trimmed(text.substr(start, first.end - start)), .end = here.end}, text);
  if (const auto* fault = std::get_if<TextFault>(&behind)) {
    return *fault;
  }
  if (const auto& inches = std::get<std::optional<Inches>>(behind)) {
    length.value += text[start] == '-' ? -inches->length_m : inches->length_m;
    length.unit_m = 0.0;
    length.used = inches->end;
  }
  return length;
}

TextResult<LeadingLength> parse_leading_length(std::string_view text) {
  const PlainText plain = plain_text(text);
  auto result = as_written(leading_length(plain.text), plain);
  if (auto* length = std::get_if<LeadingLength>(&result)) {
    length->used = plain.origin[length->used];
  }
  return result;
}

}  // namespace ductledger::units
