#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/text.hpp"
#include "build/bill_internal.hpp"

namespace ductledger::build::bill {
namespace {

/// What a slanting duct takes of a surface along its slope: its size that way, over the cosine of
/// the angle at which it comes.
/// @param across axis square to the surface
double along_slant_m(const duct::Section& size,
                     const layout::PlacedPiece& placed,
                     std::size_t across) {
  const layout::Direction& heading = placed.heading_in;
  const double cosine = std::abs(heading[across]);
  const double sine = std::sqrt(1.0 - cosine * cosine);
  // In the section, square to the heading and below the slope.
  layout::Direction way{};
  for (std::size_t k = 0; k < 3; ++k) {
    way[k] = ((k == across ? 1.0 : 0.0) - heading[across] * heading[k]) / sine;
  }
  const double along_width = std::abs(layout::dot(placed.width_in, way));
  const double along_height = std::abs(layout::dot(layout::cross(heading, placed.width_in), way));
  const double w = size.width_m();
  const double h = size.height_m();
  const double taken = size.shape() == duct::Shape::round ? w
                       : size.shape() == duct::Shape::flat_oval
                           ? h + (w - h) * along_width
                           : w * along_width + h * along_height;
  return taken / cosine;
}

}  // namespace

void Bill::holes() {
  const auto geometry = is_branch() ? branch_geometry_ : layout::run_geometry(result_.layout);
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    const Piece& piece = pieces()[i];
    const std::string& through = piece.around().through;
    if (through != "ceiling" && through != "roof" && through != "wall") {
      continue;
    }
    Hole hole;
    hole.piece = layout::piece_number(i);
    hole.through = through;
    hole.size = widened(piece.upstream, result_.hole_clearance_m);
    cross(piece, hole, geometry ? &geometry->pieces[i] : nullptr);
    if (is_branch()) {
      hole.notes.push_back(
          hole.centre
              ? units::
                    Message{"its place is counted back from the junction, which is taken to have "
                            "no length: measure before cutting",
                            {}}
              : units::Message{"measure its place on site: that of the branch is not known", {}});
    }
    if (piece.around().insulation_m2k_w) {
      hole.notes.push_back({"leaves no room for the insulation around the duct", {}});
    }
    result_.holes.push_back(std::move(hole));
  }
  if (result_.holes.empty()) {
    return;
  }
  assume(
      "a hole is the duct and {} on every side (common practice); clearance to what burns is "
      "by the manufacturer's instructions and local code",
      {length(result_.hole_clearance_m)});
  if (is_branch() && !geometry) {
    return;
  }
  assume_places();
  for (const Hole& hole : result_.holes) {
    if (hole.centre && hole.centre->nominal) {
      assume(
          "holes after an elbow whose legs are not stated lie where its usual radius puts "
          "them: measure the elbow in hand");
      break;
    }
  }
}

void Bill::assume_places() {
  const auto& at = result_.layout.appliance.collar_at;
  if (is_makeup()) {
    if (!at.above_floor_m || !at.from_wall_m || !at.from_center_m) {
      assume(
          "where `intake_at` does not state the floor, the wall or the appliance's centerline, a "
          "hole's place is from the intake");
    }
    return;
  }
  assume("the collar is taken to lie on the appliance's centerline");
  if (!at.above_floor_m || !at.from_wall_m) {
    assume(
        "where `collar_at` does not state the floor or the wall, a hole's place is from the "
        "collar");
  }
}

duct::Section Bill::widened(const duct::Section& section, double by_m) {
  const auto width = units::metres(section.width_m() + 2.0 * by_m);
  const auto height = units::metres(section.height_m() + 2.0 * by_m);
  switch (section.shape()) {
    case duct::Shape::round:
      return duct::Section::round(width);
    case duct::Shape::rectangular:
      return duct::Section::rectangular(width, height);
    case duct::Shape::flat_oval:
      break;
  }
  return duct::Section::flat_oval(width, height);
}

void Bill::cross(const Piece& piece, Hole& hole, const layout::PlacedPiece* placed) const {
  if (!piece.heading_in) {
    hole.notes.push_back({"no heading is known: size for a duct that crosses squarely", {}});
    return;
  }
  const layout::Direction& heading = *piece.heading_in;
  const std::size_t across = hole.through != "wall"                        ? 2
                             : std::abs(heading[0]) > std::abs(heading[1]) ? 0
                                                                           : 1;
  const double along = std::abs(heading[across]);
  if (along < 0.1) {
    hole.notes.push_back({"by its heading this piece runs along the " + hole.through, {}});
    return;
  }
  if (along < 1.0 - 1e-6) {
    hole.stretched_m = placed != nullptr
                           ? along_slant_m(hole.size, *placed, across)
                           : std::max(hole.size.width_m(), hole.size.height_m()) / along;
    hole.notes.push_back(
        {"the center is that of the piece's middle: it moves with the place "
         "where the duct crosses",
         {}});
  }
  if (placed != nullptr) {
    hole.centre = centre_of(*placed, across);
    if (hole.size.width_m() != hole.size.height_m()) {
      hole.notes.push_back({std::string("its width lies ") + way_of(placed->width_in), {}});
    }
  }
  if (hole.through == "roof") {
    hole.notes.push_back(
        {"the roof's slope is not stated: the hole in a sloped roof is longer "
         "along the slope",
         {}});
  }
}

const char* Bill::way_of(const layout::Direction& direction) {
  const double side = std::abs(direction[0]);
  const double back = std::abs(direction[1]);
  const double up = std::abs(direction[2]);
  return up > side && up > back ? "up and down" : side >= back ? "left to right" : "front to back";
}

HoleCentre Bill::centre_of(const layout::PlacedPiece& placed, std::size_t across) const {
  HoleCentre centre;
  centre.across = across;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    centre.at_m[axis] = (placed.start[axis] + placed.end[axis]) / 2.0;
  }
  const auto& collar = result_.layout.appliance.collar_at;
  if (collar.from_center_m) {
    centre.from_center_m = *collar.from_center_m + centre.at_m[0];
  }
  if (collar.from_wall_m) {
    centre.from_wall_m = *collar.from_wall_m - centre.at_m[1];
  }
  if (collar.above_floor_m) {
    centre.above_floor_m = *collar.above_floor_m + centre.at_m[2];
  }
  for (std::size_t i = 0; i < placed.piece; ++i) {
    centre.nominal =
        centre.nominal || (pieces()[i].kind == PieceKind::elbow && !pieces()[i].states("legs"));
  }
  return centre;
}

}  // namespace ductledger::build::bill
