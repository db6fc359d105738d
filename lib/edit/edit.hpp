#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/checked.hpp"
#include "duct/section.hpp"
#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"

/// Changes that a person could make to a layout. Each function edits the tree that the layout was
/// read from and reads it again, so that the answer is what editing the file would give: sections,
/// headings, rise and default types follow by themselves. The layout passed in stays as it is;
/// edits chain by `and_then`.
///
/// Refused, with the reason in one diagnostic (rule `cannot-edit`, or that of the reader), where
/// the change does not fit. What an edit had to settle besides stands in the new layout's
/// `remarks`. Pieces are named by their index in `run.pieces`.
namespace ductledger::edit {

using Edited = base::Checked<layout::Layout>;

/// What stands between the collar and a duct of another section.
enum class CollarJoint {
  abrupt,   ///< no piece: row 0 of the ledger
  gradual,  ///< a transition of the usual type as the first piece
};

/// The section that stands in place of one in force.
using SectionMap = std::function<duct::Section(const duct::Section&)>;

/// Every piece at the section that `to` gives for its own. The collar keeps its size; where the
/// first piece is no transition, `joint` stands before a first section unlike it. Transitions lead
/// from and to the new sections, those that lead nowhere any more are dropped, and one is added
/// where none was. Coefficients of transitions whose sections change are dropped; a `loss` keeps
/// its loss, since what is in the way stays as it is. A type that the catalogue does not know for
/// the new section gives way to the nearest: smooth-radius for gored and smooth elbows and flexible
/// bends, else the usual one.
struct SectionChange {
  SectionMap to;
  CollarJoint joint = CollarJoint::gradual;
};
[[nodiscard]] Edited with_sections(const layout::Layout& layout,
                                   const fitting::Catalogue& catalogue,
                                   const SectionChange& change);
/// The whole run at one section.
struct WholeRun {
  duct::Section section;
  CollarJoint joint = CollarJoint::gradual;
};
[[nodiscard]] Edited with_section(const layout::Layout& layout,
                                  const fitting::Catalogue& catalogue,
                                  const WholeRun& run);

/// Each leg of a run at one section: before, between and behind its junctions. A branch begins at
/// the section of its first leg; so does a run without a stated collar.
struct RunSections {
  std::optional<std::size_t> branch;  ///< in `Layout::branches`; nothing: the run
  std::vector<duct::Section> legs;    ///< one more than the run has junctions
};
[[nodiscard]] Edited with_leg_sections(const layout::Layout& layout,
                                       const fitting::Catalogue& catalogue,
                                       const std::vector<RunSections>& runs);

/// Another elbow of the catalogue at the same place and turn: a figure stated for the old one goes,
/// its parameters go where the new type does not take them.
struct ElbowChange {
  std::size_t piece = 0;
  std::string type;  ///< empty: as it is
  std::optional<double> radius_ratio;
};
[[nodiscard]] Edited with_elbow(const layout::Layout& layout,
                                const fitting::Catalogue& catalogue,
                                const ElbowChange& change);

/// Two elbows of half the angle, of the same type, one after the other.
[[nodiscard]] Edited with_elbow_halved(const layout::Layout& layout,
                                       const fitting::Catalogue& catalogue,
                                       std::size_t piece);

/// Two elbows of which the second takes back the turn of the first, with nothing but duct between.
struct Offset {
  std::size_t first = 0;
  std::size_t last = 0;
  double sideways_m = 0.0;  ///< how far the duct beyond it moves when it is taken out
};
[[nodiscard]] std::vector<Offset> offsets(const layout::Layout& layout);
/// Without the offset: the duct between keeps its length along the heading, so that the run reaches
/// as far as before, `sideways_m` beside its old place.
[[nodiscard]] Edited without_offset(const layout::Layout& layout,
                                    const fitting::Catalogue& catalogue,
                                    const Offset& offset);

/// Another type at a fitting's place; figures and parameters stated for the old one go. The one
/// cap of a run is `cap_of`.
struct TypeChange {
  std::size_t piece = 0;
  std::string type;
};
[[nodiscard]] Edited with_type(const layout::Layout& layout,
                               const fitting::Catalogue& catalogue,
                               const TypeChange& change);
[[nodiscard]] std::optional<std::size_t> cap_of(const layout::Layout& layout);

/// A straight in place of a flexible duct, of the material in force there.
[[nodiscard]] Edited with_rigid(const layout::Layout& layout,
                                const fitting::Catalogue& catalogue,
                                std::size_t piece);
/// A flexible duct pulled to `stretched` of its full length and held without sag.
struct Stretch {
  std::size_t piece = 0;
  double stretched = 1.0;  ///< [1] installed over fully stretched length, 0.3 to 1
};
[[nodiscard]] Edited with_stretch(const layout::Layout& layout,
                                  const fitting::Catalogue& catalogue,
                                  const Stretch& stretch);
/// A straight or flexible duct of another length, its cut length where it is a straight.
struct LengthChange {
  std::size_t piece = 0;
  double length_m = 0.0;
};
[[nodiscard]] Edited with_length(const layout::Layout& layout,
                                 const fitting::Catalogue& catalogue,
                                 const LengthChange& change);

/// The fan before a piece, or at the collar. Nothing else is added: with the fan away from the
/// collar the hood's entry and filter are not in its curve.
[[nodiscard]] Edited with_fan_before(const layout::Layout& layout,
                                     const fitting::Catalogue& catalogue,
                                     std::size_t piece);
[[nodiscard]] Edited with_fan_at_collar(const layout::Layout& layout,
                                        const fitting::Catalogue& catalogue);

/// A straight's material, which holds from there on, moves to the next straight.
[[nodiscard]] Edited without_piece(const layout::Layout& layout,
                                   const fitting::Catalogue& catalogue,
                                   std::size_t piece);
/// `text` is one piece as a file writes it behind the dash: `elbow: {type: gored-5, turn: up}`.
struct PieceText {
  std::size_t piece =
      0;  ///< replaced, or the one it is put before; the count of pieces: at the end
  std::string text;
};
[[nodiscard]] Edited with_piece_replaced(const layout::Layout& layout,
                                         const fitting::Catalogue& catalogue,
                                         const PieceText& piece);
[[nodiscard]] Edited with_piece_inserted(const layout::Layout& layout,
                                         const fitting::Catalogue& catalogue,
                                         const PieceText& piece);
/// One key of one piece; a bare value first becomes the key that it stands for. An empty value
/// takes the key out.
struct PieceKey {
  std::size_t piece = 0;
  std::string key;
  std::string value;
};
[[nodiscard]] Edited with_piece_key(const layout::Layout& layout,
                                    const fitting::Catalogue& catalogue,
                                    const PieceKey& change);
/// One value of the file by its keys, such as `{"run", "heading"}`; mappings on the way are made.
/// An empty value takes the key out.
struct ValueChange {
  std::vector<std::string> keys;
  std::string value;
};
[[nodiscard]] Edited with_value(const layout::Layout& layout,
                                const fitting::Catalogue& catalogue,
                                const ValueChange& change);

/// The same with a value of several keys, as a file writes it: `{kind: powered, airflow: 200 cfm}`.
[[nodiscard]] Edited with_text(const layout::Layout& layout,
                               const fitting::Catalogue& catalogue,
                               const ValueChange& change);

/// A section as a layout writes it, exact: inches where sixteenths fit, else millimetres, else
/// metres.
[[nodiscard]] std::string section_value(const duct::Section& section);
/// A length as a layout writes it, exact in the same way: `6 ft 6-1/2 in`, `450 mm`.
[[nodiscard]] std::string length_value(double length_m);

}  // namespace ductledger::edit
