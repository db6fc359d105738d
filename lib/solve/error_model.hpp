#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "solve/operating_point.hpp"

/// What is not known exactly of a run and its fan, and what that does to the airflow.
///
/// Each error source is one standard normal number z, shared by everything the error touches: all
/// fittings of one catalogue entry, all friction, all terms through one size of section, the fan
/// and the duct through one air. A run at other values of z is solved like any run.
namespace ductledger::solve {

enum class Spread { normal, lognormal };
inline constexpr auto kSpreadWords =
    base::words<Spread>({{Spread::normal, "normal"}, {Spread::lognormal, "lognormal"}});
[[nodiscard]] constexpr const char* word(Spread spread) { return kSpreadWords.of(spread); }

/// From this relative standard uncertainty on an error is lognormal: a factor exp(s z) with
/// s^2 = ln(1 + u^2) in place of 1 + u z.
inline constexpr double kLognormalFrom = 0.3;

/// One error, with where its size comes from.
struct ErrorSource {
  /// What shares it, within a layout: `entry:cap/grille`, `stated:NAME` or `stated:PIECE`,
  /// `friction-law`, `roughness:MATERIAL`, `diameter:8 in round`, `length:PIECE`,
  /// `compression`, `opening-pressure:PIECE`, `fan-pressure`, `fan-airflow`, `density`,
  /// `wind-coefficient`.
  std::string key;
  /// As `key`, but also told apart between layouts where it must be: what two layouts call by one
  /// identity is one error in both. Figures stated in a layout and its lengths carry their line and
  /// the layout's hash, so that edits of a layout keep them; the fan's errors the printed points of
  /// its largest speed.
  std::string identity;
  std::string title;                  ///< `cap conical-rain-cap`
  double standard_uncertainty = 0.0;  ///< [1] relative, [m] diameter and length, [1] coefficient
  std::string unit = "1";             ///< of standard_uncertainty: `1` relative, `m`, `coefficient`
  Spread spread = Spread::normal;
  std::string basis;
  std::string status;
  bool stated = false;  ///< the layout states its size
};

/// A run with its errors at some z.
struct PerturbedRun {
  RunLoss loss;
  std::optional<FanAtSpeed> fan;
  EndPressures ends;  ///< start: the room's pressure as given to the model
  /// For `operating_point`; the run has to outlive it.
  [[nodiscard]] Demand demand() const noexcept { return {.loss = loss, .ends = ends}; }
};

/// The errors of a run with one fan. Immutable.
class ErrorModel {
 public:
  /// @param fan the shape that is meant, from `speed_fan`; null: the run alone
  struct Fan {
    const FanAtSpeed* fan = nullptr;
    CurveOrigin origin = CurveOrigin::none;
    double room_pa = 0.0;  ///< pressure at the run's start, held
  };
  ErrorModel(const layout::Layout& layout, const CompiledRun& run, const Fan& fan);

  [[nodiscard]] std::span<const ErrorSource> sources() const noexcept { return sources_; }
  /// The run at z, shape [sources]; z = 0 is the run as compiled.
  [[nodiscard]] PerturbedRun at(std::span<const double> z) const;

  /// A factor that an error puts on a term.
  struct Factor {
    std::size_t source = 0;
    double u = 0.0;  ///< [1] relative standard uncertainty
    [[nodiscard]] double at(double z) const noexcept;
  };
  /// The errors of one piece, by the part of its loss that they touch.
  struct PieceErrors {
    PieceLoss loss;                   ///< as compiled
    std::vector<Factor> coefficient;  ///< on square, linear and Reynolds terms
    std::vector<Factor> friction;
    std::optional<Factor> opening;  ///< on the opening pressure of a flap
    std::ptrdiff_t reference = -1;  ///< in `sections`: whose area the coefficient stands on
  };
  /// A size of section and its error.
  struct SectionError {
    duct::Section section;
    std::optional<std::size_t> source;
    double u_m = 0.0;
  };

  /// For who walks the arrays: the sampler.
  struct Arrays {
    std::vector<PieceErrors> pieces;  ///< [pieces of the run]
    std::vector<SectionError> sections;
    std::vector<FrictionGroup> groups;
    std::vector<std::size_t> group_sections;  ///< [groups] in `sections`
    std::optional<Factor> fan_pressure;
    std::optional<Factor> fan_airflow;
    std::optional<std::size_t> outlet_section;  ///< in `sections`
    std::optional<Factor> density;
    std::optional<std::size_t> wind;
    double wind_u_pa = 0.0;  ///< pressure of one standard uncertainty of the wind coefficient
    double room_pa = 0.0;
    double wind_pa = 0.0;
    double stack_pa = 0.0;
    double dynamic_pa_s2_m6 = 0.0;  ///< of the fan
  };
  [[nodiscard]] const Arrays& arrays() const noexcept { return arrays_; }
  [[nodiscard]] const FanAtSpeed* fan() const noexcept { return fan_ ? &*fan_ : nullptr; }

  /// What each part adds to g = fan - losses - ends per unit of z of one source, all errors taken
  /// linear (1 + u z). Allocates nothing.
  /// @param at an airflow within the fan's curve
  /// @param out [pieces + 2]: the pieces, the fan, the ends; written
  struct PartsAt {
    double airflow_m3_s = 0.0;
    std::size_t source = 0;
  };
  void derivatives(const PartsAt& at, std::span<double> out) const noexcept;

 private:
  class Builder;
  std::vector<ErrorSource> sources_;
  Arrays arrays_;
  std::optional<FanAtSpeed> fan_;
};

/// What one error does to an airflow.
struct SourceEffect {
  std::size_t source = 0;
  double airflow_m3_s = 0.0;  ///< change per one standard uncertainty, with its sign
  double share = 0.0;         ///< of the variance
};

/// First-order propagation through the implicit operating point,
/// dQ/dz = -(dg/dz)/(dg/dQ); contributions of different sources add as squares.
/// @source gum (JCGM 100:2008, 5.1.2); nist-tn-1297, section 5
struct FirstOrder {
  double airflow_m3_s = 0.0;          ///< the operating point
  double standard_m3_s = 0.0;         ///< one combined standard uncertainty
  double slope_pa_s_m3 = 0.0;         ///< dg/dQ there
  std::vector<SourceEffect> effects;  ///< [sources], greatest share first
  std::vector<double> piece_shares;   ///< [pieces of the run] of the variance
  double fan_share = 0.0;
  double ends_share = 0.0;
};
/// @param airflow_m3_s [m3/s] of a stable operating point of the model's run and fan
[[nodiscard]] FirstOrder first_order(const ErrorModel& model, double airflow_m3_s);

/// Standard uncertainty of the difference a - b [m3/s], errors of one identity counted once.
struct Compared {
  const ErrorModel& model;
  const FirstOrder& result;
};
[[nodiscard]] double difference_standard_m3_s(const Compared& a, const Compared& b);

}  // namespace ductledger::solve
