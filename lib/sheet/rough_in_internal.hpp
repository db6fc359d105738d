#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "layout/geometry.hpp"
#include "sheet/breaks.hpp"
#include "sheet/rough_in.hpp"

namespace ductledger::sheet {

/// How the building is looked at.
struct Sight {
  std::string name;        ///< `Plan`, `Elevation from the front`
  std::size_t across = 0;  ///< axis to the right: 0 x, 1 y
  std::size_t up = 2;      ///< axis up the paper: 1 y, 2 z
  bool measured_across = true;
  Breaks breaks{};
  [[nodiscard]] Point of(const layout::Point& p) const {
    return {breaks.drawn(across, p[across]), breaks.drawn(up, p[up])};
  }
  [[nodiscard]] Point way_of(const layout::Direction& d) const { return {d[across], d[up]}; }
  /// The axis toward the reader.
  [[nodiscard]] std::size_t depth() const noexcept { return 3 - across - up; }
  /// From above and from the right the axis points to the reader, from the front away.
  [[nodiscard]] bool comes_toward(const layout::Direction& d) const {
    return (depth() == 1) != (d[depth()] > 0.0);
  }
};

/// The first of a duct that another sheet shows, where it joins this one.
struct Stub {
  layout::Point at{};
  layout::Direction way{};  ///< from there on
  layout::Direction width{};
  duct::Section section = duct::Section::round(units::inches(6.0));
  std::string name{};
  std::string branch{};   ///< its name, of a branch
  double begins_m = 0.0;  ///< beyond the other duct
};

/// The run from the collar on, the makeup duct from outdoors to the room, or a branch of either up
/// to its junction.
struct Subject {
  const build::PartsResult& parts;
  const layout::RunGeometry& route;
  units::System system;
  std::string begins = "collar";  ///< what it begins at
  std::string ends{};             ///< of a branch: the junction that takes it in
  std::vector<Stub> stubs{};
  std::size_t first_hole = 1;  ///< its number; no two holes of a layout have one
  [[nodiscard]] bool is_branch() const { return !parts.branch.empty(); }
  [[nodiscard]] bool is_makeup() const { return parts.duct == build::Duct::makeup; }
  /// Where the duct that it belongs to begins.
  [[nodiscard]] const layout::StartPlace& start() const { return parts.layout.appliance.collar_at; }
  /// What places along an axis are counted from: the appliance's centerline, the wall behind it,
  /// the finished floor; what is not stated is the duct's beginning.
  [[nodiscard]] double datum_m(std::size_t axis) const {
    return axis == 1   ? start().from_wall_m.value_or(0.0)
           : axis == 2 ? -start().above_floor_m.value_or(0.0)
                       : -start().from_center_m.value_or(0.0);
  }
};

/// To place labels takes nearly all the time of a drawing; they only add to what it covers.
enum class Labels { placed, left_out };

/// One view at the origin of its own coordinates, with its dimensions and its title below.
[[nodiscard]] Drawing drawn_view(const Subject& subject,
                                 const Sight& sight,
                                 double scale,
                                 Labels labels = Labels::placed);

/// Draws both views: whole, and with breaks where these allow a larger scale.
void put_drawings(RoughIn& sheet, const Subject& subject);

/// How far a stub is drawn. @param scale of the drawing
[[nodiscard]] double stub_reach_m(const Stub& stub, double scale);

/// Where the appliance is dashed: from and to along each axis.
using Reach = std::array<std::array<double, 2>, 3>;
[[nodiscard]] Reach appliance_reach(const Subject& subject);

/// What the tables and the title block below the drawing take of the paper [mm].
[[nodiscard]] double tables_mm(const RoughIn& sheet);

/// The run's points to which lengths are told: collar, corners, junctions, end.
struct Node {
  enum class Kind { end, elbow, junction };
  std::string name;
  layout::Point at{};
  Kind kind = Kind::end;
  int piece = 0;       ///< its number, of an elbow or a junction
  std::string mark{};  ///< of an end: in dimensions
};
[[nodiscard]] std::vector<Node> nodes_of(const Subject& subject);

}  // namespace ductledger::sheet
