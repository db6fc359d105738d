#pragma once

#include <optional>
#include <string>
#include <vector>

#include "build/parts.hpp"
#include "sheet/drawing.hpp"
#include "study/check.hpp"
#include "units/message.hpp"

/// One printed page from which holes are marked and duct is hung: plan and elevation at one common
/// scale, holes dimensioned from the finished floor, lengths from center to center, what is not
/// known as a blank to fill in. Its figures are those of `parts`.
namespace ductledger::sheet {

/// From the collar, the corner of an elbow or the end of the run to the next of them.
struct CenterLength {
  std::string from;
  std::string to;
  double length_m = 0.0;
};

struct RoughIn {
  Drawing drawing;
  std::string scale_text;  ///< `1:25`, `1/2 in = 1 ft`
  std::string title;
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

/// Nothing where a heading is missing: then nothing can be placed.
[[nodiscard]] std::optional<RoughIn> rough_in(const build::PartsResult& parts,
                                              units::System system);

/// The sheet on its paper, to scale when printed at its size. @param id unique in its page
[[nodiscard]] std::string rough_in_svg(const RoughIn& sheet, const std::string& id);

/// The drawing at full size in millimeters, or inches with `ip`, as the release 12 of the drawing
/// exchange format: one layer for each `Layer`, lines, circles and texts alone.
[[nodiscard]] std::string rough_in_dxf(const RoughIn& sheet);

}  // namespace ductledger::sheet
