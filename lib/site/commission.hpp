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

/// What an inlet of a network should show at one speed.
struct ExpectedInlet {
  std::string name;  ///< the branch, `collar`
  study::InletStatus status = study::InletStatus::flowing;
  double airflow_m3_s = 0.0;
  std::optional<result::Band> band{};
  std::optional<double> required_m3_s{};
  bool controlling = false;           ///< its way has least to spare: no damper belongs there
  std::optional<double> damper_pa{};  ///< what a damper takes with every inlet at its requirement
  std::optional<ExpectedStatic> at_hole{};
  std::optional<double> loaded_m3_s{};  ///< with every filter at twice its drop
};
struct ExpectedNetwork {
  std::string name;  ///< of the speed; empty: no main fan
  bool locked_out = false;
  bool known = false;  ///< else no airflow was found
  double leaves_m3_s = 0.0;
  std::vector<ExpectedInlet> inlets;           ///< [inlets of the layout] the collar first
  std::optional<ExpectedStatic> across_fan{};  ///< the rise, of a main fan away from the collar
};
/// Where to read what an inlet draws; pieces are those of its run.
struct InletHoles {
  std::string name;
  std::optional<TestHole> gauge_hole{};
  std::optional<TestHole> traverse_plane{};
};

struct CommissionResult {
  study::CheckResult check;            ///< of a layout with branches `as_single`
  std::vector<ExpectedSpeed> speeds;   ///< of one run
  std::optional<TestHole> gauge_hole;  ///< nothing: no straight to drill
  std::optional<TestHole> traverse_plane;
  std::vector<LoadedFilter> loaded;  ///< empty: no filter is charged in the run
  std::string loaded_why_not;        ///< where `loaded` is empty
  std::vector<SiteCheck> checks;
  std::vector<ExpectedNetwork> network{};  ///< of a layout with branches, [speeds]
  std::vector<InletHoles> inlets{};        ///< [inlets]
  std::optional<TestHole> all_plane{};     ///< behind the last junction, where all is read at once
};

[[nodiscard]] base::Checked<CommissionResult> commission(layout::Layout layout,
                                                         const fitting::Catalogue& catalogue);

}  // namespace ductledger::site
