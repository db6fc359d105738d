#pragma once

#include <string>
#include <vector>

#include "solve/operating_point.hpp"

namespace ductledger::solve {

/// One row: what an entry costs at one airflow. Totals are against outdoors at the cap, the outdoor
/// air column removed: they start at minus the room's depressurisation and end at what
/// wind and a stated back pressure hold at the outlet.
struct LedgerRow {
  int number = 0;     ///< place in the file from 1; a change at the collar 0; fan, stack, wind -1
  std::string piece;  ///< `straight`, `fan`, `stack`, `wind`, `open end`, ...
  std::string type;
  bool type_defaulted = false;
  std::optional<duct::SectionPair> sections;  ///< none: no part of the run, as stack and wind
  double length_m = 0.0;
  double velocity_m_s = 0.0;  ///< in the reference section
  double velocity_pressure_pa = 0.0;
  double friction_factor = 0.0;
  double equivalent_diameter_m = 0.0;
  double reynolds = 0.0;
  double coefficient = 0.0;     ///< loss / velocity pressure, the fitting's own friction included
  double loss_pa = 0.0;         ///< negative: a gain (fan, helping stack)
  double share = 0.0;           ///< of all losses of the run
  double variance_share = 0.0;  ///< of the variance of the airflow, where there is a band
  double total_pressure_after_pa = 0.0;
  double static_pressure_after_pa = 0.0;
  std::string entry;  ///< catalogue entry; `stated` for the user's own figure
  std::string source;
  std::string status;
  int line = 0;
  int column = 0;
  std::ptrdiff_t piece_index = -1;  ///< of a `fan` piece too; -1: no piece of the file
  double interaction = 1.0;         ///< [1] factor for what stands close, in `loss_pa`
  std::optional<Closeness> close;   ///< what stands close before it

  /// What people name it by: 0 the change at the collar; nothing for a fan at the collar, stack
  /// and wind.
  [[nodiscard]] std::optional<int> shown_number() const noexcept;
};

struct Ledger {
  double airflow_m3_s = 0.0;
  std::vector<LedgerRow> rows;
  double loss_pa = 0.0;                    ///< of all pieces
  double collar_static_pressure_pa = 0.0;  ///< against the room: what a gauge at the collar reads

  /// The piece that costs most; null where none costs anything.
  [[nodiscard]] const LedgerRow* costliest() const noexcept;
};

/// The ledger at an airflow; `fan_total_pa` is what the fan makes there.
struct LedgerAt {
  double airflow_m3_s = 0.0;
  double fan_total_pa = 0.0;
  EndPressures ends;
};
[[nodiscard]] Ledger ledger(const layout::Layout& layout,
                            const CompiledRun& run,
                            const LedgerAt& at);

}  // namespace ductledger::solve
