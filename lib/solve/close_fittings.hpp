#pragma once

#include "solve/run.hpp"

namespace ductledger::solve {

/// Fittings so close that one disturbs the stream of the next. Puts `close` on the later piece of
/// each pair, and charges what is published.
///
/// Two catalogue elbows of one section with nothing but straight duct between them:
/// - two rectangular mitres of 90 degrees without vanes, offset (out as it came in) or in two
///   planes, corners within 10 sides: both take the factor C pair / (2 x 1.2) of the table, 1.2
///   being the single square mitre; their own aspect factor stays. A turn back (U) has no row.
/// - two round elbows of 30 degrees that are no mitres, offset, corners within 3 diameters: both
///   take C pair / 0.16, the pair at 3 diameters.
/// The table's spacing runs from corner to corner: at 0 its offset costs nothing and its pair in
/// two planes what one mitre costs. Between others that stand within 2 diameters of each other
/// nothing is charged and the band is wider (`error_model`). The same holds for the first elbow
/// behind a fan at the collar (no clothes dryer: its blower stands elsewhere) and for a cap behind
/// an elbow.
/// @source smacna3 (memory): support table `two-close-elbows`; 2 diameters: assumed
struct CloseFittings {
  const layout::Layout& layout;
  const fitting::Catalogue& catalogue;
};
void couple_close_fittings(CompiledRun& run, const CloseFittings& of);

/// Straight duct [m] from which on no published pair of elbows is charged, legs left out: the last
/// node of each row, times the larger side.
[[nodiscard]] double pairs_end_m(const duct::Section& section, const fitting::Catalogue& catalogue);

/// Straight duct between two fittings under which one is taken to disturb the other [diameters].
inline constexpr double kCloseDiameters = 2.0;
/// That of a section [m], by its diameter of equal area.
[[nodiscard]] double close_m(const duct::Section& section);

}  // namespace ductledger::solve
