#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "units/plain_text.hpp"
#include "units/unit_table.hpp"

/// Quantities as people write them: `6 ft 6 in`, `6' 6"`, `3-1/4 in`, `400cfm`, `in.w.g.`.
namespace ductledger::units {

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
/// What a dimension is written as, for messages: `a plain number`, `an airflow`, ...
[[nodiscard]] std::string expected_form(Dimension dimension);

}  // namespace ductledger::units
