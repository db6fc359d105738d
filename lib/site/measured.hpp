#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "site/gauge.hpp"
#include "site/traverse.hpp"
#include "study/branches.hpp"

/// What readings on site mean: the airflow behind them, and what may have changed.
namespace ductledger::site {

/// A gauge good to 1 % of the reading or 0.2 Pa, the larger; taken as one standard uncertainty.
/// @source ca-ra3-7 (seen)
[[nodiscard]] double gauge_uncertainty_pa(double reading_pa) noexcept;

/// An airflow with the range that the reading leaves open, k = 2.
struct AirflowRead {
  double airflow_m3_s = 0.0;
  result::Band band;
  bool open_low = false;   ///< the range runs into the first point of the fan curve
  bool open_high = false;  ///< ... into its last
  bool is_bound = false;   ///< beyond the printed points: one end of `band`, no airflow is told
};

enum class Verdict {
  as_calculated,          ///< inside the doubt of fan, fittings and gauge: no fault is named
  more_resistance,        ///< behind the tap, or the fan runs faster than stated
  less_pressure,          ///< a blockage before the tap, a slow fan, or a run freer than stated
  more_airflow,           ///< the run is freer or the fan faster than stated
  tells_little,           ///< the curve is flat there
  several_airflows,       ///< the curve has this pressure at more than one airflow
  fan_below_curve,        ///< airflow and pressure read together lie below the curve
  fan_above_curve,        ///< ... above it
  above_the_first_point,  ///< more pressure than at the first point, which is no shut-off: at most
                          ///< that point's airflow, where the fan falls
  above_the_curve,        ///< more pressure than the fan makes anywhere on its curve
  below_the_curve,        ///< less than at the end of its curve
  not_comparable          ///< nothing was calculated to hold it against
};
inline constexpr auto kVerdictWords =
    base::words<Verdict>({{Verdict::as_calculated, "as-calculated"},
                          {Verdict::more_resistance, "more-resistance"},
                          {Verdict::less_pressure, "less-pressure"},
                          {Verdict::more_airflow, "more-airflow"},
                          {Verdict::tells_little, "tells-little"},
                          {Verdict::several_airflows, "several-airflows"},
                          {Verdict::fan_below_curve, "fan-below-curve"},
                          {Verdict::fan_above_curve, "fan-above-curve"},
                          {Verdict::above_the_first_point, "above-the-first-point"},
                          {Verdict::above_the_curve, "above-the-curve"},
                          {Verdict::below_the_curve, "below-the-curve"},
                          {Verdict::not_comparable, "not-comparable"}});
[[nodiscard]] constexpr const char* word(Verdict verdict) { return kVerdictWords.of(verdict); }

/// A fault that would explain an extra coefficient, and how far it would have to go.
struct Fault {
  std::string what;  ///< `damper-closed`, `flex-compressed`, `cap-blocked`
  units::Message text;
  double amount = 0.0;  ///< angle [rad], compression [1], free share of the opening [1]
  std::string unit;     ///< `rad` or `1`
  std::optional<std::size_t> piece;  ///< in layout.run.pieces
};

/// Loss that the run does not account for.
struct Extra {
  double pressure_pa = 0.0;   ///< at the airflow read; negative: the run costs less than calculated
  double coefficient = 0.0;   ///< on the collar's velocity pressure; never negative
  double doubt_pa = 0.0;      ///< k = 2, of run, fan and reading together
  std::vector<Fault> faults;  ///< empty where the loss lies inside the doubt
};

/// How a stated requirement stands by this reading.
enum class ByMeasurement { none, met, not_met, not_shown };
inline constexpr auto kByMeasurementWords =
    base::words<ByMeasurement>({{ByMeasurement::met, "met"},
                                {ByMeasurement::not_met, "not met"},
                                {ByMeasurement::not_shown, "not shown"},
                                {ByMeasurement::none, "none"}});
[[nodiscard]] constexpr const char* word(ByMeasurement state) {
  return kByMeasurementWords.of(state);
}

/// One reading, judged.
struct Judged {
  layout::Measurement reading;  ///< its place spelled out where it was `hole`
  std::size_t speed = 0;        ///< in check.speeds, or in those of the network
  std::string speed_name{};     ///< empty: a network without a main fan
  std::string inlet{};          ///< of a network: the branch, `collar`
  bool trunk = false;           ///< of a network: behind a junction, more than its inlet's air
  bool has_fan = true;          ///< a fan stands in the leg that was read
  std::optional<double> calculated_m3_s{};  ///< what was calculated to flow there
  std::optional<result::Band> calculated_band_m3_s{};
  std::optional<double> required_m3_s{};
  std::vector<AirflowRead> airflows;  ///< ascending; by a gauge several may fit
  std::optional<TraverseAirflow> traverse;
  std::optional<ExpectedStatic> expected;
  bool above_expected = false;  ///< the static pressure read lies above the band of `expected`
  /// With airflow and static pressure both read: the fan's static pressure over its curve's there.
  std::optional<double> fan_share_of_curve;
  std::optional<Extra> extra;
  std::vector<units::Message> causes;  ///< what would explain it, likeliest first; may be empty
  Verdict verdict = Verdict::not_comparable;
  ByMeasurement requirement = ByMeasurement::none;
};

/// What the inlets read at one speed draw together, each at its last reading of an airflow.
struct Together {
  std::string speed;
  std::size_t inlets = 0;  ///< that were read
  std::size_t of = 0;      ///< that the network has
  double airflow_m3_s = 0.0;
  double doubt_m3_s = 0.0;              ///< k = 2, of the instruments
  double calculated_m3_s = 0.0;         ///< of the same inlets
  std::optional<double> leaves_m3_s{};  ///< a traverse behind every junction
  double leaves_doubt_m3_s = 0.0;       ///< k = 2
};

struct MeasuredResult {
  study::CheckResult check;  ///< of a layout with branches `as_single`
  std::vector<Judged> readings;
  std::vector<Together> together{};  ///< of a network: speeds at which two inlets or more were read
};

/// Judges readings against a calculated layout. Fails (one diagnostic a reading) on a negative
/// static pressure behind the fan, on a static reading before it or of an unknown curve, on a hole
/// in a run that has no straight for one, and on a speed that has no fan.
[[nodiscard]] base::Checked<MeasuredResult> measured(
    study::CheckResult check,
    const fitting::Catalogue& catalogue,
    const std::vector<layout::Measurement>& readings);

/// The same of a layout with branches. A reading is of one leg: that of its place, else that of its
/// inlet. What it says is held against the whole network with that leg at the airflow read and the
/// others following. A pressure tells an airflow where a fan stands in the leg, or where the leg
/// starts in the room: there the air falls through the pieces before the hole. Elsewhere it is
/// compared with what was calculated. Fails too on a flow hood's airflow beside a pressure behind a
/// junction, and on a pressure at the very start of an inlet without a fan.
[[nodiscard]] base::Checked<MeasuredResult> measured(
    const study::NetworkResult& result,
    const fitting::Catalogue& catalogue,
    const std::vector<layout::Measurement>& readings);

}  // namespace ductledger::site
