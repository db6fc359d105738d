#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "layout/geometry.hpp"
#include "sheet/rough_in.hpp"

namespace ductledger::sheet {

/// How the building is looked at.
struct Sight {
  std::string name;        ///< `Plan`, `Elevation from the front`
  std::size_t across = 0;  ///< axis to the right: 0 x, 1 y
  std::size_t up = 2;      ///< axis up the paper: 1 y, 2 z
  bool measured_across = true;
  [[nodiscard]] Point of(const layout::Point& p) const { return {p[across], p[up]}; }
  /// The axis toward the reader.
  [[nodiscard]] std::size_t depth() const noexcept { return 3 - across - up; }
};

struct Subject {
  const build::PartsResult& parts;
  const layout::RunGeometry& route;
  units::System system;
};

/// One view at the origin of its own coordinates, with its dimensions and its title below.
[[nodiscard]] Drawing drawn_view(const Subject& subject, const Sight& sight, double scale);

/// What the tables and the title block below the drawing take of the paper [mm].
[[nodiscard]] double tables_mm(const RoughIn& sheet);

/// The run's points to which lengths are told: collar, corners, end.
struct Node {
  std::string name;
  layout::Point at{};
  std::optional<int> elbow{};  ///< its piece's number
};
[[nodiscard]] std::vector<Node> nodes_of(const Subject& subject);

}  // namespace ductledger::sheet
