#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "base/words.hpp"
#include "fitting/junction.hpp"
#include "solve/operating_point.hpp"

/// Runs that join: a converging tree of legs as plain arrays, and its solution.
///
/// A leg is what lies between two junctions, or between an inlet and a junction. Each holds
///   p_start + fan(Q) + stack - loss(Q) = p_end,
/// and each junction with the combined leg c, the straight leg s and the branch b
///   Q_c = Q_s + Q_b,  p_end,s = p_c + C_s(q) k Q_c^2,  p_end,b = p_c + C_b(q) k Q_c^2,
///   q = Q_b / Q_c,  k = rho / (2 A_c^2).
/// All inlets stand in the room, whose pressure is minus what `room` says at the airflow drawn
/// from it; the last leg ends outdoors. Pressures are totals against outdoors, the outdoor air
/// column removed. Basis: mass and energy balance (this project)
namespace ductledger::network {

inline constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

struct Leg {
  std::size_t junction = kNone;  ///< at its start, its combined leg is this one; none: an inlet
  std::size_t fan = kNone;       ///< in `Network::fans`
  double stack_pa = 0.0;         ///< helps when positive
  bool one_way = false;          ///< a flap lets no air back
  double usual_m3_s = 0.05;      ///< a plausible airflow, where the search begins
};

/// Where the coefficients of a junction come from.
enum class JunctionLaw { stated, converging, converging_tee_older };

struct Junction {
  std::size_t straight = kNone;  ///< legs
  std::size_t branch = kNone;
  std::size_t combined = kNone;
  JunctionLaw law = JunctionLaw::stated;
  double straight_coefficient = 0.0;  ///< law `stated`: on the combined leg's velocity pressure
  double branch_coefficient = 0.0;
  fitting::JunctionAngle angle{};
  double area_ratio = 1.0;        ///< [1] branch over combined leg
  double dynamic_pa_s2_m6 = 0.0;  ///< k: rho/2 / A_c^2
  double straight_factor = 1.0;   ///< [1] on the straight coefficient, for uncertainty
  double branch_factor = 1.0;     ///< [1] on the branch coefficient
};

/// Loss of total pressure of both legs [Pa]; its sign follows the combined airflow.
[[nodiscard]] fitting::JunctionLoss junction_loss_pa(const Junction& of,
                                                     double straight_m3_s,
                                                     double branch_m3_s) noexcept;

struct Network {
  std::vector<Leg> legs;               ///< the last one leads outdoors
  std::vector<solve::RunLoss> losses;  ///< [legs]
  std::vector<Junction> junctions;     ///< those upstream first
  std::vector<solve::FanAtSpeed> fans;
  double end_pa = 0.0;  ///< held outdoors: wind and back pressure
  solve::RoomSuction room{};
};

enum class Status {
  solved,
  not_settled,  ///< no steady answer was found: the residual says how far from one
};
inline constexpr auto kStatusWords =
    base::words<Status>({{Status::solved, "solved"}, {Status::not_settled, "not-settled"}});
[[nodiscard]] constexpr const char* word(Status status) { return kStatusWords.of(status); }

/// An airflow that is held through one leg.
struct Held {
  std::size_t leg = kNone;
  double airflow_m3_s = 0.0;
};

/// Solves one network; holds its workspace. A call begins where the last one ended.
/// `solved` means: in each leg that is neither shut nor held
///   |p_start + fan + stack - loss - p_end| <= 1e-9 max(pressures of fans, ends and losses).
/// The linear system of each Newton step is eliminated from the inlets down: cost and storage grow
/// linearly with the number of legs. `solve` allocates nothing.
class Solver {
 public:
  /// @param network has to outlive it
  explicit Solver(const Network& network);

  /// @param held leg `kNone`: every leg is free. Where one is held, its own balance is left open:
  /// see `needed_pa`.
  Status solve(const Held& held = {}) noexcept;
  /// Begins afresh: every fan from rest.
  void forget() noexcept { warm_ = false; }
  /// Begins at airflows of another solution. @param airflows_m3_s [legs]
  void begin_at(std::span<const double> airflows_m3_s) noexcept;

  [[nodiscard]] Status status() const noexcept { return status_; }
  /// [legs] negative: air comes back
  [[nodiscard]] std::span<const double> airflows_m3_s() const noexcept { return airflow_; }
  /// [legs] a flap holds the leg shut
  [[nodiscard]] bool is_shut(std::size_t leg) const noexcept { return shut_[leg] == kShut; }
  /// Total pressure where a leg starts and ends [Pa].
  [[nodiscard]] double start_pa(std::size_t leg) const noexcept;
  [[nodiscard]] double end_pa(std::size_t leg) const noexcept { return end_[leg]; }
  /// What the leg's fan makes there [Pa]; 0 without a fan.
  [[nodiscard]] double fan_pa(std::size_t leg) const noexcept;
  /// What the leg costs there [Pa]; negative where air comes back.
  [[nodiscard]] double loss_pa(std::size_t leg) const noexcept;
  /// Total pressure that a fan in this leg has to make there [Pa].
  [[nodiscard]] double needed_pa(std::size_t leg) const noexcept;
  /// Against outdoors [Pa].
  [[nodiscard]] double room_pa() const noexcept { return room_pa_; }
  /// Airflow of the branch over the combined one [1], 0 to 1; 0 at rest.
  [[nodiscard]] double flow_ratio(std::size_t junction) const noexcept;
  /// On the combined leg's velocity pressure [1].
  [[nodiscard]] double straight_coefficient(std::size_t junction) const noexcept;
  [[nodiscard]] double branch_coefficient(std::size_t junction) const noexcept;
  [[nodiscard]] double residual_pa() const noexcept { return residual_pa_; }
  /// |Q_s + Q_b - Q_c| over |Q_c|, the greatest of all junctions.
  [[nodiscard]] double mass_residual() const noexcept;
  [[nodiscard]] int iterations() const noexcept { return iterations_; }

 private:
  static constexpr char kOpen = 0;
  static constexpr char kShut = 1;
  static constexpr char kReopened = 2;  ///< not shut again
  /// dQ = a - b d(end pressure) + c d(room pressure).
  struct Affine {
    double a = 0.0;
    double b = 0.0;
    double c = 0.0;
  };
  struct Step {
    Affine straight;
    Affine branch;
    double loss_ss = 0.0;  ///< d(junction loss of the straight leg) / dQ_s, ...
    double loss_sb = 0.0;
    double loss_bs = 0.0;
    double loss_bb = 0.0;
  };

  [[nodiscard]] bool is_held(std::size_t leg) const noexcept {
    return leg == held_.leg || shut_[leg] == kShut;
  }
  [[nodiscard]] double held_m3_s(std::size_t leg) const noexcept {
    return leg == held_.leg ? held_.airflow_m3_s : 0.0;
  }
  [[nodiscard]] solve::SlopedLoss leg_loss(std::size_t leg, double q) const noexcept;
  /// What fan and stack make less what the leg costs, and how that falls with airflow.
  struct Drive {
    double pa = 0.0;
    double fall_pa_s_m3 = 0.0;
    double loss_pa = 0.0;
  };
  [[nodiscard]] Drive drive(std::size_t leg, double q) const noexcept;
  void begin() noexcept;
  void share_out(double most_pa) noexcept;
  void gather() noexcept;
  double evaluate() noexcept;
  [[nodiscard]] Affine relation(std::size_t leg) const noexcept;
  void put_slopes(std::size_t junction, Step& step) const noexcept;
  void put_leg_slopes() noexcept;
  void join(std::size_t junction) noexcept;
  void step_room(const Affine& last) noexcept;
  void step_behind(std::size_t junction) noexcept;
  void eliminate() noexcept;
  void step_by(double share) noexcept;
  [[nodiscard]] double longest_step() const noexcept;
  bool iterate() noexcept;
  bool settle_flaps() noexcept;

  const Network& network_;
  Held held_{};
  Status status_ = Status::not_settled;
  bool warm_ = false;
  bool from_rest_ = false;  ///< some fan's curve rises somewhere
  int iterations_ = 0;
  double scale_pa_ = 0.0;
  double pressures_pa_ = 0.0;  ///< the greatest fan, end or stack
  double residual_pa_ = 0.0;
  double merit_ = 0.0;
  double junction_share_ = 1.0;  ///< of the junctions' losses, below 1 on the way only
  double damping_ = 0.0;
  double room_pa_ = 0.0;
  double room_residual_pa_ = 0.0;
  double room_step_pa_ = 0.0;
  std::vector<char> shut_;             // [legs]
  std::vector<double> airflow_;        // [legs]
  std::vector<double> end_;            // [legs] total pressure at its end
  std::vector<double> junction_pa_;    // [junctions] total pressure of the combined leg's start
  std::vector<double> stiffness_;      // [legs] loss over Q^2 at the usual airflow
  std::vector<double> residual_;       // [legs]
  std::vector<Drive> drive_;           // [legs]
  std::vector<double> slope_;          // [legs] of loss less fan, above 0
  std::vector<double> airflow_step_;   // [legs]
  std::vector<double> junction_step_;  // [junctions]
  std::vector<double> end_step_;       // [legs]
  std::vector<Step> steps_;            // [junctions]
  std::vector<fitting::JunctionLoss> coefficients_;  // [junctions] at the airflows at hand
  std::vector<double> airflow_before_;
  std::vector<double> junction_before_;
  double room_before_ = 0.0;
};

/// What the network asks of the fan in one leg, as a run asks of its fan. A search by
/// `solve::operating_point` meets every crossing of that fan's curve; the other fans follow.
class MainFan {
 public:
  /// @param solver has to outlive it @param leg the one the fan stands in, whose own fan is left
  /// out
  MainFan(Solver& solver, std::size_t leg) noexcept : solver_(solver), leg_(leg) {}
  /// Points at this.
  [[nodiscard]] solve::Demand demand() const noexcept;
  /// Whether every airflow asked for so far had an answer.
  [[nodiscard]] bool all_solved() const noexcept { return all_solved_; }

 private:
  static double needed_pa(const void* self, double airflow_m3_s) noexcept;
  Solver& solver_;
  std::size_t leg_;
  solve::RunLoss none_{};
  mutable bool all_solved_ = true;
};

}  // namespace ductledger::network
