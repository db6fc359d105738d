#pragma once

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
};
/// Whether a segment passes through a box.
[[nodiscard]] bool meets(const LabelSegment& segment, const LabelBox& box);
[[nodiscard]] bool meets(const LabelBox& a, const LabelBox& b);
/// The box, larger by a margin on every side.
[[nodiscard]] LabelBox grown(const LabelBox& box, double margin_px);

struct LabelWanted {
  SvgPoint anchor;  ///< what the label speaks of
  double width_px = 0.0;
  double height_px = 0.0;
};
struct LabelPlaced {
  LabelBox box;
  LabelSegment leader;  ///< from the anchor to the box
};

struct LabelScene {
  std::vector<LabelSegment> lines;  ///< what must stay visible
  std::vector<LabelBox> symbols;    ///< the same, as boxes
  LabelBox area;                    ///< preferred; labels may leave it where nothing else is free
};

/// A place for each label, in the order given: every place around the anchors is judged, the best
/// taken one after the other, then those in conflict are moved until none is or nothing improves.
/// The same input gives the same places.
[[nodiscard]] std::vector<LabelPlaced> place_labels(const LabelScene& scene,
                                                    const std::vector<LabelWanted>& wanted);

}  // namespace ductledger::picture
