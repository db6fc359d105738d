#pragma once

#include <cstddef>
#include <optional>

#include "study/check.hpp"

/// The few figures that both views show and that follow from a result by one multiplication, kept
/// in one place so that the views cannot differ.
namespace ductledger::document {

/// What is known of a speed's airflow.
enum class Bound { none, exact, at_least, at_most };

struct Airflow {
  Bound bound = Bound::none;
  double airflow_m3_s = 0.0;
};
/// `no-flow` is an exact zero; beyond and below the curve its end is the bound.
[[nodiscard]] Airflow airflow(const result::SpeedResult& speed);

/// Mass flow over 1.20138 kg/m3 [m3/s].
[[nodiscard]] double standard_airflow_m3_s(const study::CheckResult& result, double airflow_m3_s);

/// Fan static pressure: fan total pressure less the velocity pressure at its outlet [Pa].
[[nodiscard]] double fan_static_pressure_pa(const study::CheckResult& result,
                                            const solve::OperatingPoint& point);

/// Airflow over rated airflow; nothing where either is not known.
[[nodiscard]] std::optional<double> share_of_rated(const result::SpeedResult& speed);

/// What people name a row by: 0 the change at the collar; nothing for a fan at the collar, stack
/// and wind.
[[nodiscard]] std::optional<int> shown_number(const solve::LedgerRow& row);

/// The piece that costs most.
[[nodiscard]] const solve::LedgerRow* costliest(const solve::Ledger& ledger);

}  // namespace ductledger::document
