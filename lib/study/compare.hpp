#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "build/parts.hpp"
#include "study/check.hpp"

/// Runs side by side.
namespace ductledger::study {

/// Samples of two runs drawn together.
struct DifferenceSamples {
  std::size_t count = 0;
  std::uint64_t seed = 0;
  std::size_t at_bound = 0;  ///< a run ended beyond its fan curve: its bounds count
};

/// A speed of one run against the same speed of the first run.
struct Difference {
  double airflow_m3_s = 0.0;                   ///< this run less the first
  std::optional<result::Band> band_m3_s;       ///< k = 2, what both share counted once
  std::string method;                          ///< `first-order`, `sampled`; empty: no band
  std::optional<DifferenceSamples> samples{};  ///< where drawn; without a band: too many at a bound

  /// Whether the band leaves out zero: only then is one run named as delivering more.
  [[nodiscard]] bool is_sure() const noexcept {
    return band_m3_s && (band_m3_s->low > 0.0 || band_m3_s->high < 0.0);
  }
};

/// One speed of one run.
struct ComparedSpeed {
  std::string name;
  std::size_t index = 0;                 ///< in the run's CheckResult::speeds
  std::optional<double> velocity_m_s;    ///< the greatest along the run
  std::optional<Difference> difference;  ///< not of the first run, nor where either has no airflow
};

struct ComparedRun {
  std::string name;  ///< of the variant, or the layout's title
  CheckResult check;
  build::PartsResult parts;
  std::vector<ComparedSpeed> speeds;
  /// What the fan has to make at `Comparison::common_airflow_m3_s`, against the room drawn down by
  /// that airflow where there is a house.
  double common_pressure_pa = 0.0;
  std::optional<solve::EquivalentLength> equivalent_length{};  ///< at the common airflow
  double depth_m = 0.0;   ///< the greatest smaller side: what a wall or a ceiling has to hold
  double space_m3 = 0.0;  ///< taken by straights and flexible duct, outside
  std::string makeup;     ///< worst level of a finding on makeup air; `none`

  /// The house at the headline speed; null: there is none to speak of.
  [[nodiscard]] const house::SpeedHouse* house() const noexcept;
};

/// One entry of the ledger in the runs that have it, in the order of the first; without numbers:
/// something of the run as a whole.
struct PieceChange {
  std::optional<int> first{};  ///< ledger number in the first run; nothing: it has none such
  std::optional<int> other{};
  units::Message was{};
  units::Message is{};
  std::optional<double> loss_change_pa{};  ///< at the common airflow
};

struct Comparison {
  std::vector<ComparedRun> runs;                  ///< two or more
  std::vector<std::vector<PieceChange>> changes;  ///< [runs - 1]: each against the first
  double common_airflow_m3_s = 0.0;
  std::vector<std::string> unlike;     ///< what else differs: fans, air, appliance
  std::optional<std::size_t> best;     ///< delivers more than each other for sure, at the headline
  std::vector<units::Message> answer;  ///< sentences
  std::vector<std::string> cautions;
};

/// A layout and the catalogue it is calculated with, which outlives the call.
struct Compared {
  layout::Layout layout;
  const fitting::Catalogue* catalogue = nullptr;
};

/// @param layouts two or more; each brings its `variants`, and one that has some may stand alone.
/// Refused: one file twice, a variant that changes nothing, one run alone
[[nodiscard]] base::Checked<Comparison> compare(std::vector<Compared> layouts);

}  // namespace ductledger::study
