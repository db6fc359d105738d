#pragma once

#include <optional>
#include <string>
#include <vector>

#include "picture/plot.hpp"
#include "study/compare.hpp"

/// The pictures of runs side by side.
namespace ductledger::picture {

/// What each run asks of the fan, the fan at the headline speed, and where they meet, with bands;
/// nothing where no curve is known.
[[nodiscard]] std::optional<Plot> compared_plot(const study::Comparison& result,
                                                units::System system);

/// Each run's delivered airflow less that of the first at the headline speed, with the band of the
/// difference, best first; empty where no difference is known.
[[nodiscard]] std::string differences_svg(const study::Comparison& result,
                                          const PlotOptions& options,
                                          const std::string& id);

}  // namespace ductledger::picture
