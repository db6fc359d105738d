#pragma once

#include <optional>
#include <string>
#include <vector>

#include "site/measured.hpp"

/// What is needed when a finished run is handed over: the figures to find, where to read them, and
/// what to look at.
namespace ductledger::site {

/// What a speed should show.
struct ExpectedSpeed {
  std::size_t speed = 0;                     ///< in check.speeds
  std::optional<ExpectedStatic> collar;      ///< nothing: the fan stands elsewhere
  std::optional<ExpectedStatic> at_hole;     ///< at the gauge's hole, against the room
  std::optional<ExpectedStatic> across_fan;  ///< the rise, where the fan stands elsewhere
};

/// A speed with every filter of the run at twice its drop (assumed: a loaded filter).
struct LoadedFilter {
  std::size_t speed = 0;
  double airflow_m3_s = 0.0;
  double lost_m3_s = 0.0;
  std::optional<double> collar_static_pa;
};

/// Something to look at on site, with a line to write down what was seen.
struct SiteCheck {
  std::string what;
  std::string how;
};

struct CommissionResult {
  study::CheckResult check;
  std::vector<ExpectedSpeed> speeds;
  std::optional<TestHole> gauge_hole;  ///< nothing: no straight to drill
  std::optional<TestHole> traverse_plane;
  std::vector<LoadedFilter> loaded;  ///< empty: no filter is charged in the run
  std::string loaded_why_not;        ///< where `loaded` is empty
  std::vector<SiteCheck> checks;
};

[[nodiscard]] base::Checked<CommissionResult> commission(layout::Layout layout,
                                                         const fitting::Catalogue& catalogue);

}  // namespace ductledger::site
