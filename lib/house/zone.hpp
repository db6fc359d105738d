#pragma once

#include <memory>
#include <optional>

#include "house/branched_path.hpp"
#include "house/path_table.hpp"
#include "layout/layout.hpp"
#include "solve/operating_point.hpp"

/// The house as one zone of equal pressure: what a run draws from it has to come in somewhere.
namespace ductledger::house {

/// The makeup path beside the leaks.
enum class Path {
  none,
  opening,  ///< sharp-edged: Q = Cd A sqrt(2 dP / rho)
  duct,     ///< a run of pieces, and what joins it
};

/// Standard uncertainty of a sharp opening's discharge coefficient [1]: 0.60 to 0.66 (assumed).
inline constexpr double kDischargeCoefficientU = 0.08;

/// What flows at one airflow of the appliance. Airflows are of the air that flows: outdoor air
/// inward, room air outward, which counts negative.
struct Balance {
  double depressurisation_pa = 0.0;  ///< outdoors less room, at collar height
  double leakage_airflow_m3_s = 0.0;
  double makeup_airflow_m3_s = 0.0;  ///< opening, duct or powered
  double residual_kg_s = 0.0;        ///< mass in less mass out
};

/// One lumped zone, as plain numbers. Mass is conserved:
///   rho_duct (Q + other exhaust) = rho_outdoor (leak + path + powered)    while air comes in
///   rho_outdoor powered = rho_duct (Q + other exhaust) + rho_indoor (leak + path)   while it goes
///   out leak = test_airflow (dP / test_pressure)^exponent, odd in dP
/// with dP = depressurisation + wind on the envelope - (rho_outdoor - rho_indoor) g h, h the stated
/// mean height of the leaks above the collar; not stated: no stack acts on the envelope.
/// @source walton-1989 power law and orifice
struct Zone {
  double test_airflow_m3_s = 0.0;  ///< above 0
  double test_pressure_pa = 50.0;
  double exponent = 0.65;  ///< [1] 0.5 to 1
  /// Viscosity and density of the air the test airflow is stated for over those of the air that
  /// flows in, as logarithms; both 0 where it is stated as it flows.
  struct Reference {
    double log_viscosity = 0.0;
    double log_density = 0.0;
  };
  Reference inward_reference{};
  Reference outward_reference{};
  double duct_density_kg_m3 = 0.0;
  double outdoor_density_kg_m3 = 0.0;
  double indoor_density_kg_m3 = 0.0;
  /// Outdoors at the leaks beyond the difference at collar height: wind, and the stack of the
  /// house.
  double envelope_pa = 0.0;
  double other_exhaust_m3_s = 0.0;
  double powered_m3_s = 0.0;  ///< outdoor air that a fan brings in
  Path path = Path::none;
  double effective_area_m2 = 0.0;  ///< opening: Cd A
  solve::RunLoss inward;           ///< duct: with outdoor air
  solve::RunLoss outward;          ///< duct: with room air
  /// duct: `inward` as a table, for samples; null: the law itself
  std::shared_ptr<const PathTable> inward_table{};
  /// Of a duct that branches, in place of the two above: what all its inlets together ask for.
  std::shared_ptr<const BranchedPath> branched_inward{};
  std::shared_ptr<const BranchedPath> branched_outward{};
  bool one_way = false;         ///< a flap or barometric damper lets no air out
  double path_factor = 1.0;     ///< [1] airflow through the path at a pressure, for uncertainty
  double exhaust_factor = 1.0;  ///< [1] the appliance's airflow, for uncertainty

  /// Depressurisation [Pa] with the appliance drawing this airflow. Rises with it. Allocates
  /// nothing. @param airflow_m3_s [m3/s] at duct density, 0 or more
  [[nodiscard]] double depressurisation_pa(double airflow_m3_s) const noexcept;
  [[nodiscard]] Balance balance(double airflow_m3_s) const noexcept;
  /// Airflow through the leaks at a pressure difference across them [m3/s], odd.
  [[nodiscard]] double leakage_m3_s(double difference_pa) const noexcept;
  /// Airflow through the path at a pressure difference across it [m3/s], odd but for one way.
  [[nodiscard]] double path_m3_s(double difference_pa) const noexcept;
  /// From here on the duct's table answers in place of its law.
  void tabulate();
  /// For `solve::Demand`; the zone has to outlive it.
  [[nodiscard]] solve::RoomSuction suction() const noexcept;

 private:
  struct Inflow {
    double difference_pa = 0.0;  ///< outdoors at the envelope less room
    double path_m3_s = 0.0;      ///< signed
  };
  [[nodiscard]] Inflow inflow(double airflow_m3_s) const noexcept;
  enum class Direction { inward, outward };
  [[nodiscard]] double density(Direction direction) const noexcept;
  /// Airflow through the leaks over what the stated one says.
  [[nodiscard]] double leakage_factor(Direction direction) const noexcept;
  /// Where path and leaks ask for the same pressure, and that. @param needed_m3_s through both
  /// @param through_leaks_pa what the leaks ask for were all of it theirs
  [[nodiscard]] Inflow shared_by_table(double needed_m3_s,
                                       double flows_at_test_m3_s,
                                       double through_leaks_pa) const noexcept;
  [[nodiscard]] double path_pressure_pa(double airflow_m3_s, Direction direction) const noexcept;
};

/// A layout's house, ready to be solved.
struct CompiledHouse {
  /// With the makeup air that can be relied on; nothing without a house, or where the run leads
  /// back into the room.
  std::optional<Zone> zone;
  /// Makeup air that is not interlocked, running; nothing where it can be relied on.
  std::optional<Zone> with_makeup;
  bool leakage_known = false;             ///< else the test airflow is 0, to be found
  double airtightness_doubt = 0.05;       ///< [1] standard, of the leakage
  double path_uncertainty = 0.0;          ///< [1] standard, of the path's airflow at a pressure
  bool opening_pressure_missing = false;  ///< a barometric damper without the user's figure

  /// The zone that the operating point is solved with; null: the room stays at outdoor pressure.
  [[nodiscard]] const Zone* coupled() const noexcept {
    return zone && leakage_known ? &*zone : nullptr;
  }
  /// Of the room with the appliance drawing this airflow [Pa]; 0 where nothing is coupled.
  [[nodiscard]] double depressurisation_pa(double airflow_m3_s) const noexcept {
    return coupled() == nullptr ? 0.0 : coupled()->depressurisation_pa(airflow_m3_s);
  }
};

/// Fails with diagnostics at pieces of the makeup duct that no catalogue entry fits. An empty house
/// comes back where the layout has none.
[[nodiscard]] base::Checked<CompiledHouse> compile(const layout::Layout& layout,
                                                   const fitting::Catalogue& catalogue,
                                                   const solve::CompiledRun& run);

/// What the run asks of its fan in this house; run and zone have to outlive it. @param zone null:
/// no house, the room stays at outdoor pressure
[[nodiscard]] solve::Demand demand(const solve::CompiledRun& run, const Zone* zone) noexcept;
[[nodiscard]] inline solve::Demand demand(const solve::CompiledRun& run,
                                          const CompiledHouse& house) noexcept {
  return demand(run, house.coupled());
}

/// The fan against run and house: the operating point of a layout. @param zone null: no house,
/// the room stays at outdoor pressure
[[nodiscard]] solve::OperatingPoint operating_point(const solve::CompiledRun& run,
                                                    const solve::FanAtSpeed& fan,
                                                    const Zone* zone) noexcept;

/// The same with the room held at a depressurisation.
[[nodiscard]] solve::OperatingPoint operating_point_at(const solve::CompiledRun& run,
                                                       const solve::FanAtSpeed& fan,
                                                       double depressurisation_pa) noexcept;

}  // namespace ductledger::house
