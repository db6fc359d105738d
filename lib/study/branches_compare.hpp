#pragma once

#include <optional>
#include <string>
#include <vector>

#include "build/parts.hpp"
#include "study/branches.hpp"
#include "study/compare.hpp"

/// Layouts side by side of which some have branches: inlet by inlet.
namespace ductledger::study {

struct ComparedNetworkSpeed {
  std::string name;
  std::size_t index = 0;  ///< in the run's NetworkResult::speeds
  /// [inlets] against the inlet of that name of the first run; nothing: it has none such, or either
  /// does not flow.
  std::vector<std::optional<Difference>> differences;
};

struct ComparedNetwork {
  std::string name;  ///< of the variant, or the layout's title
  NetworkResult check;
  build::PartsResult parts;
  std::vector<ComparedNetworkSpeed> speeds;
  double depth_m = 0.0;   ///< the greatest smaller side of all legs' ducts
  double space_m3 = 0.0;  ///< taken by straights and flexible duct of all legs, outside
  double duct_surface_m2 = 0.0;
  int hole_count = 0;
};

struct NetworkComparison {
  std::vector<ComparedNetwork> runs;  ///< two or more; a layout without branches is one inlet
  std::vector<std::string> unlike;    ///< what else differs: fans, air, house
  /// At the headline every inlet surely draws more than that of its name in each other run.
  std::optional<std::size_t> best;
  std::vector<units::Message> answer;
  std::vector<std::string> cautions;
};

/// Whether `compare_networks` is asked rather than `compare`: some layout has branches.
[[nodiscard]] bool any_branches(const std::vector<Compared>& layouts);

/// As `compare`. Speeds are told apart by name; an inlet is that of its name.
[[nodiscard]] base::Checked<NetworkComparison> compare_networks(std::vector<Compared> layouts);

}  // namespace ductledger::study
