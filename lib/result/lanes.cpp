#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "duct/friction.hpp"
#include "result/lanes_internal.hpp"
#include "solve/airflow_bounds.hpp"

namespace ductledger::solve {

Array LossScalar<Array>::friction_factor(const Array& reynolds, const Array& relative_roughness) {
  constexpr double kTurbulentFrom = 4000.0;
  const double k = 2.0 / std::log(10.0);
  const Array a = relative_roughness / 3.7;
  const Array b = 2.51 / reynolds.max(kTurbulentFrom);
  Array x = -k * (a + 7.0 * b).log();
  for (int step = 0; step < 2; ++step) {
    const Array sum = a + b * x;
    const Array value = x + k * sum.log();
    const Array ratio = b / sum;
    const Array slope = 1.0 + k * ratio;
    x -= 2.0 * value * slope / (2.0 * slope.square() + value * k * ratio.square());
  }
  Array f = x.square().inverse();
  for (Eigen::Index i = 0; i < f.size(); ++i) {
    if (reynolds[i] < kTurbulentFrom) {
      f[i] = reynolds[i] > 0.0 ? duct::friction_factor({reynolds[i], relative_roughness[i]}) : 0.0;
    }
  }
  return f;
}

}  // namespace ductledger::solve

namespace ductledger::result {
namespace {

using solve::Array;
using Factor = solve::ErrorModel::Factor;
using Model = solve::ErrorModel;
using solve::Status;

constexpr int kStepsPerSegment = 12;
/// Bracket narrower than this share of the curve's range.
constexpr double kWidth = 1e-10;
constexpr int kMostIterations = 100;
/// Share of a bracket: an answer expected so near its end is no better than the
/// middle.
constexpr double kNearEnd = 0.01;

/// The errors of a block of samples, shape [lanes] each.
class Lanes : public solve::Perturbed<Array, Lanes> {
 public:
  Lanes(const Model::Arrays& arrays, std::vector<Eigen::Map<const Array>> z, Eigen::Index count)
      : Perturbed(arrays), z_(std::move(z)), count_(count) {
    for (std::size_t i = 0; i < arrays.sections.size(); ++i) {
      scales_.push_back(scale_of(i));
    }
  }

  using Perturbed::factor;
  [[nodiscard]] Array factor(const Factor& f) const {
    if (f.u >= solve::kLognormalFrom) {
      return (std::sqrt(std::log1p(f.u * f.u)) * z_[f.source]).exp();
    }
    return z_[f.source].unaryExpr([&](double value) { return f.at(value); });
  }
  [[nodiscard]] Array added(const Model::Added& more) const {
    return z_[more.source].unaryExpr([&](double value) { return more.at(value); });
  }
  [[nodiscard]] const Eigen::Map<const Array>& z(std::size_t source) const { return z_[source]; }
  [[nodiscard]] Array constant(double value) const { return Array::Constant(count_, value); }
  [[nodiscard]] const solve::SectionScale<Array>& scale(std::size_t section) const {
    return scales_[section];
  }

 private:
  std::vector<Eigen::Map<const Array>> z_;
  Eigen::Index count_;
  std::vector<solve::SectionScale<Array>> scales_;
};

}  // namespace

Block::Block(const SampledRun& run, const Linear& linear, const Columns& z, Eigen::Index lanes)
    : fan_(run.fan), z_(z), lanes_(lanes), central_m3_s_(linear.airflow_m3_s) {
  expected_ = Array::Constant(lanes_, linear.airflow_m3_s);
  for (std::size_t i = 0; i < z_.size(); ++i) {
    expected_ += linear.changes[i] * z_[i];
  }
  const Model::Arrays& arrays = run.arrays;
  const Lanes errors(arrays, z_, lanes_);
  loss_ = errors.loss();
  airflow_ = errors.fan_airflow();
  pressure_ = errors.fan_pressure();
  dynamic_ = errors.fan_dynamic();
  end_pa_ = errors.end_pa();
  room_ = arrays.room.get();
  room_sources_ = arrays.room_sources;
}

/// Chandrupatla's method on all lanes: inverse quadratic steps where they are
/// safe, else halving.
template <class Function>
Array Block::close_in(const Function& function, const Bracket& from, const Flags& crosses) const {
  const double width_m3_s = kWidth * fan_.curve.last_airflow_m3_s();
  Array a = from.high;
  Array fa = from.g_high;
  Array b = from.low;
  Array fb = from.g_low;
  Array c = b;
  Array fc = fb;
  // The search begins where first order expects the answer, else in the
  // middle.
  Array t = (expected_ - a) / (b - a);
  t = (t > kNearEnd && t < 1.0 - kNearEnd).select(t, 0.5);
  Array best = (fa == 0.0).select(a, 0.5 * (a + b));
  for (int iteration = 0; iteration < kMostIterations; ++iteration) {
    const Array x = a + t * (b - a);
    const Flags open = crosses && fa != 0.0;
    if (!open.any()) {
      break;
    }
    const Array fx = function(x, open);
    for (Eigen::Index i = 0; i < lanes_; ++i) {
      if (!open[i]) {
        continue;
      }
      if ((fx[i] > 0.0) == (fa[i] > 0.0)) {
        c[i] = a[i];
        fc[i] = fa[i];
      } else {
        c[i] = b[i];
        fc[i] = fb[i];
        b[i] = a[i];
        fb[i] = fa[i];
      }
      a[i] = x[i];
      fa[i] = fx[i];
      best[i] = std::abs(fa[i]) < std::abs(fb[i]) ? a[i] : b[i];
      const double span = std::abs(b[i] - a[i]);
      if (span <= width_m3_s || fa[i] == 0.0) {
        fa[i] = 0.0;  // settled
        continue;
      }
      const double xi = (a[i] - b[i]) / (c[i] - b[i]);
      const double phi = (fa[i] - fb[i]) / (fc[i] - fb[i]);
      const bool quadratic = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
      double next = 0.5;
      if (quadratic) {
        next = fa[i] / (fb[i] - fa[i]) * fc[i] / (fb[i] - fc[i]) +
               (c[i] - a[i]) / (b[i] - a[i]) * fa[i] / (fc[i] - fa[i]) * fb[i] / (fc[i] - fb[i]);
      }
      const double least = 0.5 * width_m3_s / span;
      t[i] = std::clamp(next, least, 1.0 - least);
    }
  }
  return best;
}

void Block::answer(Samples& samples) const {
  const auto knots = fan_.curve.knots_m3_s();
  Flags starts;
  Flags crosses;
  Ends ends;
  if (falls()) {
    ends = around_expected(starts, crosses);
  } else {
    ends.low = knots.front() * airflow_;
    ends.g_low = surplus(ends.low);
    ends.high = knots.back() * airflow_;
    ends.g_high = surplus(ends.high);
    starts = ends.g_low > 0.0;
    walk(starts, ends, crosses);
  }
  const Flags rises = loss_.rises(dynamic_);
  const auto by_curve = [&](const Array& q, const Flags& open) { return surplus(q, &open); };
  const Array root =
      close_in(by_curve, {ends.low, ends.high, ends.g_low, ends.g_high}, starts && crosses);
  const Flags bounded = rises && Flags::Constant(lanes_, fan_.falls_throughout);
  const Array least = least_below(bounded && !starts);
  const Array most = most_beyond(bounded && starts && !crosses);
  for (Eigen::Index i = 0; i < lanes_; ++i) {
    Status status = Status::found;
    double least_m3_s = root[i];
    double most_m3_s = root[i];
    if (!starts[i]) {
      const bool starts_at_zero = knots.front() <= 0.0;
      status = starts_at_zero ? Status::no_flow : Status::below_curve;
      most_m3_s = knots.front() * airflow_[i];
      least_m3_s = starts_at_zero ? most_m3_s : least[i];
    } else if (!crosses[i]) {
      status = Status::beyond_curve;
      least_m3_s = knots.back() * airflow_[i];
      most_m3_s = most[i];
    }
    samples.low_m3_s.push_back(least_m3_s);
    samples.high_m3_s.push_back(most_m3_s);
    samples.status.push_back(status);
  }
}

Array Block::without_curve(const Array& q, const Flags* wanted) const {
  Array g = dynamic_ * q.square() - loss_.at(q) - end_pa_;
  if (room_ != nullptr) {
    std::array<double, solve::UncertainRoom::kMostErrors> own{};
    for (Eigen::Index i = 0; i < lanes_; ++i) {
      if (wanted != nullptr && !(*wanted)[i]) {
        continue;  // a room costs more than the run
      }
      for (std::size_t k = 0; k < room_sources_.size(); ++k) {
        own[k] = z_[room_sources_[k]][i];
      }
      g[i] -= room_->suction_pa(q[i], {own.data(), room_sources_.size()});
    }
  }
  return g;
}

Array Block::surplus(const Array& q, const Flags* wanted) const {
  Array g = without_curve(q, wanted);
  const auto knots = fan_.curve.knots_m3_s();
  for (Eigen::Index i = 0; i < lanes_; ++i) {
    const double at = q[i] / airflow_[i];
    const auto next = std::upper_bound(knots.begin() + 1, knots.end() - 1, at);
    const auto segment = static_cast<std::size_t>(next - knots.begin()) - 1;
    g[i] += pressure_[i] * fan_.curve.cubic(segment).value(at - knots[segment]);
  }
  return g;
}

/// Whether the surplus of every sample is sure to fall from knot to knot.
bool Block::falls() const {
  const Array sure = loss_.sure_square_pa_s2_m6();
  if (!fan_.falls_throughout || !loss_.rises(sure).all()) {
    return false;
  }
  // P(q / a) p + e q^2 falls where P(x) + (e a^2 / p) x^2 does.
  const double excess = ((dynamic_ - sure) * airflow_.square() / pressure_).maxCoeff();
  for (std::size_t i = 0; excess > 0.0 && i < fan_.curve.segment_count(); ++i) {
    if (fan_.curve.greatest_slope(i, excess) > 0.0) {
      return false;
    }
  }
  return true;
}

/// Of a surplus that falls: the stretch around what first order expects, or where that does not
/// hold the crossing, what the curve has to the side of it.
Block::Ends Block::around_expected(Flags& starts, Flags& crosses) const {
  constexpr double kOfChange = 0.15;
  constexpr double kOfCurve = 1e-3;
  const auto knots = fan_.curve.knots_m3_s();
  const Array first = knots.front() * airflow_;
  const Array last = knots.back() * airflow_;
  Ends ends;
  if (expected_.allFinite()) {
    const Array width = kOfChange * (expected_ - central_m3_s_).abs() + kOfCurve * last;
    ends.low = (expected_ - width).max(first).min(last);
    ends.high = (expected_ + width).max(first).min(last);
  } else {
    ends.low = first;
    ends.high = last;
  }
  ends.g_low = surplus(ends.low);
  ends.g_high = surplus(ends.high);
  const Flags left = ends.g_low <= 0.0;
  const Flags right = ends.g_high > 0.0;
  starts = Flags::Constant(lanes_, true);
  crosses = starts;
  if (!left.any() && !right.any()) {
    return ends;
  }
  const Array side = left.select(first, right.select(last, ends.low));
  const Flags aside = left || right;
  const Array g = surplus(side, &aside);
  starts = !left || g > 0.0;
  crosses = !right || g <= 0.0;
  const Ends near = ends;
  ends.low = left.select(side, right.select(near.high, near.low));
  ends.g_low = left.select(g, right.select(near.g_high, near.g_low));
  ends.high = left.select(near.low, right.select(side, near.high));
  ends.g_high = left.select(near.g_low, right.select(g, near.g_high));
  return ends;
}

/// From rest on, the first place where the surplus turns negative, of those that start above it.
void Block::walk(const Flags& starts, Ends& to, Flags& crosses) const {
  auto& [low, high, g_low, g_high] = to;
  const auto knots = fan_.curve.knots_m3_s();
  crosses = Flags::Constant(lanes_, false);
  Array q_before = low;
  Array g_before = g_low;
  for (std::size_t segment = 0; segment + 1 < knots.size(); ++segment) {
    const double step = (knots[segment + 1] - knots[segment]) / kStepsPerSegment;
    for (int i = 1; i <= kStepsPerSegment; ++i) {
      if ((crosses || !starts).all()) {
        return;
      }
      const Array q = (knots[segment] + step * i) * airflow_;
      const Array g = surplus(q);
      const Flags here = !crosses && g_before > 0.0 && g <= 0.0;
      low = here.select(q_before, low);
      high = here.select(q, high);
      g_low = here.select(g_before, g_low);
      g_high = here.select(g, g_high);
      crosses = crosses || here;
      q_before = q;
      g_before = g;
    }
  }
}

/// A search ends this near its crossing at most, and rounding moves a crossing less.
double Block::margin_m3_s() const { return 1e3 * kWidth * fan_.curve.last_airflow_m3_s(); }

Block::Flags Block::cross_between(const solve::AirflowLimits& limits) const {
  const auto knots = fan_.curve.knots_m3_s();
  const Array first = knots.front() * airflow_;
  const Array last = knots.back() * airflow_;
  const Array low = first.max(limits.low_m3_s + margin_m3_s());
  const Array high = last.min(limits.high_m3_s - margin_m3_s());
  Flags inside = low < high;
  inside = inside && surplus(low, &inside) > 0.0;
  return inside && surplus(high, &inside) < 0.0;
}

Array Block::held_surplus(const Array& q, const Flags* wanted) const {
  return pressure_ * solve::last_pressure_pa(fan_.curve) + without_curve(q, wanted);
}

Block::Beyond Block::beyond() const {
  Beyond lanes;
  lanes.least_m3_s = fan_.curve.knots_m3_s().back() * airflow_;
  // Of the pressure at rest; rounding changes less.
  constexpr double kSurely = 1e-9;
  lanes.is = surplus(lanes.least_m3_s) > kSurely * fan_.curve.cubic(0).c0 * pressure_;
  const Array held = pressure_ * solve::last_pressure_pa(fan_.curve);
  const Array asked = (held - held_surplus(lanes.least_m3_s)).max(1e-9 * held);
  lanes.about_m3_s = loss_.rises(dynamic_).select(lanes.least_m3_s * (held / asked).sqrt(),
                                                  std::numeric_limits<double>::infinity());
  return lanes;
}

Block::Flags Block::beyond_but_below(double airflow_m3_s) const {
  const Array last = fan_.curve.knots_m3_s().back() * airflow_;
  const Array at = Array::Constant(lanes_, airflow_m3_s - margin_m3_s());
  const Flags ends_before = last < at;
  return ends_before && held_surplus(at, &ends_before) < 0.0;
}

/// Where the run asks for the pressure of the curve's first point: a fan that
/// falls makes at least that to the left of it. @source this project, see
/// `solve::airflow_bounds`
Array Block::least_below(const Flags& below) const {
  Array least = Array::Constant(lanes_, -std::numeric_limits<double>::infinity());
  if (!below.any()) {
    return least;
  }
  const Array held = pressure_ * fan_.curve.cubic(0).c0;
  const auto against = [&](const Array& q, const Flags& wanted) {
    return Array(held + without_curve(q, &wanted));
  };
  const Array low = Array::Zero(lanes_);
  const Array high = fan_.curve.first_airflow_m3_s() * airflow_;
  const Array g_low = against(low, below);
  const Flags flows = below && g_low > 0.0;
  const Array root = close_in(against, {low, high, g_low, against(high, flows)}, flows);
  least = below.select(0.0, least);
  return flows.select(root, least);
}

/// The same of its last point, to the right of which the fan makes at most
/// that.
Array Block::most_beyond(const Flags& beyond) const {
  Array most = Array::Constant(lanes_, std::numeric_limits<double>::infinity());
  if (!beyond.any()) {
    return most;
  }
  const auto against = [&](const Array& q, const Flags& wanted) {
    return held_surplus(q, &wanted);
  };
  const Array low = fan_.curve.last_airflow_m3_s() * airflow_;
  Array high = low;
  Array g_high = against(high, beyond);
  for (int i = 0; i < solve::kBoundDoublings; ++i) {
    const Flags wants = beyond && g_high > 0.0;
    if (!wants.any()) {
      break;
    }
    high = wants.select(2.0 * high, high);
    g_high = wants.select(against(high, wants), g_high);
  }
  const Flags meets = beyond && g_high <= 0.0;
  const Array root = close_in(against, {low, high, against(low, meets), g_high}, meets);
  return meets.select(root, most);
}

}  // namespace ductledger::result
