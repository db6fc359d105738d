#pragma once

#include <optional>
#include <string>
#include <vector>

#include "findings/finding.hpp"
#include "layout/geometry.hpp"
#include "result/requirement.hpp"
#include "solve/dryer_run.hpp"
#include "solve/equivalent_length.hpp"
#include "study/advice.hpp"
#include "study/curves.hpp"
#include "study/nominal.hpp"

/// What runs the solver many times.
namespace ductledger::study {

/// Without a fan: what the run asks for at some airflows.
struct ResistancePoint {
  double airflow_m3_s = 0.0;
  double total_pressure_pa = 0.0;   ///< the fan's total pressure needed
  double static_pressure_pa = 0.0;  ///< the fan's static pressure needed
  bool at_required = false;
  bool at_rating_pressure = false;  ///< where 0.1 or 0.25 inH2O of static pressure is asked for
};

/// What a house that the layout does not state would leave of the headline speed's airflow: houses
/// of 16000 ft3 (assumed) at 3 and 15 air changes an hour at 50 Pa, exponent 0.65, nothing else
/// open. Basis: common knowledge of the trade (recalled), as the classes of the layout's leakage
struct HouseWouldLeave {
  double tight_test_airflow_m3_s = 0.0;  ///< at 50 Pa
  double tight_m3_s = 0.0;
  double old_test_airflow_m3_s = 0.0;
  double old_m3_s = 0.0;
};

/// What a wind on the cap would leave of it, where the layout states none.
struct WindWouldLeave {
  double wind_m_s = 0.0;
  double airflow_m3_s = 0.0;
};

/// What `reported_at: standard` would change, where a leakage does not say what air it is for.
struct LeakageReported {
  double airflow_ratio = 1.0;  ///< [1] of the air that flows in, at one pressure
  double airflow_m3_s = 0.0;   ///< of the headline speed then
  std::optional<double> depressurisation_pa{};
};

/// The result document of `check`; text and JSON are views of it and compute nothing.
struct CheckResult {
  layout::Layout layout;
  solve::CompiledRun run;
  house::CompiledHouse house;  ///< empty where the layout has none
  std::vector<result::SpeedResult> speeds;
  std::optional<std::size_t> headline;      ///< highest speed not locked out
  std::optional<std::size_t> ledger_speed;  ///< the ledger shown
  std::vector<ResistancePoint> resistance;  ///< when there is no operating point to show
  /// For each of `speeds` at its airflow; nothing where none is known.
  std::vector<std::optional<solve::EquivalentLength>> equivalent_lengths;
  /// Without a fan: at the required airflow.
  std::optional<solve::EquivalentLength> required_length;
  std::optional<result::Requirement> requirement;
  std::optional<NominalRoute> nominal;
  std::optional<HouseWouldLeave> house_would_leave{};  ///< no house stated, outdoors, found
  /// Where the layout states a wind, or a back pressure: the headline speed without it.
  std::optional<double> without_wind_m3_s{};
  std::optional<double> without_back_pressure_m3_s{};
  std::optional<LeakageReported> leakage_reported{};
  std::optional<WindWouldLeave> wind_would_leave{};  ///< no wind stated, a cap that it meets
  std::optional<solve::DryerRun> dryer;              ///< by the code's table
  std::optional<Advice> advice;                      ///< where it was asked for
  std::vector<findings::Finding> findings;
  std::vector<std::string> cautions;
  std::string catalogue_hash;
  std::vector<fitting::Catalogue::Added> catalogue_files;  ///< the user's own
  std::optional<layout::RunGeometry> route{};              ///< where every heading is known
  Curves curves{};
  std::vector<ProfilePoint> profile{};  ///< of the ledger shown
  bool samples_asked = false;           ///< the caller wants the sampled band told
};

/// How much of a result is calculated; what is left out is empty.
enum class Depth {
  points,  ///< operating points and ledgers
  bands,   ///< their bands too
  whole    ///< house, requirement, findings, comparisons
};

struct CheckOptions {
  std::string speed{};      ///< empty: the headline speed
  bool advise = false;      ///< also what would help most
  std::size_t samples = 0;  ///< drawn for each speed beside first order; 0: only where needed
  solve::CompileOptions compile{};
  Depth depth = Depth::whole;
};

/// Calculates a layout. Fails only where the catalogue or the speed asked for does not fit.
[[nodiscard]] base::Checked<CheckResult> check(layout::Layout layout,
                                               const fitting::Catalogue& catalogue,
                                               const CheckOptions& options = {});

}  // namespace ductledger::study
