#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <span>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "units/length_text_internal.hpp"
#include "units/number_text_internal.hpp"
#include "units/quantity_text.hpp"
#include "units/unit_text_internal.hpp"

namespace ductledger::units {

using base::shown;
using base::trimmed;

namespace {

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

/// The spellings of a unit beside its name.
std::vector<std::string> other_spellings(const Unit& unit) {
  std::vector<std::string> spellings;
  for (std::string_view rest = unit.spellings; !rest.empty();) {
    const std::size_t end = std::min(rest.find(' '), rest.size());
    spellings.emplace_back(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
  return spellings;
}

/// The units that a squeezed text spells, in the order of the table.
std::span<const Unit* const> spelt(const std::string& text) {
  using Spellings = std::unordered_map<std::string, std::vector<const Unit*>>;
  static const Spellings all = [] {
    Spellings spellings;
    for (const Unit& unit : kUnits) {
      std::vector<std::string> own = other_spellings(unit);
      own.push_back(squeezed(unit.name));
      std::ranges::sort(own);
      own.erase(std::ranges::unique(own).begin(), own.end());
      for (std::string& spelling : own) {
        spellings[std::move(spelling)].push_back(&unit);
      }
    }
    return spellings;
  }();
  const auto found = all.find(text);
  return found == all.end() ? std::span<const Unit* const>() : found->second;
}

/// What is read as a unit of a dimension, names first.
std::vector<std::string> spellings_of(Dimension dimension) {
  std::vector<std::string> names;
  std::vector<std::string> others;
  for (const Unit& unit : kUnits) {
    if (unit.dimension == dimension) {
      names.push_back(squeezed(unit.name));
      std::ranges::move(other_spellings(unit), std::back_inserter(others));
    }
  }
  std::ranges::move(others, std::back_inserter(names));
  return names;
}

std::string fitting_units_help(Dimension dimension) {
  return fmt::format("units that fit: {}", units_that_fit(dimension));
}

std::string expected(Dimension dimension) {
  return fmt::format("{} is expected", expected_form(dimension));
}

/// What stands in a text where a unit is expected.
struct Place {
  std::string_view text;
  std::size_t at = 0;
  std::string_view written;
  Dimension dimension = Dimension::number;

  [[nodiscard]] TextFault fault(TextFault said) const {
    said.offset = at;
    said.length = written.size();
    return said;
  }
};

/// `6 ft 6 in` and nothing more.
bool is_length(std::string_view text) {
  const auto read = leading_length(text);
  const auto* length = std::get_if<LeadingLength>(&read);
  return length != nullptr && length->has_unit && skip_blanks(text, length->used) == text.size();
}

TextFault wrong_unit(const Place& place, const Unit& unit) {
  const Dimension dimension = place.dimension;
  const bool number = dimension == Dimension::number;
  std::string help = fitting_units_help(dimension);
  if (dimension == Dimension::pressure && unit.name == "in") {
    help = "inches of water are written `inH2O`";
  } else if (dimension == Dimension::temperature && unit.dimension == Dimension::angle) {
    help = "write `degF` or `degC`";
  } else if (number) {
    help = "leave the unit away";
  }
  return place.fault({.rule = "wrong-unit",
                      .message = fmt::format("{} is a unit of {}; {}",
                                             shown(place.written),
                                             bare_name_of(unit.dimension),
                                             expected(dimension)),
                      .label = number ? "no unit belongs here" : "another kind of unit",
                      .help = help});
}

/// A second number, a comma, or words behind a plain number.
TextFault unexpected_text(const Place& place) {
  TextFault fault{.rule = "unexpected-text", .message = {}, .label = {}, .help = {}};
  const char first = place.written.front();
  if (is_digit(first) || first == '.') {
    fault.message = fmt::format("one value is expected, more follows: {}", shown(place.written));
    fault.label = "a second number";
    // `1 200 cfm`: blanks between groups of three.
    if (skip_digits(place.written, 0) == 3 && place.at > 0) {
      fault.help = "thousands are written without a blank";
    }
  } else if (first == ',') {
    fault.message = fmt::format("a comma does not belong in a quantity: {}", shown(place.written));
    fault.label = "not read";
    fault.help =
        place.dimension == Dimension::length ? "feet and inches are written `6 ft 6 in`" : "";
  } else {
    fault.message = fmt::format(
        "{} stands after the number; {}", shown(place.written), expected(place.dimension));
    fault.label = "no unit belongs here";
    fault.help = "leave it away";
  }
  return place.fault(std::move(fault));
}

TextFault unknown_unit(const Place& place) {
  std::string help;
  if (const auto near = base::nearest(squeezed(place.written), spellings_of(place.dimension))) {
    help = fmt::format("did you mean `{}`? ", find_unit(*near, place.dimension)->name);
  }
  return place.fault(
      {.rule = "unknown-unit",
       .message = fmt::format(
           "{} is no unit known here; {}", shown(place.written), expected(place.dimension)),
       .label = "unknown unit",
       .help = help + fitting_units_help(place.dimension)});
}

}  // namespace

const Unit* find_unit(std::string_view text, Dimension wanted) {
  const auto units = spelt(squeezed(text));
  const auto found = std::ranges::find(units, wanted, &Unit::dimension);
  return found != units.end() ? *found : units.empty() ? nullptr : units.back();
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

TextFault unit_fault(std::string_view text, std::size_t at, Dimension dimension) {
  const Place place{text, at, trimmed(text.substr(at)), dimension};
  if (const Unit* unit = find_unit(place.written, dimension)) {
    return wrong_unit(place, *unit);
  }
  if (dimension != Dimension::length && is_length(text)) {
    return place.fault(
        {.rule = "wrong-unit",
         .message = fmt::format("{} is a length; {}", shown(trimmed(text)), expected(dimension)),
         .label = "another kind of unit",
         .help = fitting_units_help(dimension)});
  }
  const char first = place.written.front();
  if (is_digit(first) || first == '.' || first == ',' || dimension == Dimension::number) {
    return unexpected_text(place);
  }
  return unknown_unit(place);
}

TextResult<double> in_si(double value, const Unit& unit, std::string_view text) {
  const double si = value * unit.scale + unit.offset;
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

std::string expected_form(Dimension dimension) {
  return dimension == Dimension::thermal_resistance
             ? fmt::format("{} such as `R-8`", name_of(dimension))
             : std::string(name_of(dimension));
}

std::string units_that_fit(Dimension dimension) {
  std::vector<std::string> names;
  for (const Unit& unit : kUnits) {
    if (unit.dimension == dimension && unit.told != Told::no) {
      names.emplace_back(unit.told == Told::as_r_value ? "R-8" : unit.name);
    }
  }
  return names.empty() ? "none" : base::joined(names);
}

}  // namespace ductledger::units
