#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "air/air.hpp"
#include "base/words.hpp"
#include "duct/friction.hpp"
#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"
#include "solve/loss.hpp"

/// From a layout to plain arrays, and from those to operating points. The arrays know no strings.
namespace ductledger::solve {

/// The air of a layout.
struct SiteAir {
  double density_kg_m3 = 0.0;   ///< in the duct
  double viscosity_pa_s = 0.0;  ///< in the duct
  double outdoor_density_kg_m3 = 0.0;
  double indoor_density_kg_m3 = 0.0;
  double pressure_pa = 0.0;  ///< absolute, at the elevation
  double stack_pa = 0.0;     ///< helps when positive
  double wind_pa = 0.0;      ///< pressure at the cap
  double wind_coefficient = 0.0;
  double back_pressure_pa = 0.0;  ///< held at the outlet at any airflow
  bool stack_unknown = false;     ///< densities differ, but the rise is not known
};

/// What stands close before a fitting, and what that costs.
struct Closeness {
  enum class Kind {
    elbows,  ///< two elbows whose headings are not known
    elbows_offset,
    elbows_turn_back,
    elbows_two_planes,
    collar,
    cap,  ///< the fitting is the cap, an elbow stands before it
  };
  Kind kind = Kind::elbows;
  std::optional<std::size_t> before{};  ///< index in CompiledRun::pieces; none: the collar
  double straight_m = 0.0;              ///< of straight duct between
  double diameters = 0.0;               ///< the same, in diameters of equal area
  double spacing_ratio = 0.0;           ///< corner to corner as the table counts it, with `factor`
  std::optional<double> factor{};       ///< charged on both; none: no figure, the band is wider
  std::string data_set{};
  std::string source{};
  fitting::Status status = fitting::Status::assumed;
};
inline constexpr auto kClosenessWords =
    base::words<Closeness::Kind>({{Closeness::Kind::elbows, "elbows"},
                                  {Closeness::Kind::elbows_offset, "elbows-offset"},
                                  {Closeness::Kind::elbows_turn_back, "elbows-turn-back"},
                                  {Closeness::Kind::elbows_two_planes, "elbows-two-planes"},
                                  {Closeness::Kind::collar, "collar"},
                                  {Closeness::Kind::cap, "cap"}});
[[nodiscard]] constexpr const char* word(Closeness::Kind kind) { return kClosenessWords.of(kind); }

/// One entry of the run with its history, beside its numbers.
struct CompiledPiece {
  std::optional<std::size_t>
      piece;         ///< index in layout.run.pieces; none: the change at the collar or the open end
  std::string word;  ///< `straight`, ..., `change at the collar`, `open end`
  duct::Section upstream = duct::Section::round(units::inches(6.0));
  duct::Section downstream = duct::Section::round(units::inches(6.0));
  double length_m = 0.0;  ///< straights, flex, transitions; else 0
  PieceLoss loss;
  std::optional<fitting::Coefficient> fitting;  ///< from the catalogue
  std::optional<layout::StatedCoefficient> stated;
  double standard_uncertainty = 0.0;  ///< [1] relative, of the coefficient or of the friction
  bool carries_fan = false;
  std::optional<Closeness> close;  ///< see solve/close_fittings.hpp
  double interaction = 1.0;        ///< [1] factor of all pairs it stands in; in `loss`
};

/// A run ready to be solved.
struct CompiledRun {
  SiteAir air;
  std::vector<CompiledPiece> pieces;
  RunLoss loss;
  std::size_t fan_before = 0;  ///< the fan stands before this entry of `pieces`
  /// Section before the fan; the room when the fan is at the collar.
  duct::Section fan_inlet = duct::Section::round(units::inches(6.0));
  duct::Section fan_outlet = duct::Section::round(units::inches(6.0));
  bool fan_at_collar = true;
  double outlet_dynamic_pa_s2_m6 = 0.0;  ///< rho/2 / A^2 at the fan's outlet
  double inlet_dynamic_pa_s2_m6 = 0.0;   ///< at its inlet; 0 when it draws from the room
  duct::Section collar = duct::Section::round(units::inches(6.0));  ///< where a gauge reads
};

/// What may be varied without reading the layout again.
struct CompileOptions {
  bool constant_reynolds = false;  ///< every Reynolds factor taken as 1
  double filter_factor = 1.0;      ///< [1] on the loss of every filter of the run; 2: loaded
  bool joins = false;              ///< the run ends in a junction: no open end is charged
};

/// Fails with diagnostics at the pieces that no catalogue entry fits.
[[nodiscard]] base::Checked<CompiledRun> compile(const layout::Layout& layout,
                                                 const fitting::Catalogue& catalogue,
                                                 const CompileOptions& options = {});

}  // namespace ductledger::solve
