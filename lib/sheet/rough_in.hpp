#pragma once

#include <span>
#include <string>
#include <vector>

#include "base/checked.hpp"
#include "build/parts.hpp"
#include "sheet/drawing.hpp"
#include "study/check.hpp"
#include "units/message.hpp"

/// Printed pages from which holes are marked and duct is hung: plan and elevation at one common
/// scale, holes dimensioned from the finished floor, lengths from center to center, what is not
/// known as a blank to fill in. Its figures are those of `parts`.
namespace ductledger::sheet {

/// From the collar or intake, the corner of an elbow, a junction or the end of the run to the next
/// of them.
struct CenterLength {
  std::string from;
  std::string to;
  double length_m = 0.0;
};

/// A drawing at its scale.
struct Scaled {
  Drawing drawing;
  std::string scale_text;  ///< `1:25`, `1/2 in = 1 ft`
};

/// One sheet: the run's, the makeup duct's, or a branch's.
struct RoughIn {
  Scaled paper;         ///< with the breaks of what is too long for its scale
  Scaled whole;         ///< without any
  bool broken = false;  ///< the two differ
  /// Larger than the paper at every scale: drawn smaller there, to no scale.
  bool shrunk = false;
  std::string title;
  std::string part;  ///< of a layout with branches or a makeup duct: which this is
  std::size_t number = 1;
  std::size_t count = 1;
  std::string file;
  std::string sha256;
  std::size_t holes = 0;
  std::vector<CenterLength> lengths;
  std::vector<std::string> sections;  ///< `pieces 1 to 4: 8 in round`
  std::vector<std::string> blanks;    ///< what the layout does not state
  units::System system = units::System::ip;
};

/// Paper without its margins [mm]: A4 where metric, else Letter.
struct Paper {
  double width_mm = 0.0;
  double height_mm = 0.0;
};
[[nodiscard]] Paper paper_of(units::System system) noexcept;

/// A sheet for the run and, behind it, one for each branch, then the same of a makeup duct; what
/// cannot be placed is named among the blanks. Refused where headings of both run and makeup duct
/// are missing, since then nothing can be placed (`nothing-to-draw`), and where run and branches
/// have more than `picture::kMostPiecesDrawn` pieces (`too-many-pieces`); a makeup duct of more
/// counts as not placed.
[[nodiscard]] base::Checked<std::vector<RoughIn>> rough_in(const build::PartsResult& parts,
                                                           units::System system);

/// A name for its picture: the first has no number.
[[nodiscard]] std::string numbered(const std::string& name, const RoughIn& sheet);
/// The sheet on its paper, to scale when printed at its size. @param id unique in its page
[[nodiscard]] std::string rough_in_svg(const RoughIn& sheet, const std::string& id);

/// The drawings at full size in millimeters, or inches with `ip`, without breaks, from the left to
/// the right, as the release 12 of the drawing exchange format: one layer for each `Layer`, lines,
/// circles and texts alone. @param sheets one or more, of one system
[[nodiscard]] std::string rough_in_dxf(std::span<const RoughIn> sheets);

}  // namespace ductledger::sheet
