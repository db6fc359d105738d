#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "network/network.hpp"
#include "solve/ledger.hpp"

/// A layout with branches as a network: which leg is which part of the file.
namespace ductledger::network {

/// One leg as a run of its own.
struct LegPart {
  layout::Layout layout;  ///< its pieces alone; its fan where one stands in it
  solve::CompiledRun run;
  std::optional<std::size_t> branch;     ///< in `Layout::branches`; none: a leg of the run
  std::size_t first_piece = 0;           ///< index of its first piece in that run
  std::size_t ends_at = kNone;           ///< junction; none: it leads outdoors
  std::optional<solve::SpeedFan> fan{};  ///< of a branch, at the speed it runs at
};

/// The piece behind a junction, and what is to be said of it.
struct JunctionPart {
  std::optional<std::size_t> run;     ///< in `Layout::branches`; none: of the run
  std::size_t piece = 0;              ///< index in that run
  std::size_t branch = 0;             ///< the one that joins
  double standard_uncertainty = 0.0;  ///< [1] relative, of both coefficients
  bool outside_area_range = false;    ///< the type's source gives area ratios 0.1 to 1
  bool area_changes = false;  ///< the type's figures are for a straight leg as wide as the combined
};

struct CompiledNetwork {
  Network network;  ///< without the main fan, which each speed brings
  std::vector<LegPart> legs;
  std::vector<JunctionPart> junctions;
  std::size_t collar_leg = kNone;
  std::size_t fan_leg = kNone;      ///< where the main fan stands; none: there is none
  std::vector<std::size_t> inlets;  ///< [branches] first leg of each
  solve::SiteAir air;               ///< of the leg that leads outdoors
  bool stack_unknown = false;       ///< some leg's rise is not known, and the densities differ

  /// A branch's fan of which too little is known; the network then has no answer.
  [[nodiscard]] const LegPart* undetermined() const noexcept;
};

/// Fails with diagnostics at the pieces that no catalogue entry fits.
[[nodiscard]] base::Checked<CompiledNetwork> compile(const layout::Layout& layout,
                                                     const fitting::Catalogue& catalogue,
                                                     const solve::CompileOptions& options = {});

}  // namespace ductledger::network
