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
  bool stack_unknown = false;  ///< densities differ, but the rise is not known
};

/// Loss of total pressure of one piece, as numbers:
/// loss(Q) = square Q^2 + linear Q + friction(Q) + reynolds(Q), or a flap's sqrt(p0^2 + (..)^2).
struct PieceLoss {
  double square_pa_s2_m6 = 0.0;
  double linear_pa_s_m3 = 0.0;
  std::ptrdiff_t friction_group = -1;     ///< -1: no friction
  double friction_ratio = 0.0;            ///< [1] L/De times multipliers
  double reynolds_square_pa_s2_m6 = 0.0;  ///< multiplied by the factor at Re = reynolds_s_m3 Q
  double reynolds_s_m3 = 0.0;
  fitting::ReynoldsFactor reynolds;
  double opening_pressure_pa = 0.0;  ///< > 0: gravity flap
};

/// Friction of all lengths that share equivalent diameter and roughness:
/// friction(Q) = ratio f(Re) dynamic Q^2, Re = reynolds_s_m3 Q.
struct FrictionGroup {
  double reynolds_s_m3 = 0.0;
  double relative_roughness = 0.0;
  double dynamic_pa_s2_m6 = 0.0;  ///< rho/2 (4/(pi De^2))^2
  double ratio = 0.0;             ///< sum of L/De times multipliers
};

/// Loss of one piece [Pa]. @param group the one it names; null where it has no friction
[[nodiscard]] double piece_loss_pa(const PieceLoss& piece,
                                   const FrictionGroup* group,
                                   double airflow_m3_s) noexcept;

/// All pieces of a run added up: what the solver walks.
class RunLoss {
 public:
  RunLoss() = default;
  RunLoss(std::vector<FrictionGroup> groups, const std::vector<PieceLoss>& pieces);

  /// Loss of total pressure [Pa] at an airflow >= 0 [m3/s]. Allocates nothing.
  [[nodiscard]] double at(double airflow_m3_s) const noexcept;
  /// Loss of one piece.
  [[nodiscard]] double of(const PieceLoss& piece, double airflow_m3_s) const noexcept;
  /// True where the loss less `minus_square` Q^2 cannot fall with airflow.
  [[nodiscard]] bool rises(double minus_square_pa_s2_m6) const noexcept;
  [[nodiscard]] const std::vector<FrictionGroup>& groups() const noexcept { return groups_; }

 private:
  struct ReynoldsTerm {
    double square_pa_s2_m6;
    double reynolds_s_m3;
    fitting::ReynoldsFactor factor;
  };
  struct FlapTerm {
    double opening_pressure_pa;
    double square_pa_s2_m6;
  };
  double square_ = 0.0;
  double linear_ = 0.0;
  std::vector<FrictionGroup> groups_;
  std::vector<ReynoldsTerm> reynolds_;
  std::vector<FlapTerm> flaps_;
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
};

/// Fails with diagnostics at the pieces that no catalogue entry fits.
[[nodiscard]] base::Checked<CompiledRun> compile(const layout::Layout& layout,
                                                 const fitting::Catalogue& catalogue,
                                                 const CompileOptions& options = {});

}  // namespace ductledger::solve
