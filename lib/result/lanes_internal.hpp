#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include "result/uncertainty.hpp"
#include "solve/error_model_internal.hpp"

/// Samples solved side by side, on arrays.
namespace ductledger::solve {

using Array = Eigen::ArrayXd;

template <>
struct LossScalar<Array> {
  using Flags = Eigen::Array<bool, Eigen::Dynamic, 1>;
  static bool is_there(const Array& term) noexcept { return term.size() > 0; }
  template <class Function>
  static Array each(const Array& value, const Function& function) {
    return value.unaryExpr(function);
  }
  static Array friction_factor(const Array& reynolds, const Array& relative_roughness);
};

}  // namespace ductledger::solve

namespace ductledger::result {

/// An airflow as it follows its errors to first order; where that is not known,
/// no number.
struct Linear {
  solve::Status status = solve::Status::no_flow;
  double airflow_m3_s = std::numeric_limits<double>::quiet_NaN();
  std::vector<double> changes;  ///< [sources] per one standard uncertainty; 0 where not known
};

/// A run with its errors: those of an error model, or lumped.
struct SampledRun {
  const solve::ErrorModel::Arrays& arrays;
  const solve::FanAtSpeed& fan;
};

/// All numbers of a run for a block of samples, shape [lanes] each. What a lane answers does not
/// depend on its neighbours, to the last digit, as long as both blocks fall or neither does and
/// their lanes fill the processor's words (`kWord`).
class Block {
 public:
  using Array = solve::Array;
  using Flags = solve::LossScalar<Array>::Flags;
  using Columns = std::vector<Eigen::Map<const Array>>;
  /// Lanes solved together; their arrays stay in the cache.
  static constexpr Eigen::Index kLanes = 512;
  /// A multiple of the numbers that any processor works on at once. What is left over at the end of
  /// an array is worked on one by one, and may differ in the last digit.
  static constexpr Eigen::Index kWord = 8;

  /// @param run, z [sources][lanes] have to outlive it
  Block(const SampledRun& run, const Linear& linear, const Columns& z, Eigen::Index lanes);

  /// Adds what every lane answers.
  void answer(Samples& samples) const;
  /// Whether the surplus of every sample is sure to fall from knot to knot.
  [[nodiscard]] bool falls() const;
  /// Of a block that falls: the lanes that are sure to cross their fan's curve, and to answer an
  /// airflow between the two.
  [[nodiscard]] Flags cross_between(const solve::AirflowLimits& limits) const;

  /// The lanes at the end of whose curve the fan still makes more than the run asks.
  struct Beyond {
    Flags is;
    Array least_m3_s;  ///< what they deliver at least
    /// And at most, by a square law; infinite where nothing bounds it, since the loss of the run
    /// may fall.
    Array about_m3_s;
  };
  /// Of a block that falls.
  [[nodiscard]] Beyond beyond() const;
  /// Of lanes beyond that are bounded: which are sure to deliver less.
  [[nodiscard]] Flags beyond_but_below(double airflow_m3_s) const;

 private:
  /// A stretch of airflow with the surplus at its ends.
  struct Ends {
    Array low;
    Array high;
    Array g_low;
    Array g_high;
  };
  struct Bracket {
    const Array& low;
    const Array& high;
    const Array& g_low;
    const Array& g_high;
  };
  /// What the run leaves of the pressure at its ends, before the printed pressure of the fan.
  /// @param wanted null: of all; else of these, and of the others a number without meaning
  [[nodiscard]] Array without_curve(const Array& q, const Flags* wanted = nullptr) const;
  [[nodiscard]] Array surplus(const Array& q, const Flags* wanted = nullptr) const;
  [[nodiscard]] Ends around_expected(Flags& starts, Flags& crosses) const;
  void walk(const Flags& starts, Ends& to, Flags& crosses) const;
  [[nodiscard]] Array least_below(const Flags& below) const;
  [[nodiscard]] Array most_beyond(const Flags& beyond) const;
  /// What is left at an airflow beyond the curve where the fan goes on at its last pressure.
  [[nodiscard]] Array held_surplus(const Array& q, const Flags* wanted = nullptr) const;
  [[nodiscard]] double margin_m3_s() const;
  template <class Function>
  [[nodiscard]] Array close_in(const Function& function,
                               const Bracket& from,
                               const Flags& crosses) const;

  const solve::FanAtSpeed& fan_;
  Columns z_;
  Eigen::Index lanes_;
  double central_m3_s_;
  Array expected_;
  solve::RunLossOf<Array> loss_;
  Array airflow_;
  Array pressure_;
  Array dynamic_;
  Array end_pa_;
  const solve::UncertainRoom* room_ = nullptr;
  std::vector<std::size_t> room_sources_;
};

}  // namespace ductledger::result
