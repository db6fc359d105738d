#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "layout/layout.hpp"

/// Where a run goes in space: x right, y back, z up [m], as seen facing the appliance, the collar
/// at the origin. With `collar_at` the floor lies at z = -above_floor, the wall behind the
/// appliance at y = +from_wall, the left end of the measure at x = -from_left.
namespace ductledger::layout {

using Point = std::array<double, 3>;

/// One piece in its place. Pieces without a stated length take none on the centre line.
struct PlacedPiece {
  std::size_t piece = 0;  ///< index in run.pieces
  Point start{};
  Point end{};
  Point corner{};  ///< elbow: where its two centre lines meet; else as `start`
  Direction heading_in{};
  Direction heading_out{};
  Direction width_in{};  ///< where the section's width lies, before and after the piece
  Direction width_out{};
  std::array<double, 2> legs_m{0.0, 0.0};  ///< elbow: from its ends to the corner
  bool nominal_legs = false;               ///< elbow: legs not stated, taken as `nominal_leg_m`
};

struct RunGeometry {
  std::vector<PlacedPiece> pieces;
  Point outlet{};
  Direction outlet_heading{};
  double length_m = 0.0;      ///< along the centre lines, through the corners
  bool nominal_legs = false;  ///< of any elbow
};

/// The run in space; nothing where a heading is missing.
[[nodiscard]] std::optional<RunGeometry> run_geometry(const Run& run);
[[nodiscard]] std::optional<RunGeometry> run_geometry(const Layout& layout);

/// A branch in space, from the collar as the run is: back from the junction that takes it in, which
/// takes no length. Nothing where a heading of it or of what it joins is missing.
/// @param branch index in `Layout::branches`
[[nodiscard]] std::optional<RunGeometry> branch_geometry(const Layout& layout, std::size_t branch);

/// Two parts of a run whose ducts would take the same place.
struct Clash {
  std::size_t first = 0;  ///< indices in run.pieces
  std::size_t second = 0;
  double distance_m = 0.0;  ///< between their centre lines
  double needed_m = 0.0;    ///< half the smaller side of each
};
/// The first clash along the run. Neighbours across one elbow never clash.
[[nodiscard]] std::optional<Clash> first_clash(const Layout& layout, const RunGeometry& geometry);

}  // namespace ductledger::layout
