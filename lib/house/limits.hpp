#pragma once

#include <optional>
#include <string>
#include <vector>

#include "layout/layout.hpp"

namespace ductledger::house {

/// One published list's limit for an appliance.
struct ListedLimit {
  double pressure_pa = 0.0;
  std::string key;     ///< `bpi-building-analyst`
  std::string title;   ///< of the source
  std::string status;  ///< `memory`, `derived`, ...
  std::string note;    ///< may be empty
};

/// The depressurisation that a house should not exceed.
struct Limit {
  double pressure_pa = 0.0;
  std::string appliance;  ///< the kind that governs; empty: nothing burns inside
  base::Span span;
  std::vector<ListedLimit> listed;  ///< every list that names it, strictest first
};

/// The lowest limit among the combustion appliances inside the air barrier; nothing where the
/// layout does not say what burns inside.
[[nodiscard]] std::optional<Limit> limit_of(const layout::House& house);

/// That of a house with a natural-draft water heater, which no other appliance undercuts.
[[nodiscard]] Limit strictest_limit();

}  // namespace ductledger::house
