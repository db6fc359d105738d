#pragma once

#include <optional>
#include <string>
#include <vector>

#include "layout/layout.hpp"
#include "picture/placement.hpp"
#include "picture/svg.hpp"

/// The sign of each kind of piece, drawn with the airflow in its true direction. The signs are
/// this program's own; `legend_svg` says what each means.
namespace ductledger::picture {

/// Where a sign stands on the paper.
struct SignPlace {
  SvgPoint at;                       ///< its middle; of a cap, the duct's end
  SvgPoint flow{1.0, 0.0};           ///< the way of the air, unit length
  std::optional<SvgPoint> downward;  ///< where down points on the paper; nothing: seen from above
  bool emphasized = false;
};

/// The sign of a piece that is none of straight, flex and elbow.
void write_sign(Svg& svg, const layout::Piece& piece, const SignPlace& at);

/// How air leaves the run: arrows beyond its end. @param sign of the cap, or `open_end`
void write_outflow(Svg& svg, fitting::Sign sign, const SignPlace& at);

/// What a sign covers, for labels to keep away.
[[nodiscard]] std::vector<LabelBox> sign_boxes(const layout::Piece& piece, const SignPlace& at);
[[nodiscard]] std::vector<LabelBox> outflow_boxes(fitting::Sign sign, const SignPlace& at);

/// Marks on the line itself.
void write_break(Svg& svg, const SignPlace& at);   ///< a straight drawn shorter than its length
void write_toward(Svg& svg, const SignPlace& at);  ///< a duct that comes toward the reader
void write_away(Svg& svg, const SignPlace& at);    ///< a duct that goes away from the reader

/// A sheet with every sign and what it means.
[[nodiscard]] std::string legend_svg(PictureUse use = PictureUse::file);

}  // namespace ductledger::picture
