#pragma once

#include <vector>

#include "site/measured.hpp"

namespace ductledger::site {

/// A loss that the run does not account for, at the airflow read.
struct Unaccounted {
  const layout::Run& pieces;  ///< of the run, or of one leg of it
  const solve::CompiledRun& run;
  const fitting::Catalogue& catalogue;
  std::size_t first_piece = 0;  ///< of the leg in its run
  double airflow_m3_s = 0.0;
  double extra_pa = 0.0;           ///< above 0
  double extra_coefficient = 0.0;  ///< on the collar's velocity pressure
};

/// Faults that people meet, each solved for how far it would have to go: a blade closed, a flexible
/// piece pushed together, a cap's opening blocked. Those the run has no piece for are left out but
/// for the blade, which stands for anything in the way.
[[nodiscard]] std::vector<Fault> faults(const Unaccounted& loss);

}  // namespace ductledger::site
