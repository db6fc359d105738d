#include "base/decimal.hpp"

#include <charconv>
#include <cmath>
#include <cstdlib>
#include <string>
#include <system_error>

namespace ductledger::base {

#if defined(_LIBCPP_VERSION) && _LIBCPP_VERSION < 200000

// This library reads whole numbers only. The one locale it has in a page is "C".
Decimal read_decimal(std::string_view text) {
  if (text.empty() || text.front() == '+' || text.front() == ' ') {
    return {};
  }
  const std::string ended(text);
  char* end = nullptr;
  const double value = std::strtod(ended.c_str(), &end);
  const auto length = static_cast<std::size_t>(end - ended.c_str());
  const bool zero_written =
      ended.substr(0, ended.find_first_of("eE")).find_first_of("123456789") == std::string::npos;
  return {.value = value,
          .length = length,
          .in_range = std::isfinite(value) && (value != 0.0 || zero_written)};
}

#else

Decimal read_decimal(std::string_view text) {
  Decimal out;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), out.value);
  out.length = static_cast<std::size_t>(end - text.data());
  out.in_range = error != std::errc::result_out_of_range;
  return out;
}

#endif

}  // namespace ductledger::base
