#pragma once

#include <optional>
#include <string>
#include <vector>

#include "site/measured.hpp"

/// What is needed when a finished run is handed over: the figures to find, where to read them, and
/// what to look at.
namespace ductledger::site {

/// A hole in a straight, by its place along the run.
struct TestHole {
  std::size_t piece = 0;            ///< in layout.run.pieces
  double from_start_m = 0.0;        ///< from the start of that straight
  double upstream_diameters = 0.0;  ///< of straight duct before it
  double downstream_diameters = 0.0;
  bool good_plane = false;  ///< 7.5 before and 2 after, common practice
};

/// What a speed should show.
struct ExpectedSpeed {
  std::size_t speed = 0;  ///< in check.speeds
  std::optional<ExpectedStatic> collar;
  std::optional<double> at_hole_pa;  ///< static pressure at the gauge's hole, against the room
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
