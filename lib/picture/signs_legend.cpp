#include <iterator>
#include <optional>
#include <string>

#include "picture/signs.hpp"
#include "picture/vector_internal.hpp"

namespace ductledger::picture {
namespace {

using fitting::Sign;
using layout::Piece;
using layout::PieceKind;

struct SignRow {
  PieceKind kind;
  std::optional<Sign> sign;
  const char* text;
};
constexpr SignRow kSignRows[] = {
    {PieceKind::damper, Sign::leaf, "backdraft flap: dot at its hinge, opens with the air"},
    {PieceKind::damper, Sign::weighted_leaf, "barometric damper: ring for its weight"},
    {PieceKind::damper, Sign::hand_blade, "butterfly damper: turns about its middle"},
    {PieceKind::damper, Sign::motor_blade, "motorized damper: box for its motor"},
    {PieceKind::transition, Sign::slope, "gradual transition; a diagonal where the shape changes"},
    {PieceKind::transition, Sign::step, "abrupt change of section"},
    {PieceKind::filter, Sign::folds, "baffle filter"},
    {PieceKind::filter, Sign::mesh, "mesh filter"},
    {PieceKind::filter, Sign::grains, "carbon filter"},
    {PieceKind::screen, std::nullopt, "screen"},
    {PieceKind::fan, std::nullopt, "fan: the point shows where it blows"},
    {PieceKind::junction, Sign::joins_45, "junction: a branch joins at its angle"},
    {PieceKind::junction, Sign::divides, "junction that divides the air"},
    {PieceKind::loss, std::nullopt, "stated loss"},
    {PieceKind::entry, Sign::plain_mouth, "plain entry"},
    {PieceKind::entry, Sign::flange, "flanged entry"},
    {PieceKind::entry, Sign::flare, "bellmouth entry"},
    {PieceKind::entry, Sign::taper, "tapered hood"},
    {PieceKind::entry, Sign::blades, "intake louver"},
    {PieceKind::cap, Sign::wall_hood, "wall cap with flap: the air leaves downward"},
    {PieceKind::cap, Sign::roof_hood, "roof cap with flap: the air leaves to the side"},
    {PieceKind::cap, Sign::rain_cone, "rain cap: the air leaves under its cone"},
    {PieceKind::cap, Sign::blades, "louver"},
    {PieceKind::cap, Sign::eaves, "soffit vent"},
    {PieceKind::cap, Sign::bars, "grille"},
    {PieceKind::cap, Sign::end_flap, "flap on the duct's end"},
    {PieceKind::cap, Sign::open_end, "open end"},
};

/// Marks on the line itself.
struct MarkRow {
  void (*write)(Svg&, const SignPlace&);
  const char* text;
};
constexpr MarkRow kMarkRows[] = {
    {write_break, "break mark: drawn shorter than its length"},
    {write_toward, "the duct comes toward the reader"},
    {write_away, "the duct goes away from the reader"},
};

constexpr double kLegendRowPx = 44.0;
constexpr std::size_t kLegendRows = (std::size(kSignRows) + std::size(kMarkRows) + 1) / 2;

/// Rows in two columns: a piece of duct with its sign, and what the sign means.
class Legend {
 public:
  explicit Legend(PictureUse use)
      : svg_({.width_px = 860.0,
              .height_px = kLegendRowPx * static_cast<double>(kLegendRows) + 20.0,
              .title = "Signs of the drawings",
              .description =
                  "Each sign of a piece of the run and what it means; air goes to the right.",
              .id = "legend",
              .use = use}) {}

  void add(const SignRow& row) {
    const SvgPoint cell = next_cell();
    const bool last = row.kind == PieceKind::cap;
    // A roof cap stands on a rising duct, a soffit vent looks down.
    const bool rises = last && (row.sign == Sign::roof_hood || row.sign == Sign::rain_cone);
    SignPlace place{
        .at = {cell.x + 40.0, cell.y}, .flow = {1.0, 0.0}, .downward = SvgPoint{0.0, 1.0}};
    if (rises) {
      place.flow = {0.0, -1.0};
      place.at = {cell.x + 40.0, cell.y + 2.0};
    }
    duct(
        row.kind == PieceKind::entry ? place.at : plus(place.at, place.flow, rises ? -14.0 : -34.0),
        last ? place.at : plus(place.at, place.flow, 34.0));
    write_sign(svg_, shown_piece(row), place);
    if (last) {
      write_outflow(svg_, *row.sign, place);
    }
    words(cell, row.text);
  }

  void add(const MarkRow& row) {
    const SvgPoint cell = next_cell();
    duct({cell.x + 6, cell.y}, {cell.x + 74, cell.y});
    row.write(svg_, {.at = {cell.x + 40.0, cell.y}, .flow = {1.0, 0.0}, .downward = std::nullopt});
    words(cell, row.text);
  }

  [[nodiscard]] std::string finish() { return svg_.finish(); }

 private:
  [[nodiscard]] SvgPoint next_cell() {
    const std::size_t i = taken_++;
    return {i / kLegendRows == 0 ? 20.0 : 440.0,
            34.0 + kLegendRowPx * static_cast<double>(i % kLegendRows)};
  }

  [[nodiscard]] static Piece shown_piece(const SignRow& row) {
    Piece piece(row.kind);
    piece.sign = row.sign;
    if (row.kind == PieceKind::transition) {
      piece.upstream = duct::Section::round(units::metres(0.2));
      piece.downstream = duct::Section::round(units::metres(0.15));
    }
    return piece;
  }

  void duct(const SvgPoint& from, const SvgPoint& to) {
    svg_.leaf("path", {{"class", "line run"}, {"d", svg_path({from, to})}});
  }

  void words(const SvgPoint& cell, const char* text) {
    svg_.text("text", text, {{"class", "label"}, {"x", cell.x + 96.0}, {"y", cell.y + 4.0}});
  }

  Svg svg_;
  std::size_t taken_ = 0;
};

}  // namespace

std::string legend_svg(PictureUse use) {
  Legend legend(use);
  for (const SignRow& row : kSignRows) {
    legend.add(row);
  }
  for (const MarkRow& row : kMarkRows) {
    legend.add(row);
  }
  return legend.finish();
}

}  // namespace ductledger::picture
