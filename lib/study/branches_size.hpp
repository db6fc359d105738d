#pragma once

#include <optional>
#include <string>
#include <vector>

#include "study/branches.hpp"
#include "study/size.hpp"

/// Stock sizes of a layout with branches: one for each leg, so that every inlet draws enough.
namespace ductledger::study {

/// A leg: the part of a run before, between or behind its junctions.
struct SizedLeg {
  std::optional<std::size_t> branch;       ///< in `Layout::branches`; nothing: the run
  std::size_t leg = 0;                     ///< of that run, from its inlet
  double length_m = 0.0;                   ///< of its straights and flexible duct
  std::vector<duct::Section> drawn{};      ///< its straights' sections as the layout has them
  std::optional<duct::Section> section{};  ///< found; nothing: none was
  double airflow_m3_s = 0.0;               ///< with the sizes found
  double velocity_m_s = 0.0;
  units::Message why_not_smaller{};  ///< what the next smaller size would do
};

/// What an inlet wants and what it draws with the sizes found, or the best tried.
struct SizedInlet {
  std::string name;
  std::optional<double> wanted_m3_s{};
  InletStatus status = InletStatus::flowing;
  double airflow_m3_s = 0.0;
  std::optional<result::Band> band{};
};

struct NetworkSizeResult {
  NetworkResult check;  ///< of the layout as it is
  std::size_t speed = 0;
  bool found = false;
  std::vector<SizedLeg> legs;              ///< each run's together, the run first
  std::vector<SizedInlet> inlets;          ///< the collar, then the branches in file order
  std::optional<layout::Layout> layout{};  ///< with the sizes found, or the best tried
  std::optional<double> max_depth_m{};
  std::optional<double> max_velocity_m_s{};
  std::size_t tried = 0;
  std::vector<std::string> breaks_at_every_size{};  ///< no size mends them
  /// Not found: what stands against the best tried.
  std::vector<units::Message> why_not{};
};

/// The smallest round stock sizes (and those of the user's own) by which each inlet draws its
/// required airflow with the low end of its band: no single leg can be a size smaller. A combined
/// leg is nowhere smaller than what joins in it. Sizes that break a rule where others do not are
/// refused, as are those too deep or too fast. `deliver_m3_s` is of the appliance's collar. Fails
/// where no inlet wants an airflow, or no fan is known.
[[nodiscard]] base::Checked<NetworkSizeResult> size_network(layout::Layout layout,
                                                            const fitting::Catalogue& catalogue,
                                                            const SizeOptions& options);

}  // namespace ductledger::study
