#pragma once

#include <optional>
#include <vector>

#include "base/words.hpp"
#include "house/band.hpp"
#include "house/limits.hpp"
#include "house/zone.hpp"
#include "solve/airflow_bounds.hpp"

/// What a designer asks of a house: how far it is pulled down, and what would keep it within a
/// limit.
namespace ductledger::house {

/// An appliance's airflow and the depressurisation to hold the room at.
struct Held {
  double airflow_m3_s = 0.0;
  double depressurisation_pa = 0.0;
};

/// Outdoor air that is missing when the room is held there [m3/s]: what an opening would have to
/// bring beside the leaks and the makeup air of the zone. Negative: more comes in than goes out.
[[nodiscard]] double missing_air_m3_s(const Zone& zone, const Held& held) noexcept;

/// Airflow at 50 Pa of the house [m3/s] whose leaks bring just what is missing, with the zone's
/// exponent; its own leaks are not counted. 0: no leaks are needed. Nothing where no leak brings
/// air, since wind presses on the envelope less than the room is drawn down.
[[nodiscard]] std::optional<double> airtightness_at_50_pa_m3_s(const Zone& zone, const Held& held);

/// An opening by its free area.
struct Opening {
  double free_area_m2 = 0.0;
  double round_diameter_m = 0.0;
  double discharge_coefficient = 0.6;
};

/// The opening that brings an airflow of outdoor air at a pressure: A = Q / (Cd sqrt(2 dP / rho)).
struct OpeningWanted {
  double airflow_m3_s = 0.0;
  double difference_pa = 0.0;
  double density_kg_m3 = 0.0;
  double discharge_coefficient = 0.6;
};
[[nodiscard]] Opening opening(const OpeningWanted& wanted) noexcept;

/// A round opening tried in place of the zone's own.
struct OpeningTried {
  double diameter_m = 0.0;
  double airflow_m3_s = 0.0;  ///< of the appliance
  double depressurisation_pa = 0.0;
};

enum class Verdict { no_limit, met, not_met, not_shown };
inline constexpr auto kVerdictWords = base::words<Verdict>({{Verdict::no_limit, "no-limit"},
                                                            {Verdict::met, "met"},
                                                            {Verdict::not_met, "not-met"},
                                                            {Verdict::not_shown, "not-shown"}});
[[nodiscard]] constexpr const char* word(Verdict verdict) { return kVerdictWords.of(verdict); }

/// What a speed's depressurisation was found with.
enum class AirflowBasis { operating_point, rated_airflow, bounds };

/// At the limit: what is needed for the house to end there, the run solved against it.
struct AtLimit {
  double airflow_m3_s = 0.0;  ///< of the appliance, on the highest stable crossing
  double missing_m3_s = 0.0;  ///< 0 or less: no opening is needed
  std::optional<Opening> opening;
  /// Airflow at 50 Pa at which the limit is just met without a further opening.
  std::optional<double> airtightness_m3_s;
};

/// Makeup air that runs only when somebody starts it.
struct WithMakeup {
  solve::OperatingPoint point;
  Balance balance;
};

/// The house at one speed.
struct SpeedHouse {
  bool coupled = false;  ///< false: the leakage is not known, `balance` says nothing
  AirflowBasis basis = AirflowBasis::operating_point;
  Balance balance;                           ///< at the operating point
  double judged_airflow_m3_s = 0.0;          ///< by bounds: their high end
  double judged_depressurisation_pa = 0.0;   ///< on the highest stable crossing
  std::optional<DepressurisationBand> band;  ///< of the judged depressurisation
  std::optional<double> airflow_without_house_m3_s;
  std::optional<WithMakeup> with_makeup;
  Verdict verdict = Verdict::no_limit;
  std::optional<AtLimit> at_limit;
  std::vector<OpeningTried> openings;  ///< where the limit is not met
};

/// A speed as solved with the house, and what its airflow is uncertain by.
struct SpeedSolved {
  const solve::FanAtSpeed* fan = nullptr;  ///< null: not determined, an airflow is held
  solve::OperatingPoint point;
  std::optional<double> rated_airflow_m3_s;
  double airflow_doubt = 0.0;  ///< [1] one standard uncertainty, relative
  /// What it moves at least and at most, doubt included, where bounds are all that is known of it.
  std::optional<solve::AirflowBounds> bounds;
};

/// @return nothing where there is no house to speak of, or no airflow
[[nodiscard]] std::optional<SpeedHouse> at_speed(const layout::Layout& layout,
                                                 const solve::CompiledRun& run,
                                                 const CompiledHouse& house,
                                                 const SpeedSolved& speed);

}  // namespace ductledger::house
