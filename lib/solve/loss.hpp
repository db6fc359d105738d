#pragma once

#include <cstddef>
#include <type_traits>
#include <vector>

#include "fitting/catalogue.hpp"

/// The loss law of a run, written once over its scalar T: a number, or an array of samples.
namespace ductledger::solve {

/// What the law asks of its scalar beside arithmetic; who walks arrays gives theirs. `Flags` is a
/// yes or no of every sample; `is_there` tells whether a term has a value at all; `each` applies a
/// function of a number to every sample; `friction_factor` is Darcy's, 0 at rest, where it
/// multiplies no airflow.
template <class T>
struct LossScalar;
template <>
struct LossScalar<double> {
  using Flags = bool;
  static bool is_there(double term) noexcept { return term != 0.0; }
  template <class Function>
  static double each(double value, const Function& function) {
    return function(value);
  }
  static double friction_factor(double reynolds, double relative_roughness) noexcept;
};

/// Loss of total pressure of one piece, as numbers:
/// loss(Q) = square Q^2 + linear Q + friction(Q) + reynolds(Q), or a flap's
/// sqrt(p0^2 + (..)^2), where a floating flap adds flap_square Q^2 excess(lift Q^2), see
/// fitting::flap_excess. A term of an array that is not there is empty.
template <class T>
struct PieceLossOf {
  T square_pa_s2_m6{};
  T linear_pa_s_m3{};
  std::ptrdiff_t friction_group = -1;  ///< -1: no friction
  T friction_ratio{};                  ///< [1] L/De times multipliers
  T reynolds_square_pa_s2_m6{};        ///< multiplied by the factor at Re = reynolds_s_m3 Q
  T reynolds_s_m3{};
  fitting::ReynoldsFactor reynolds{};
  T opening_pressure_pa{};   ///< > 0: gravity flap
  T flap_square_pa_s2_m6{};  ///< > 0: floats; its part of `square`, fully open
  T flap_lift_s2_m6{};       ///< velocity pressure over weight per area, over Q^2
};
using PieceLoss = PieceLossOf<double>;

/// Friction of all lengths that share equivalent diameter and roughness:
/// friction(Q) = ratio f(Re) dynamic Q^2, Re = reynolds_s_m3 Q.
template <class T>
struct FrictionGroupOf {
  T reynolds_s_m3{};
  T relative_roughness{};
  T dynamic_pa_s2_m6{};  ///< rho/2 (4/(pi De^2))^2
  T ratio{};             ///< sum of L/De times multipliers
};
using FrictionGroup = FrictionGroupOf<double>;

/// Loss of one piece [Pa]. @param group the one it names; null where it has no friction
[[nodiscard]] double piece_loss_pa(const PieceLoss& piece,
                                   const FrictionGroup* group,
                                   double airflow_m3_s) noexcept;

template <class T>
class RunLossOf;
/// A loss with its slope.
struct SlopedLoss {
  double pa = 0.0;
  double slope_pa_s_m3 = 0.0;
};
/// `at`, with d loss / d airflow. Allocates nothing. @param airflow_m3_s [m3/s] 0 or more
[[nodiscard]] SlopedLoss sloped_loss(const RunLossOf<double>& law, double airflow_m3_s) noexcept;

/// All pieces of a run added up: what the solver walks. Defined in loss_internal.hpp.
template <class T>
class RunLossOf {
 public:
  RunLossOf() = default;
  /// @param zero of the shape of every term
  RunLossOf(std::vector<FrictionGroupOf<T>> groups,
            const std::vector<PieceLossOf<T>>& pieces,
            const T& zero = T{});

  /// Loss of total pressure [Pa] at an airflow >= 0 [m3/s]. Of numbers:
  /// allocates nothing.
  [[nodiscard]] T at(const T& airflow_m3_s) const noexcept;
  /// Loss of one piece.
  [[nodiscard]] T of(const PieceLossOf<T>& piece, const T& airflow_m3_s) const noexcept;
  /// What surely rises of the loss at least as this times Q^2 does; the rest cannot fall where
  /// `rises` of it holds.
  [[nodiscard]] T sure_square_pa_s2_m6() const noexcept;
  /// True where the loss less `minus_square` Q^2 cannot fall with airflow; of
  /// every sample.
  [[nodiscard]] typename LossScalar<T>::Flags rises(const T& minus_square_pa_s2_m6) const noexcept;
  [[nodiscard]] const std::vector<FrictionGroupOf<T>>& groups() const noexcept { return groups_; }
  /// The law of which each term is what `change` makes of it; of arrays: such as some samples.
  template <class Change>
  [[nodiscard]] RunLossOf each_term(const Change& change) const;

 private:
  friend SlopedLoss sloped_loss(const RunLossOf<double>& law, double airflow_m3_s) noexcept;
  [[nodiscard]] T fittings_pa(const T& airflow_m3_s) const noexcept;
  struct ReynoldsTerm {
    T square_pa_s2_m6;
    T reynolds_s_m3;
    fitting::ReynoldsFactor factor;
  };
  struct FlapTerm {
    T opening_pressure_pa;
    T square_pa_s2_m6;
    T flap_square_pa_s2_m6;
    T flap_lift_s2_m6;
  };
  T square_{};
  T linear_{};
  std::vector<FrictionGroupOf<T>> groups_;
  std::vector<ReynoldsTerm> reynolds_;
  std::vector<FlapTerm> flaps_;
};
using RunLoss = RunLossOf<double>;
extern template class RunLossOf<double>;

}  // namespace ductledger::solve
