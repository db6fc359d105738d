#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

/// Quantities as people write them: `6 ft 6 in`, `6' 6"`, `3-1/4 in`, `400cfm`, `in.w.g.`.
namespace ductledger::units {

enum class Dimension {
  number,              ///< no unit
  ratio,               ///< percent, stored as a fraction
  length,              ///< m
  area,                ///< m2
  airflow,             ///< m3/s
  pressure,            ///< Pa
  velocity,            ///< m/s
  temperature,         ///< K, a point on the scale
  density,             ///< kg/m3
  viscosity,           ///< Pa s
  angle,               ///< rad
  thermal_resistance,  ///< `R-8`, in h ft2 degF/Btu as the trade writes it, stored as m2 K/W
  volume,              ///< m3
  current,             ///< A
  voltage,             ///< V
};

/// What is wrong with a text, with the place inside it in bytes.
struct TextFault {
  std::string rule;     ///< `missing-unit`, `wrong-unit`, `unknown-unit`, `not-a-number`, ...
  std::string message;  ///< as in `base::Diagnostic`
  std::string label;
  std::string help;  ///< may be empty
  std::size_t offset = 0;
  std::size_t length = 0;
};

template <class T>
using TextResult = std::variant<T, TextFault>;

/// One quantity in SI. Forgiving in form (see the layout format), never in meaning: a bare number
/// where a unit belongs is a fault that names the units that fit.
[[nodiscard]] TextResult<double> parse_quantity(std::string_view text, Dimension dimension);

/// `0 250 450 600 680 cfm`: decimals with spaces between and one unit at the end.
[[nodiscard]] TextResult<std::vector<double>> parse_column(std::string_view text,
                                                           Dimension dimension);

/// A length at the start of `text`, for forms such as `10 x 3-1/4 in round` that hold several: the
/// value in the unit as written and what is left. See duct/section_text.
struct LeadingLength {
  double value = 0.0;  ///< in metres when `has_unit`, else the bare number
  bool has_unit = false;
  double unit_m = 0.0;   ///< metres in the unit as written; 0 for none, or for feet with inches
  std::size_t used = 0;  ///< bytes read
};
[[nodiscard]] TextResult<LeadingLength> parse_leading_length(std::string_view text);

/// The units that fit, for messages: `in, ft, mm, cm or m`.
[[nodiscard]] std::string units_that_fit(Dimension dimension);
[[nodiscard]] std::string_view name_of(Dimension dimension);

/// A text in plain spelling; `origin[i]` is the byte of the text as written from which byte i came,
/// with one more entry for the end.
struct PlainText {
  std::string text;
  std::vector<std::size_t> origin;
};
[[nodiscard]] PlainText plain_text(std::string_view text);

/// A fault found in plain spelling, moved to its place in the text as written.
[[nodiscard]] TextFault as_written(TextFault fault, const PlainText& plain);

/// The text with vulgar fractions, prime and curly quote marks, the multiplication sign,
/// superscript digits, the degree sign and no-break spaces in their plain form (`¼` -> ` 1/4`, `×`
/// -> `x`).
[[nodiscard]] std::string plain_spelling(std::string_view text);

}  // namespace ductledger::units
