#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "solve/run.hpp"

namespace ductledger::solve {

/// A dryer's duct by the prescriptive table: its length and what its elbows count for.
struct DryerRun {
  struct Elbow {
    std::size_t piece = 0;  ///< index in run.pieces
    double length_m = 0.0;
    bool listed = false;  ///< false: not in the table, counted as the 4 in mitered elbow
  };
  double duct_m = 0.0;  ///< straights and flexible duct, transition duct at the start left out
  double transition_duct_m = 0.0;  ///< flexible duct before any other piece, which does not count
  double elbows_m = 0.0;
  double total_m = 0.0;          ///< duct and elbows
  double greatest_length_m = 0;  ///< 35 ft
  bool other_size = false;       ///< some duct is not the 4 in round that the table is made for
  std::vector<Elbow> elbows;
};

/// The duct that the table is made for: 4 in round. @source irc-dryer
[[nodiscard]] duct::Section dryer_table_section();

/// Nothing unless the appliance is a clothes dryer. Legs of elbows are part of what they count for.
/// Smooth-radius elbows have the stated radius r/D times D; mitered ones count as the mitered row,
/// all others (gored, adjustable, flexible, smooth of no stated radius) as not listed.
/// @source irc-dryer
[[nodiscard]] std::optional<DryerRun> dryer_run(const layout::Layout& layout,
                                                const CompiledRun& run);

}  // namespace ductledger::solve
