#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "layout/read_internal.hpp"

/// What the readers of the kinds of pieces share.
namespace ductledger::layout {

/// Along the run: section, wall, heading and turning of the duct as each piece leaves them.
struct Walk {
  explicit Walk(Reading& of);

  Reading& reading;
  yaml::Problems& problems;
  Run& run;
  duct::Section section;
  std::string material;
  double roughness_m = 0.0;
  std::optional<Direction> heading;
  bool heading_lost = false;            ///< a fault took the heading: no more is said of it
  std::optional<Direction> width;       ///< where the section's width lies
  std::vector<std::size_t> to_centres;  ///< straights measured so; indices in run.pieces
  bool type_failed = false;             ///< of the piece being read

  /// A stated section lies as the layout format says; afterwards the duct carries it along.
  void settle_width();
};

constexpr Range kPieceLength{0.001, 1000.0, "more than 0 ft, up to 3000 ft"};

/// A quantity of a piece; its place is kept.
std::optional<double> read_quantity(Walk& walk,
                                    yaml::MapReader& map,
                                    Piece& piece,
                                    std::string_view key,
                                    units::Dimension dimension,
                                    const Range& range);
void read_note(yaml::MapReader& map, Piece& piece);

// Straights and flexible duct.
void read_straight(Walk& walk, Piece& piece, const yaml::Node& value);
void read_flex(Walk& walk, Piece& piece, const yaml::Node& value);
/// `measured: to-centres`: what the elbows at both ends take off the cut length.
void subtract_legs(Walk& walk);

// Fittings.
void read_elbow(Walk& walk, Piece& piece, const yaml::Node& value);
void read_transition(Walk& walk, Piece& piece, const yaml::Node& value);
/// Dampers, caps, screens, filters, entries.
void read_fitting(Walk& walk, Piece& piece, const yaml::Node& value);
/// A fitting's type out of the catalogue's of its kind.
void read_type(Walk& walk, const yaml::Node& node, Piece& piece);
void read_junction(Walk& walk, Piece& piece, const yaml::Node& value);
/// Keys that every fitting shares; the catalogue's parameters of the type among them.
void read_common(Walk& walk, yaml::MapReader& map, Piece& piece);
/// The type that shares the greatest part of its words with what was written: `wall-cap` is near
/// `wall-hood-flap`. The kind's own word tells no type from another. Nothing where two share as
/// much.
std::optional<std::string> by_shared_words(const std::string& text,
                                           PieceKind kind,
                                           const std::vector<std::string>& types);
/// The type of a fitting that states none.
void settle_type(Walk& walk, Piece& piece);

// Figures of the user's own.
/// `0.4`, or `0.4 +- 20 %` where the doubt is one standard uncertainty.
void read_coefficient(Walk& walk, const yaml::Node& node, Piece& piece);
void read_filter_drop(Walk& walk, yaml::MapReader& map, Piece& piece);
/// A maker's drop table of a cap or damper, as total pressure from here on.
void read_maker_drops(Walk& walk,
                      yaml::MapReader& map,
                      Piece& piece,
                      std::vector<StatedDrop>& into);
void read_loss(Walk& walk, Piece& piece, const yaml::Node& value);

}  // namespace ductledger::layout
