#pragma once

#include <optional>
#include <span>
#include <string>

#include "house/answers.hpp"
#include "solve/airflow_band.hpp"
#include "solve/ledger.hpp"

/// A calculated layout: what findings, rules and studies look at.
namespace ductledger::result {

/// A value with its band.
struct Band {
  double low = 0.0;
  double high = 0.0;
};

/// What is known of an airflow: at the end of a curve it is a bound.
enum class Bound { none, exact, at_least, at_most };

/// The figures of a speed that views show.
struct Figures {
  Bound bound = Bound::none;
  double airflow_m3_s = 0.0;           ///< 0 without flow; else as the operating point
  double standard_airflow_m3_s = 0.0;  ///< mass flow over 1.20138 kg/m3
  double static_pressure_pa = 0.0;     ///< fan total pressure less that of its outlet's velocity
  std::optional<double> share_of_rated;
};

/// One speed, calculated.
struct SpeedResult {
  std::size_t index = 0;  ///< in layout.fan->speeds
  std::string name;
  bool locked_out = false;
  solve::SpeedFan fan;
  solve::OperatingPoint point;
  Figures figures;
  std::optional<solve::OperatingPoint> other_shape;  ///< two points: the straight line's answer
  std::optional<solve::RatedAirflow> rated;
  std::optional<solve::Ledger> ledger;     ///< where an airflow is known (found, or a curve's end)
  std::optional<solve::AirflowBand> band;  ///< status found
  /// Its limits; where the status is a bound, with the doubt of run and fan on both bounds. An open
  /// end is minus or plus infinity.
  std::optional<Band> airflow_band_m3_s;
  std::optional<house::SpeedHouse> house;  ///< where the layout has a house
};

/// All that a finding may look at.
struct Case {
  const layout::Layout* layout = nullptr;
  const fitting::Catalogue* catalogue = nullptr;
  const solve::CompiledRun* run = nullptr;
  const house::CompiledHouse* house = nullptr;  ///< null: the layout has none
  std::span<const SpeedResult> speeds;
  std::optional<std::size_t> headline;  ///< in `speeds`: the highest speed not locked out

  /// What run and house ask of a fan.
  [[nodiscard]] solve::Demand demand() const noexcept {
    return house::demand(*run, house == nullptr ? nullptr : house->coupled());
  }
};

}  // namespace ductledger::result
