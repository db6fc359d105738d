#pragma once

#include <optional>
#include <vector>

#include "layout/measurement.hpp"
#include "solve/error_model.hpp"
#include "study/branches_held.hpp"
#include "study/check.hpp"

/// Where a gauge stands on a run, and what it reads there.
namespace ductledger::site {

/// A hole in a straight, by its place along the run.
struct TestHole {
  std::size_t piece = 0;            ///< in layout.run.pieces
  double from_start_m = 0.0;        ///< from the start of that straight
  double upstream_diameters = 0.0;  ///< of straight duct before it
  double downstream_diameters = 0.0;
  bool good_plane = false;  ///< 7.5 before and 2 after, common practice
};

/// A hole at a place of a straight.
struct HolePlace {
  std::size_t piece = 0;  ///< in run.pieces, a straight
  double from_start_m = 0.0;
};
[[nodiscard]] TestHole hole_at(const layout::Run& run, const HolePlace& place);

/// The gauge's hole: in the first straight behind the fan, two diameters in, or in its middle where
/// it is short. Nothing: no straight there to drill.
[[nodiscard]] std::optional<TestHole> gauge_hole(const layout::Run& run);

/// The place with the best share of what a traverse wants before and after it.
[[nodiscard]] std::optional<TestHole> traverse_plane(const layout::Run& run);

/// Where the duct's side of a gauge stands in a compiled run: behind all entries before `entry` and
/// behind `share` of that one.
struct Tap {
  std::size_t entry = 0;          ///< in CompiledRun::pieces
  double share = 0.0;             ///< [1]
  double dynamic_pa_s2_m6 = 0.0;  ///< total less static pressure over Q^2
};
/// The tap of a place. Nothing: `hole` without a straight to drill.
[[nodiscard]] std::optional<Tap> tap_at(const study::CheckResult& check,
                                        const layout::GaugePlace& place);
/// The same in one leg of a network. @param place a `piece` of the leg's own run, or another kind
[[nodiscard]] std::optional<Tap> tap_at(const study::HeldLeg& leg, const layout::GaugePlace& place);
/// The place spelled out: `hole` becomes the piece it names, where there is one.
[[nodiscard]] layout::GaugePlace place_of(const layout::GaugePlace& place, const layout::Run& run);

/// A speed as the gauge sees it: pressures over airflow. The gauge's other port stands in the room.
class Gauge {
 public:
  Gauge(const study::CheckResult& check, std::size_t speed, const Tap& tap);
  /// A leg that starts in the room, or a reading across its fan. Without a fan it is the room's air
  /// that falls through the pieces before the tap.
  Gauge(const study::HeldLeg& leg, const Tap& tap);

  [[nodiscard]] double first() const {
    return fan_ != nullptr ? fan_->curve.first_airflow_m3_s() : 0.0;
  }
  [[nodiscard]] double last() const {
    return fan_ != nullptr ? fan_->curve.last_airflow_m3_s() : most_m3_s_;
  }
  [[nodiscard]] bool covers(double q) const { return q >= first() && q <= last(); }
  [[nodiscard]] double fan_total(double q) const {
    return fan_ == nullptr ? 0.0 : fan_->curve.pressure_pa(q) + fan_->dynamic_pa_s2_m6 * q * q;
  }
  /// What lies between the fan's total pressure and the reading: losses before the tap, and its
  /// velocity pressure.
  [[nodiscard]] double before(double q) const;
  [[nodiscard]] double before_slope(double q) const;
  /// What the gauge reads where the fan runs on its curve.
  [[nodiscard]] double static_at(double q) const { return fan_total(q) - before(q); }
  [[nodiscard]] double static_slope(double q) const;
  /// What it reads where the run behind it asks what was calculated.
  [[nodiscard]] double asked_static(double q) const { return demand_.total_pa(q) - before(q); }
  /// Velocity pressure at the collar, to which coefficients refer.
  [[nodiscard]] double collar_velocity_pressure(double q) const { return collar_dynamic_ * q * q; }
  /// What run and house ask of the fan.
  [[nodiscard]] const solve::Demand& demand() const { return demand_; }

 private:
  solve::Demand demand_;
  const solve::CompiledRun& run_;
  const solve::FanAtSpeed* fan_;  ///< null: none
  Tap tap_;
  double collar_dynamic_ = 0.0;
  double most_m3_s_ = 0.0;  ///< that is looked at, without a fan
};

/// Sums over the errors of run and fan at one airflow.
class Doubts {
 public:
  Doubts(const study::CheckResult& check, std::size_t speed, const Tap& tap);
  /// What stands behind the tap is the rest of the network. @param leg has to outlive it
  Doubts(const study::HeldLeg& leg, const Tap& tap);

  /// One standard uncertainty of a quantity whose change is so many times that of the losses
  /// before the tap, of those behind it with the run's ends, and of the fan's pressure.
  struct Weights {
    double before = 1.0;
    double after = 1.0;
    double fan = 1.0;
  };
  [[nodiscard]] double at(double q, const Weights& weights);

 private:
  [[nodiscard]] double at_leg(double q, const Weights& weights);

  solve::ErrorModel model_;
  Tap tap_;
  std::vector<double> parts_;
  const study::HeldLeg* leg_ = nullptr;
  std::optional<double> asked_at_m3_s_{};  ///< of `asked_pa_`
  std::vector<double> asked_pa_{};         ///< by each error of the network
};

/// A static pressure as calculated. Its band by first order where an operating point was found, by
/// the bounds of the airflow (nominal run) where the answer is a bound.
struct ExpectedStatic {
  double pressure_pa = 0.0;
  std::optional<result::Band> band_pa;  ///< k = 2
};
/// Nothing where no airflow is known.
[[nodiscard]] std::optional<ExpectedStatic> expected_static(const study::CheckResult& check,
                                                            std::size_t speed,
                                                            const Tap& tap);
/// In one leg of a network. Nothing beyond the printed points of the leg's fan.
[[nodiscard]] std::optional<ExpectedStatic> expected_static(const study::HeldLeg& leg,
                                                            const Tap& tap);

}  // namespace ductledger::site
