#pragma once

#include <cstddef>
#include <span>
#include <vector>

/// Which stock lengths of duct to buy, and what to cut from each.
namespace ductledger::build {

/// A straight that has to be made from stock.
struct CutDemand {
  double clear_m = 0.0;  ///< length it covers, between the ends of its neighbours, over 0
};

/// What the duct is cut from and how sections join.
struct CutRules {
  std::vector<double> stock_m;  ///< overall lengths on sale, one or more, over `overlap_m`
  double overlap_m = 0.0;       ///< of the end that reaches into the next piece, 0 or more
  double shortest_m = 0.0;      ///< no section covers less, where the straight itself is longer
};

/// One length cut from a stick.
struct Cut {
  std::size_t demand = 0;  ///< index in the demands
  double cut_m = 0.0;      ///< overall, the overlapping end included
};

struct Stick {
  double stock_m = 0.0;
  std::vector<Cut> cuts;
  double offcut_m = 0.0;
};

struct CutList {
  std::vector<Stick> sticks;  ///< longest first
  double bought_m = 0.0;
  double offcut_m = 0.0;
  /// The search ended: no list has fewer sticks, and none of as many sticks buys less.
  bool proven = true;
};

/// The fewest sticks; among those the least length bought; found by branch and bound.
///
/// A straight longer than the longest stock allows is made from as few sections as it takes; each
/// section's length is what it covers and one overlap. Then one section may be taken as the rest
/// and every other one as a whole stick: companions of the sections in their sticks sum to no more
/// than the room beside the rest, so that moving them there costs nothing.
/// @param demands [m] each over 0. @param rules [m] see there
[[nodiscard]] CutList cut_list(std::span<const CutDemand> demands, const CutRules& rules);

}  // namespace ductledger::build
