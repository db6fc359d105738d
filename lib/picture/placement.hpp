#pragma once

#include <cstddef>
#include <vector>

#include "picture/svg.hpp"

/// Labels beside a drawing: none covers a line, another label or another label's leader.
namespace ductledger::picture {

struct LabelBox {
  double left = 0.0;
  double top = 0.0;
  double right = 0.0;
  double bottom = 0.0;
};
struct LabelSegment {
  SvgPoint from;
  SvgPoint to;
  int owner = -1;  ///< the piece it draws; -1: none
};
[[nodiscard]] double distance(const SvgPoint& from, const LabelSegment& to);
/// Whether a segment passes through a box.
[[nodiscard]] bool meets(const LabelSegment& segment, const LabelBox& box);
[[nodiscard]] bool meets(const LabelBox& a, const LabelBox& b);
[[nodiscard]] bool holds(const LabelBox& box, const SvgPoint& point);
/// The least box around both, or around a box and a point.
[[nodiscard]] LabelBox united(const LabelBox& a, const LabelBox& b);
[[nodiscard]] LabelBox united(const LabelBox& box, const SvgPoint& point);
/// The box, larger by a margin on every side.
[[nodiscard]] LabelBox grown(const LabelBox& box, double margin_px);

struct LabelWanted {
  std::vector<SvgPoint> anchors;  ///< points of what the label speaks of, the best first
  int owner = -1;  ///< its piece among the scene's lines and symbols; -1: none of them
  double width_px = 0.0;
  double height_px = 0.0;
};
struct LabelPlaced {
  LabelBox box;
  LabelSegment leader;  ///< from the anchor to the box
};

/// A leader shorter than this is not drawn: its label stands close enough to speak for itself.
inline constexpr double kShownPx = 16.0;
/// Within this of its anchor a leader lies on its own line and in its own sign.
inline constexpr double kOwnPx = 12.0;
[[nodiscard]] bool is_shown(const LabelSegment& leader);

struct LabelSymbol {
  LabelBox box;
  int owner = -1;  ///< the piece it belongs to; -1: none
};
struct LabelScene {
  std::vector<LabelSegment> lines;   ///< what must stay visible
  std::vector<LabelSymbol> symbols;  ///< the same, as boxes
  bool thorough = false;             ///< search long, where a short search found no place
  double farthest_px = 1e9;          ///< of a label from its anchor
  /// Where more labels than these stay in conflict, none makes room for another any more.
  std::size_t most_in_conflict = static_cast<std::size_t>(-1);
  LabelBox area;  ///< preferred; labels may leave it where nothing else is free
};

/// A place for each label, in the order given: every place around the anchors is judged, the best
/// taken one after the other, then those in conflict are moved until none is or nothing improves.
/// A leader ends nearest to its own piece, and crosses no line and no symbol where that can be had.
/// The same input gives the same places.
[[nodiscard]] std::vector<LabelPlaced> place_labels(const LabelScene& scene,
                                                    const std::vector<LabelWanted>& wanted);

/// Which labels still cover something, end nearer to another piece than to their own, or have a
/// leader along or across a line, a symbol or another leader.
[[nodiscard]] std::vector<std::size_t> conflicts(const LabelScene& scene,
                                                 const std::vector<LabelWanted>& wanted,
                                                 const std::vector<LabelPlaced>& placed);

/// Which labels to leave out so that none of the rest covers a line, a symbol or another label, and
/// no leader runs through one: of two that meet the later goes.
[[nodiscard]] std::vector<std::size_t> covering(const LabelScene& scene,
                                                const std::vector<LabelWanted>& wanted,
                                                const std::vector<LabelPlaced>& placed);

}  // namespace ductledger::picture
