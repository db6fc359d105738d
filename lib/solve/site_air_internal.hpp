#pragma once

#include "solve/run.hpp"

namespace ductledger::solve {

/// The wind's share of its dynamic pressure at the end of the run. Roof 0: suction is not credited.
[[nodiscard]] double wind_coefficient(const layout::Layout& layout,
                                      const fitting::Catalogue& catalogue);

/// The stack of a run in this air.
void put_stack(SiteAir& air, const layout::Run& run);

/// @param wind_coefficient as above, whatever the numbers of the site
[[nodiscard]] SiteAir site_air(const layout::Layout& layout, double wind_coefficient);

}  // namespace ductledger::solve
