#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "units/unit_table.hpp"

namespace ductledger::units {

/// A quantity as people read it, with its unit: `412 cfm` / `194 L/s`, `0.330 inH2O` / `82.2 Pa`,
/// `1180 fpm` / `6.0 m/s`, `6 ft 6 in` / `1.98 m`, `75 degF`, `40 %`. @param si value in SI.
[[nodiscard]] std::string display(double si, Dimension dimension, System system);
/// The number alone, as `display` rounds it; for table cells under a unit heading.
[[nodiscard]] std::string display_number(double si, Dimension dimension, System system);
/// The unit alone: `cfm`, `inH2O`, `fpm`.
[[nodiscard]] std::string_view display_unit(Dimension dimension, System system);
/// The printed number turned back into SI (the rounding made visible), for comparing what is shown.
[[nodiscard]] double displayed_value(double si, Dimension dimension, System system);

/// A sentence with quantities left open, so that one finding reads in both unit systems.
/// `pattern` holds one `{}` for each value.
struct Message {
  struct Value {
    double si = 0.0;
    Dimension dimension = Dimension::number;
    /// What is no single number, such as a section, as read in ip and in si; stands in its place.
    std::array<std::string, 2> texts{};

    [[nodiscard]] std::string text(System system) const;
    friend bool operator==(const Value&, const Value&) = default;
  };
  std::string pattern;
  std::vector<Value> values{};

  [[nodiscard]] std::string text(System system) const;
  [[nodiscard]] bool empty() const noexcept { return pattern.empty(); }
  friend bool operator==(const Message&, const Message&) = default;
};

/// A user's text (a speed's name, a note) as it may stand in a pattern.
[[nodiscard]] std::string literal(std::string_view text);
/// Adds the second message's words and values after the first's.
void append(Message& to, const Message& more);

}  // namespace ductledger::units
