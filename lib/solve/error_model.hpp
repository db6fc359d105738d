#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "base/words.hpp"
#include "solve/error_source.hpp"
#include "solve/operating_point.hpp"

/// What is not known exactly of a run and its fan, and what that does to the airflow.
///
/// Each error source is one standard normal number z, shared by everything the error touches: all
/// fittings of one catalogue entry, all friction, all terms through one size of section, the fan
/// and the duct through one air. A run at other values of z is solved like any run.
namespace ductledger::solve {

/// The room that a run draws from, with what is not known of it.
class UncertainRoom {
 public:
  static constexpr std::size_t kMostErrors = 4;
  virtual ~UncertainRoom() = default;
  /// At most kMostErrors.
  [[nodiscard]] virtual std::span<const ErrorSource> sources() const noexcept = 0;
  /// Depressurisation [Pa] with the run drawing an airflow; never falls with it. Allocates nothing.
  /// @param z shape [sources]
  [[nodiscard]] virtual double suction_pa(double airflow_m3_s,
                                          std::span<const double> z) const noexcept = 0;
};

/// A run with its errors at some z.
struct PerturbedRun {
  RunLoss loss;
  std::optional<FanAtSpeed> fan;
  EndPressures ends;
  std::shared_ptr<const UncertainRoom> room;
  std::array<double, UncertainRoom::kMostErrors> room_z{};
  /// Points at this run, which has to outlive it.
  [[nodiscard]] RoomSuction suction() const noexcept;
  /// For `operating_point`; points at this run, which has to outlive it.
  [[nodiscard]] Demand demand() const noexcept { return demand_of(loss); }
  /// The same ends and room with another loss.
  [[nodiscard]] Demand demand_of(const RunLoss& other) const noexcept {
    return {.loss = other, .ends = ends, .room = suction()};
  }
};

/// The errors of a run with one fan. Immutable.
class ErrorModel {
 public:
  /// @param fan the shape that is meant, from `speed_fan`; null: the run alone
  struct Fan {
    const FanAtSpeed* fan = nullptr;
    CurveOrigin origin = CurveOrigin::none;
    double speed_ratio = 1.0;  ///< of a speed known by its ratio alone; 1: as printed
    std::shared_ptr<const UncertainRoom> room{};  ///< null: outdoor pressure
  };
  ErrorModel(const layout::Layout& layout, const CompiledRun& run, const Fan& fan);

  [[nodiscard]] std::span<const ErrorSource> sources() const noexcept { return sources_; }
  /// The run at z, shape [sources]; z = 0 is the run as compiled.
  [[nodiscard]] PerturbedRun at(std::span<const double> z) const;

  /// A factor that an error puts on a term.
  struct Factor {
    std::size_t source = 0;
    double u = 0.0;  ///< [1] relative standard uncertainty
    [[nodiscard]] double at(double z) const noexcept;
  };
  /// A coefficient that may come on top, from 0 up.
  struct Added {
    std::size_t source = 0;
    double most = 0.0;             ///< [1]
    double square_pa_s2_m6 = 0.0;  ///< loss of a coefficient of 1 over Q^2
    /// |z| as an even spread from 0 to `most`.
    [[nodiscard]] double at(double z) const noexcept;
  };
  /// The errors of one piece, by the part of its loss that they touch.
  struct PieceErrors {
    PieceLoss loss;                   ///< as compiled
    std::vector<Factor> coefficient;  ///< on square, linear and Reynolds terms
    std::vector<Factor> friction;
    std::optional<Factor> opening;  ///< on the opening pressure of a flap
    std::optional<Added> added;     ///< on the velocity pressure of the reference section
    std::ptrdiff_t reference = -1;  ///< in `sections`: whose area the coefficient stands on
  };
  /// A size of section and its error.
  struct SectionError {
    duct::Section section;
    std::optional<std::size_t> source;
    double u_m = 0.0;
  };

  /// For who walks the arrays: the sampler.
  struct Arrays {
    std::vector<PieceErrors> pieces;  ///< [pieces of the run]
    std::vector<SectionError> sections;
    std::vector<FrictionGroup> groups;
    std::vector<std::size_t> group_sections;  ///< [groups] in `sections`
    std::vector<Factor> fan_pressure;  ///< an error that also stands in fan_airflow ties the two
    std::vector<Factor> fan_airflow;
    std::optional<std::size_t> outlet_section;  ///< in `sections`
    std::optional<Factor> density;
    std::optional<std::size_t> wind;
    double wind_u_pa = 0.0;  ///< pressure of one standard uncertainty of the wind coefficient
    std::shared_ptr<const UncertainRoom> room;
    std::vector<std::size_t> room_sources;  ///< in the order of the room's own
    double wind_pa = 0.0;
    double back_pressure_pa = 0.0;  ///< stated, without doubt
    double stack_pa = 0.0;
    double dynamic_pa_s2_m6 = 0.0;  ///< of the fan
  };
  [[nodiscard]] const Arrays& arrays() const noexcept { return arrays_; }
  /// Whether an error can only add, so that first order does not hold it.
  [[nodiscard]] bool is_one_sided() const noexcept;
  [[nodiscard]] const FanAtSpeed* fan() const noexcept { return fan_ ? &*fan_ : nullptr; }

  /// The pieces that an error touches, in their order. Of a run of thousands each touches a few.
  [[nodiscard]] std::span<const std::size_t> touched(std::size_t source) const noexcept {
    return touched_[source];
  }

  /// What each part adds to g = fan - losses - ends per unit of z of one source, all errors taken
  /// linear (1 + u z). Allocates nothing.
  /// @param at an airflow within the fan's curve
  /// @param buffer [pieces + 2] at least
  /// @return its beginning [touched + 2]: the pieces that the source touches, the fan, the ends
  struct PartsAt {
    double airflow_m3_s = 0.0;
    std::size_t source = 0;
  };
  [[nodiscard]] std::span<const double> derivatives(const PartsAt& at,
                                                    std::span<double> buffer) const noexcept;

 private:
  class Builder;
  std::vector<ErrorSource> sources_;
  Arrays arrays_;
  std::optional<FanAtSpeed> fan_;
  std::vector<std::vector<std::size_t>> touched_;  ///< [sources][]
};

/// @param airflow_m3_s [m3/s] of a stable operating point of the model's run and fan
[[nodiscard]] FirstOrder first_order(const ErrorModel& model, double airflow_m3_s);

/// Standard uncertainty of the difference a - b [m3/s], errors of one identity counted once.
struct Compared {
  const ErrorModel& model;
  const FirstOrder& result;
};
[[nodiscard]] double difference_standard_m3_s(const Compared& a, const Compared& b);

}  // namespace ductledger::solve
