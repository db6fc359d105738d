#pragma once

#include <optional>
#include <string>

#include "picture/plot.hpp"
#include "study/check.hpp"

/// The plots of a result.
namespace ductledger::picture {

/// Fan and run over airflow with the operating points, their bands and the rated points; nothing
/// where no curve is known.
[[nodiscard]] std::optional<Plot> curves_plot(const study::CheckResult& result,
                                              units::System system);

/// Total and static pressure along the run; nothing without a ledger.
[[nodiscard]] std::optional<Plot> pressure_plot(const study::CheckResult& result,
                                                units::System system);

/// Delivered, required and rated airflow on one line; empty where no airflow is known.
[[nodiscard]] std::string answer_svg(const study::CheckResult& result,
                                     const PlotOptions& options,
                                     const std::string& id);

/// How far each speed draws the house down, with its band, against the limit; empty where the
/// house's leakage is not known.
[[nodiscard]] std::string house_svg(const study::CheckResult& result,
                                    const PlotOptions& options,
                                    const std::string& id);
/// What it shows, in one sentence.
[[nodiscard]] std::string house_reading(const study::CheckResult& result);

}  // namespace ductledger::picture
