#pragma once

#include "solve/run.hpp"

namespace ductledger::solve {

/// Pressures at the two ends against outdoors, the outdoor air column removed.
struct EndPressures {
  double start_pa = 0.0;  ///< the room at collar height: minus the depressurisation
  double end_pa = 0.0;    ///< at the cap: wind less stack
};

/// What the room's pressure falls by when the run draws air from it, on top of `start_pa`, by
/// whoever knows where the room's air comes from. It never falls with airflow. Called in the inner
/// loop: allocates nothing. A network hangs here too: see `Demand::may_fall`.
struct RoomSuction {
  double (*of_pa)(const void* state, double airflow_m3_s) noexcept = nullptr;  ///< null: none
  const void* state = nullptr;

  [[nodiscard]] double at_pa(double airflow_m3_s) const noexcept {
    return of_pa == nullptr ? 0.0 : of_pa(state, airflow_m3_s);
  }
};

/// What a run asks of its fan: the losses of its pieces, the pressures at its ends and the room
/// that it draws down. Holds no run of its own: `loss` and the room's state have to outlive it.
/// Airflows [m3/s] are 0 and above. Allocates nothing.
struct Demand {
  const RunLoss& loss;
  EndPressures ends{};
  RoomSuction room{};
  double outlet_dynamic_pa_s2_m6 = 0.0;  ///< velocity pressure at the fan's outlet over Q^2
  bool may_fall = false;  ///< nothing says that what `room` adds never falls with airflow

  /// Whether what is asked, less `minus_square` Q^2, is sure never to fall with airflow.
  [[nodiscard]] bool rises(double minus_square_pa_s2_m6) const noexcept {
    return !may_fall && loss.rises(minus_square_pa_s2_m6);
  }

  /// What is left at the end of the run of a total pressure made by the fan [Pa].
  [[nodiscard]] double left_pa(double fan_total_pa, double airflow_m3_s) const noexcept {
    return fan_total_pa - loss.at(airflow_m3_s) + (ends.start_pa - ends.end_pa) -
           room.at_pa(airflow_m3_s);
  }
  /// Total pressure that the fan has to make [Pa]; negative: the ends drive the air by themselves.
  [[nodiscard]] double total_pa(double airflow_m3_s) const noexcept {
    return -left_pa(0.0, airflow_m3_s);
  }
  /// The same as fan static pressure: less the velocity pressure at its outlet [Pa].
  [[nodiscard]] double static_pa(double airflow_m3_s) const noexcept {
    return total_pa(airflow_m3_s) - outlet_dynamic_pa_s2_m6 * airflow_m3_s * airflow_m3_s;
  }
  /// d total / d airflow [Pa s/m3], by a central difference of a part in 1e4.
  [[nodiscard]] double slope_pa_s_m3(double airflow_m3_s) const noexcept;
};

/// A run that ends outdoors with the room at outdoor pressure. @param run has to outlive it
[[nodiscard]] Demand demand(const CompiledRun& run) noexcept;

}  // namespace ductledger::solve
