#include "solve/operating_point.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>

#include "numeric/root.hpp"
#include "solve/airflow_bounds.hpp"
#include "solve/work.hpp"

namespace ductledger::solve {
namespace {

constexpr double kResidualShare = 1e-9;
constexpr double kWidthShare = 1e-13;
/// Samples a segment of the curve is searched with where more than one crossing may hide in it.
constexpr int kSamples = 48;

/// What the fan has left over the losses at an airflow, on one segment of its curve.
class Surplus {
 public:
  Surplus(const Demand& demand, const FanAtSpeed& fan) noexcept : demand_(demand), fan_(fan) {}

  [[nodiscard]] double fan_total_pa(std::size_t segment, double q) const noexcept {
    const fan::FanCurve::Cubic& c = fan_.curve.cubic(segment);
    const double x = q - fan_.curve.knots_m3_s()[segment];
    return c.c0 + x * (c.c1 + x * (c.c2 + x * c.c3)) + fan_.dynamic_pa_s2_m6 * q * q;
  }
  [[nodiscard]] double operator()(std::size_t segment, double q) const noexcept {
    return demand_.left_pa(fan_total_pa(segment, q), q);
  }
  [[nodiscard]] double at_knot(std::size_t i) const noexcept {
    const std::size_t last = fan_.curve.segment_count() - 1;
    return (*this)(std::min(i, last), fan_.curve.knots_m3_s()[i]);
  }

 private:
  const Demand& demand_;
  const FanAtSpeed& fan_;
};

struct Sample {
  std::size_t segment;
  double q;
  double g;
};

class Search {
 public:
  Search(const Demand& demand, const FanAtSpeed& fan) noexcept
      : surplus_(demand, fan), fan_(fan), knots_(fan.curve.knots_m3_s()) {
    double scale_pa = 0.0;
    for (std::size_t i = 0; i < fan.curve.segment_count(); ++i) {
      scale_pa = std::max(scale_pa, std::abs(fan.curve.cubic(i).c0));
    }
    stop_.residual_max = kResidualShare * std::max(scale_pa, 1e-6);
    stop_.width_absolute = kWidthShare * knots_.back();
    stop_.width_relative = 0.0;
    excess_pa_s2_m6_ = std::max(0.0, fan.dynamic_pa_s2_m6 - demand.loss.sure_square_pa_s2_m6());
    rest_rises_ = demand.rises(demand.loss.sure_square_pa_s2_m6());
    single_ = true;
    for (std::size_t i = 0; i + 1 < knots_.size() && single_; ++i) {
      single_ = falls(i);
    }
  }

  OperatingPoint run() noexcept {
    const double first = surplus_.at_knot(0);
    const double last = surplus_.at_knot(knots_.size() - 1);
    if (single_) {
      if (first > 0.0 && last <= 0.0) {
        find_single(first, last);
      }
    } else {
      find_all();
    }
    return settle(first, last);
  }

 private:
  /// Whether the difference is sure to fall from knot to knot.
  [[nodiscard]] bool falls(std::size_t segment) const noexcept {
    return rest_rises_ && fan_.curve.falls_in_segment(segment) &&
           (excess_pa_s2_m6_ == 0.0 || fan_.curve.greatest_slope(segment, excess_pa_s2_m6_) <= 0.0);
  }

  /// One falling difference: halve the knots, then close in.
  void find_single(double first, double last) noexcept {
    std::size_t low = 0;
    std::size_t high = knots_.size() - 1;
    double g_low = first;
    double g_high = last;
    while (high - low > 1) {
      const std::size_t middle = (low + high) / 2;
      const double g = surplus_.at_knot(middle);
      if (g > 0.0) {
        low = middle;
        g_low = g;
      } else {
        high = middle;
        g_high = g;
      }
    }
    close_in({low, knots_[low], g_low}, {low, knots_[high], g_high});
  }

  void find_all() noexcept {
    for (std::size_t segment = 0; segment + 1 < knots_.size(); ++segment) {
      const double start = knots_[segment];
      const int samples = falls(segment) ? 1 : kSamples;
      const double step = (knots_[segment + 1] - start) / samples;
      Sample before{segment, start, surplus_(segment, start)};
      Sample at = before;
      for (int i = 1; i <= samples; ++i) {
        const double q = i == samples ? knots_[segment + 1] : start + step * i;
        const Sample next{segment, q, surplus_(segment, q)};
        if (i > 1) {
          look_for_touch(before, at, next);
        }
        if ((at.g > 0.0) != (next.g > 0.0)) {
          close_in(at, next);
        }
        before = at;
        at = next;
      }
    }
    std::sort(point_.crossings.begin(),
              point_.crossings.begin() + static_cast<std::ptrdiff_t>(point_.crossing_count),
              [](const Crossing& a, const Crossing& b) { return a.airflow_m3_s < b.airflow_m3_s; });
  }

  /// Two crossings between samples of equal sign: the difference turns back before it gets there.
  void look_for_touch(const Sample& a, const Sample& b, const Sample& c) noexcept {
    const bool positive = b.g > 0.0;
    if ((a.g > 0.0) != positive || (c.g > 0.0) != positive) {
      return;
    }
    const bool turns = positive ? (b.g <= a.g && b.g <= c.g) : (b.g >= a.g && b.g >= c.g);
    if (!turns) {
      return;
    }
    const double sign = positive ? 1.0 : -1.0;
    const auto distance = [&](double q) { return sign * surplus_(b.segment, q); };
    const auto [q, g] = boost::math::tools::brent_find_minima(distance, a.q, c.q, 40);
    if (g < 0.0) {
      const Sample turn{b.segment, q, sign * g};
      close_in(a, turn);
      close_in(turn, c);
    }
  }

  void close_in(const Sample& low, const Sample& high) noexcept {
    if (point_.crossing_count == OperatingPoint::kMaxCrossings) {
      point_.more_crossings = true;
      return;
    }
    const std::size_t segment = low.segment;
    const auto g = [&](double q) { return surplus_(segment, q); };
    const numeric::RootResult root = numeric::find_root(g, {low.q, high.q}, stop_);
    Crossing crossing;
    crossing.airflow_m3_s = root.root;
    crossing.total_pressure_pa = surplus_.fan_total_pa(segment, root.root);
    crossing.stable = low.g > 0.0;
    searches_[point_.crossing_count] = root;
    point_.crossings[point_.crossing_count++] = crossing;
    point_.iterations += root.iterations;
  }

  OperatingPoint settle(double first, double last) noexcept {
    const double q_first = knots_.front();
    const bool starts_at_zero = q_first <= 0.0;
    if (first <= 0.0) {
      point_.status = starts_at_zero ? Status::no_flow : Status::below_curve;
      point_.airflow_m3_s = q_first;
      point_.total_pressure_pa = surplus_.fan_total_pa(0, q_first);
      point_.residual_pa = first;
      return point_;
    }
    for (std::size_t i = 0; i < point_.crossing_count; ++i) {
      if (!point_.crossings[i].stable) {
        continue;
      }
      Crossing& chosen = point_.crossings[i];
      chosen.reached_from_rest = true;
      point_.status = Status::found;
      point_.stable = true;
      point_.airflow_m3_s = chosen.airflow_m3_s;
      point_.total_pressure_pa = chosen.total_pressure_pa;
      for (const numeric::RootResult& search : searches_) {
        if (search.root == chosen.airflow_m3_s) {
          point_.residual_pa = search.residual;
          point_.bracket_low_m3_s = search.bracket.low;
          point_.bracket_high_m3_s = search.bracket.high;
        }
      }
      return point_;
    }
    point_.status = Status::beyond_curve;
    point_.airflow_m3_s = knots_.back();
    point_.total_pressure_pa = surplus_.fan_total_pa(fan_.curve.segment_count() - 1, knots_.back());
    point_.residual_pa = last;
    return point_;
  }

  Surplus surplus_;
  const FanAtSpeed& fan_;
  std::span<const double> knots_;
  numeric::RootStop stop_;
  double excess_pa_s2_m6_ = 0.0;  ///< of the outlet's velocity pressure over what surely rises
  bool rest_rises_ = false;
  bool single_ = false;
  std::array<numeric::RootResult, OperatingPoint::kMaxCrossings> searches_{};
  OperatingPoint point_;
};

}  // namespace

OperatingPoint operating_point(const Demand& demand, const FanAtSpeed& fan) noexcept {
  count_operating_point();
  OperatingPoint point = Search(demand, fan).run();
  if (is_bound(point.status)) {
    const Bounded bounded{demand, fan, point.status};
    point.bounds = airflow_bounds(bounded);
    if (point.bounds) {
      point.estimate = airflow_estimate(bounded, *point.bounds);
    }
  }
  return point;
}

double best_airflow_m3_s(const OperatingPoint& point) noexcept {
  return point.estimate ? point.estimate->airflow_m3_s : point.airflow_m3_s;
}

bool is_bound(Status status) noexcept {
  return status == Status::beyond_curve || status == Status::below_curve;
}

bool has_best_airflow(const OperatingPoint& point) noexcept {
  return point.status == Status::found || point.estimate.has_value();
}

double greatest_airflow_m3_s(const OperatingPoint& point) noexcept {
  double greatest_m3_s = point.airflow_m3_s;
  for (std::size_t i = 0; i < point.crossing_count; ++i) {
    if (point.crossings[i].stable) {
      greatest_m3_s = std::max(greatest_m3_s, point.crossings[i].airflow_m3_s);
    }
  }
  return greatest_m3_s;
}

}  // namespace ductledger::solve
