#pragma once

#include <cstddef>
#include <string_view>

#include "units/plain_text.hpp"
#include "units/unit_table.hpp"

/// Units in the text of a quantity, and what is said when they are missing or wrong.
namespace ductledger::units {

/// The unit that a text spells: of the wanted dimension if there is one, else of another, else
/// null.
[[nodiscard]] const Unit* find_unit(std::string_view text, Dimension wanted);

[[nodiscard]] TextFault not_a_number(std::string_view text, std::size_t at, Dimension dimension);
[[nodiscard]] TextFault missing_unit(std::string_view text,
                                     std::size_t at,
                                     std::size_t length,
                                     Dimension dimension);
/// What stands where the unit of a quantity is expected, from `at` on, and does not fit.
[[nodiscard]] TextFault unit_fault(std::string_view text, std::size_t at, Dimension dimension);

[[nodiscard]] TextResult<double> in_si(double value, const Unit& unit, std::string_view text);

}  // namespace ductledger::units
