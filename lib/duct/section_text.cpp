#include "duct/section_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "base/text.hpp"

namespace ductledger::duct {

namespace {

using base::shown;
using base::trimmed;
using units::LeadingLength;
using units::TextFault;

// Ducts people mount lie between these; beyond, a unit was mixed up.
constexpr double kSmallestM = units::kMetresPerInch;
constexpr double kLargestM = 10.0 * units::kMetresPerFoot;
constexpr double kRelativeSlack = 1e-9;  // so that the limits themselves are inside

constexpr const char* kExamples = "write such as `8 in round`, `10 x 3-1/4 in` or `12 x 6 in oval`";

struct Size {
  LeadingLength length;
  std::size_t offset = 0;

  [[nodiscard]] std::size_t end() const { return offset + length.used; }
};

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

std::size_t skip_blanks(std::string_view text, std::size_t at) {
  while (at < text.size() && (text[at] == ' ' || text[at] == '\t' || text[at] == '\n')) {
    ++at;
  }
  return at;
}

/// Bytes of the text.
struct Part {
  std::size_t offset = 0;
  std::size_t length = 0;
};

TextFault fault_at(const Part& part) {
  TextFault fault;
  fault.offset = part.offset;
  fault.length = std::max<std::size_t>(part.length, 1);
  return fault;
}

units::TextResult<Size> read_size(std::string_view text, std::size_t at) {
  at = skip_blanks(text, at);
  auto read = units::parse_leading_length(text.substr(at));
  if (auto* fault = std::get_if<TextFault>(&read)) {
    fault->offset += at;
    if (fault->rule == "not-a-number") {
      fault->message = trimmed(text).empty()
                           ? "the section of a duct is missing"
                           : fmt::format("{} is no section of a duct", shown(trimmed(text)));
      fault->label = "a size is expected";
      fault->help = kExamples;
    }
    return std::move(*fault);
  }
  return Size{.length = std::get<LeadingLength>(read), .offset = at};
}

/// The place behind `x`, `by` or `*` between two sizes.
std::optional<std::size_t> behind_times(std::string_view text, std::size_t at) {
  at = skip_blanks(text, at);
  const std::string_view rest = text.substr(at);
  if (rest.empty()) {
    return std::nullopt;
  }
  if (rest.starts_with("by ")) {
    return at + 2;
  }
  const bool times = rest[0] == 'x' || rest[0] == 'X' || rest[0] == '*';
  if (!times || (rest.size() > 1 && is_letter(rest[1]))) {
    return std::nullopt;
  }
  return at + 1;
}

TextFault missing_unit(std::string_view text, const Size& size, std::string help) {
  TextFault fault = fault_at({size.offset, size.length.used});
  const std::string_view written = trimmed(text.substr(size.offset, size.length.used));
  fault.rule = "missing-unit";
  fault.message = fmt::format("{} has no unit; a length is expected", shown(written));
  fault.label = "a unit is missing";
  fault.help = std::move(help);
  return fault;
}

std::string such_as(const std::string& example) {
  return fmt::format("units that fit: {}, such as {}",
                     units::units_that_fit(units::Dimension::length),
                     shown(example));
}

std::optional<TextFault> unbelievable(std::string_view text, const Size& size) {
  const double metres = size.length.value;
  const std::string_view written = trimmed(text.substr(size.offset, size.length.used));
  const bool positive = metres > 0.0;
  if (metres >= kSmallestM * (1.0 - kRelativeSlack) &&
      metres <= kLargestM * (1.0 + kRelativeSlack)) {
    return std::nullopt;
  }
  TextFault fault = fault_at({size.offset, size.length.used});
  fault.rule = "size-out-of-range";
  fault.message = positive ? fmt::format(
                                 "a duct of {} is not believable; sizes from 1 in to 10 ft "
                                 "(25 mm to 3 m) are read",
                                 shown(written))
                           : fmt::format("a size must be positive, found {}", shown(written));
  fault.label = !positive ? "not positive" : metres < kSmallestM ? "too small" : "too large";
  const double number = size.length.unit_m > 0.0 ? metres / size.length.unit_m : 0.0;
  const auto believable_in = [&](double unit_m) {
    return number * unit_m >= kSmallestM && number * unit_m <= kLargestM;
  };
  const bool in_inches = size.length.unit_m == units::kMetresPerInch;
  if (positive && in_inches && believable_in(0.001)) {
    fault.help = fmt::format("did you mean `{} mm`?", number);
  } else if (positive && !in_inches && believable_in(units::kMetresPerInch)) {
    fault.help = fmt::format("did you mean `{} in`?", number);
  }
  return fault;
}

enum class ShapeWord { none, round, rectangular, oval, unknown };

ShapeWord shape_word(std::string_view text) {
  const std::string word = base::canonical_word(text);
  if (word.empty()) {
    return ShapeWord::none;
  }
  if (word == "round" || word == "diameter" || word == "dia" || word == "dia.") {
    return ShapeWord::round;
  }
  if (word == "rectangular") {
    return ShapeWord::rectangular;
  }
  if (word == "oval" || word == "flat-oval") {
    return ShapeWord::oval;
  }
  return ShapeWord::unknown;
}

/// A section as written: one size or two, and a word.
struct Written {
  std::string_view text;
  Size first;
  std::optional<Size> second{};
  std::size_t sizes_end = 0;
  std::size_t word_at = 0;
  std::string_view rest{};  ///< the word
  ShapeWord shape = ShapeWord::none;

  [[nodiscard]] std::string_view sizes() const {
    return trimmed(text.substr(first.offset, sizes_end - first.offset));
  }
};

std::variant<Written, TextFault> read_parts(std::string_view text) {
  auto first = read_size(text, 0);
  if (auto* fault = std::get_if<TextFault>(&first)) {
    return std::move(*fault);
  }
  Written written{.text = text, .first = std::get<Size>(first)};
  written.sizes_end = written.first.end();
  if (const auto behind = behind_times(text, written.sizes_end)) {
    auto second = read_size(text, *behind);
    if (auto* fault = std::get_if<TextFault>(&second)) {
      return std::move(*fault);
    }
    written.second = std::get<Size>(second);
    written.sizes_end = written.second->end();
  }
  written.word_at = skip_blanks(text, written.sizes_end);
  written.rest = trimmed(text.substr(written.word_at));
  written.shape = shape_word(written.rest);
  return written;
}

TextFault unknown_shape(const Written& written) {
  const auto& [text, first, second, sizes_end, word_at, rest, shape] = written;
  TextFault fault = fault_at({word_at, rest.size()});
  const Size& last = second ? *second : first;
  const auto words = std::to_array<std::string>({"round", "rectangular", "flat oval", "oval"});
  const auto near = base::nearest(rest, words);
  if (second && behind_times(text, sizes_end)) {
    fault.rule = "too-many-sizes";
    fault.message = "a section has one size or two, found a third";
    fault.label = "one size too many";
    fault.help = kExamples;
    return fault;
  }
  if (!last.length.has_unit && !near) {
    // The word behind a bare number is meant as its unit.
    const std::size_t unit_end = std::min(text.find(' ', word_at), text.size());
    const auto as_quantity = units::parse_quantity(text.substr(last.offset, unit_end - last.offset),
                                                   units::Dimension::length);
    if (const auto* unit_fault = std::get_if<TextFault>(&as_quantity)) {
      TextFault moved = *unit_fault;
      moved.offset += last.offset;
      return moved;
    }
  }
  fault.rule = "unknown-shape";
  fault.message = fmt::format("no shape of a duct is named {}", shown(rest));
  fault.label = "not a shape";
  fault.help = near ? fmt::format("did you mean `{}`?", *near) : std::string(kExamples);
  return fault;
}

/// One unit behind both sizes counts for both.
std::optional<TextFault> settle_units(Written& written) {
  const std::string_view text = written.text;
  const std::string_view rest = written.rest;
  Size& first = written.first;
  const std::optional<Size>& second = written.second;
  if (!second) {
    return first.length.has_unit
               ? std::nullopt
               : std::optional(missing_unit(
                     text,
                     first,
                     such_as(fmt::format("{} in {}",
                                         written.sizes(),
                                         rest.empty() ? std::string_view("round") : rest))));
  }
  if (!second->length.has_unit) {
    return missing_unit(
        text,
        *second,
        first.length.has_unit
            ? "give the unit once, at the end, as in `10 x 3-1/4 in`"
            : such_as(fmt::format("{} in{}{}", written.sizes(), rest.empty() ? "" : " ", rest)));
  }
  if (!first.length.has_unit) {
    if (second->length.unit_m == 0.0) {
      return missing_unit(text, first, "give each size its unit, as in `10 in x 1 ft 2 in`");
    }
    first.length.value *= second->length.unit_m;
    first.length.unit_m = second->length.unit_m;
  }
  return std::nullopt;
}

units::TextResult<Section> section_of_one_size(const Written& written) {
  if (written.shape == ShapeWord::round) {
    return Section::round(units::metres(written.first.length.value));
  }
  const std::string_view sizes = written.sizes();
  TextFault fault = fault_at({written.first.offset, sizes.size()});
  if (written.shape == ShapeWord::none) {
    fault.rule = "missing-shape";
    fault.message = fmt::format("{} does not say its shape", shown(sizes));
    fault.label = "round?";
    fault.help = fmt::format("write {}, or both sides of a rectangular duct: `10 x 3-1/4 in`",
                             shown(fmt::format("{} round", sizes)));
  } else {
    fault.rule = "missing-size";
    fault.message = fmt::format("a section that is {} needs two sizes", written.rest);
    fault.label = "one size";
    fault.help = written.shape == ShapeWord::oval ? "write such as `12 x 6 in oval`"
                                                  : "write such as `10 x 3-1/4 in`";
  }
  return fault;
}

units::TextResult<Section> section_of_two_sizes(const Written& written) {
  TextFault fault = fault_at({written.first.offset, written.sizes().size()});
  if (written.shape == ShapeWord::round) {
    fault.rule = "too-many-sizes";
    fault.message = "a round section has one size, found two";
    fault.label = "two sizes";
    fault.help = "leave `round` away for a rectangular duct, or write `oval`";
    return fault;
  }
  const units::Length width = units::metres(written.first.length.value);
  const units::Length height = units::metres(written.second->length.value);
  if (written.shape != ShapeWord::oval) {
    return Section::rectangular(width, height);
  }
  if (width < height) {
    fault.rule = "axes-swapped";
    fault.message = "a flat oval is written with its longer axis first";
    fault.label = "the second size is the longer one";
    fault.help = "swap the two sizes";
    return fault;
  }
  return Section::flat_oval(width, height);
}

units::TextResult<Section> read_section(std::string_view text) {
  auto parts = read_parts(text);
  if (auto* fault = std::get_if<TextFault>(&parts)) {
    return std::move(*fault);
  }
  Written& written = std::get<Written>(parts);
  if (written.shape == ShapeWord::unknown) {
    return unknown_shape(written);
  }
  if (auto fault = settle_units(written)) {
    return *std::move(fault);
  }
  if (auto fault = unbelievable(text, written.first)) {
    return *std::move(fault);
  }
  if (!written.second) {
    return section_of_one_size(written);
  }
  if (auto fault = unbelievable(text, *written.second)) {
    return *std::move(fault);
  }
  return section_of_two_sizes(written);
}

}  // namespace

units::TextResult<Section> parse_section(std::string_view text) {
  const units::PlainText plain = units::plain_text(text);
  auto result = read_section(plain.text);
  if (auto* fault = std::get_if<TextFault>(&result)) {
    return units::as_written(std::move(*fault), plain);
  }
  return result;
}

}  // namespace ductledger::duct
