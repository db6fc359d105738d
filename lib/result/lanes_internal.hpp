#pragma once

#include <Eigen/Core>
#include <algorithm>
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
  /// Of what the fan makes less what is asked, over airflow: below 0.
  double slope_pa_s_m3 = std::numeric_limits<double>::quiet_NaN();
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
  /// Lanes made together at most; solved are those that are asked for, by themselves.
  static constexpr Eigen::Index kLanes = 2048;
  /// A multiple of the numbers that any processor works on at once. What is left over at the end of
  /// an array is worked on one by one, and may differ in the last digit.
  static constexpr Eigen::Index kWord = 8;
  /// Lanes that are solved together for a run of so many errors, a multiple of `kWord`: their
  /// arrays stay in the cache, of a long run too.
  static constexpr Eigen::Index lanes_for(std::size_t sources) noexcept {
    constexpr std::size_t kNumbers = std::size_t{1} << 16;
    const auto lanes = static_cast<Eigen::Index>(kNumbers / std::max<std::size_t>(sources, 1));
    return std::clamp(lanes / kWord * kWord, 8 * kWord, kLanes);
  }

  /// @param run, z [sources][lanes] have to outlive it
  Block(const SampledRun& run, const Linear& linear, const Columns& z, Eigen::Index lanes);

  using Places = std::vector<Eigen::Index>;
  /// Some of its lanes by themselves; they fill words.
  Block(const Block& all, const Places& places);

  [[nodiscard]] Eigen::Index lanes() const noexcept { return lanes_; }
  /// What the fan leaves of what is asked at an airflow.
  [[nodiscard]] Array surplus(const Array& q) const;
  /// Adds what every lane answers, or some of them.
  void answer(Samples& samples) const;
  void answer(const Places& places, Samples& samples) const;
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
  using Surplus = Array (Block::*)(const Array& q) const;
  /// Of those wanted; of the others nothing.
  [[nodiscard]] Array at_wanted(Surplus asked, const Array& q, const Flags& wanted) const;
  /// What the run leaves of the pressure at its ends, before the printed pressure of the fan.
  [[nodiscard]] Array without_curve(const Array& q) const;
  /// Where lanes cross their curve.
  struct Crossings {
    Array root;     ///< of those that start above and cross; of others no meaning
    Flags starts;   ///< above what is asked, where the curve begins
    Flags crosses;  ///< before it ends
  };
  [[nodiscard]] Crossings followed() const;
  [[nodiscard]] Crossings bracketed(bool surplus_falls) const;
  [[nodiscard]] Ends around_expected(Flags& starts, Flags& crosses) const;
  void walk(const Flags& starts, Ends& to, Flags& crosses) const;
  [[nodiscard]] Array least_below(const Flags& below) const;
  [[nodiscard]] Array most_beyond(const Flags& beyond) const;
  /// What is left at an airflow before the curve where the fan makes its first pressure already,
  /// and at one beyond it where the fan goes on at its last.
  [[nodiscard]] Array surplus_of_first(const Array& q) const;
  [[nodiscard]] Array surplus_of_last(const Array& q) const;
  [[nodiscard]] double margin_m3_s() const;
  [[nodiscard]] Array close_in(Surplus wanted, const Bracket& from, const Flags& crosses) const;

  const solve::FanAtSpeed& fan_;
  Eigen::Index lanes_;
  double central_m3_s_;
  double slope_pa_s_m3_;
  Array expected_;
  solve::RunLossOf<Array> loss_;
  Array airflow_;
  Array pressure_;
  Array dynamic_;
  Array end_pa_;
  const solve::UncertainRoom* room_ = nullptr;
  std::vector<Array> room_z_;  ///< [errors of the room]
};

}  // namespace ductledger::result
