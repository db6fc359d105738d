#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <iterator>
#include <limits>
#include <numeric>

#include "duct/colebrook.hpp"
#include "duct/friction.hpp"
#include "result/lanes_internal.hpp"
#include "solve/airflow_bounds.hpp"

namespace ductledger::solve {

Array LossScalar<Array>::friction_factor(const Array& reynolds, const Array& relative_roughness) {
  constexpr double kTurbulentFrom = 4000.0;
  const Array a = relative_roughness * duct::colebrook::kPerRoughness;
  const Array b = 2.51 / reynolds.max(kTurbulentFrom);
  Array x(a.size());
  for (Eigen::Index i = 0; i < x.size(); ++i) {
    x[i] = duct::colebrook::start(a[i], b[i]);
  }
  const Array sum = a + b * x;
  const Array log_of_sum = sum.log();
  for (Eigen::Index i = 0; i < x.size(); ++i) {
    x[i] = duct::colebrook::root(b[i], x[i], sum[i], log_of_sum[i]);
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
/// Or this share of it from the crossing, by the chord.
constexpr double kOff = 0.1;
constexpr int kMostIterations = 100;
/// Share of a bracket: an answer expected so near its end is no better than the middle.
constexpr double kNearEnd = 0.01;

/// The errors of a block of samples, shape [lanes] each.
class Lanes : public solve::Perturbed<Array, Lanes> {
 public:
  Lanes(const Model::Arrays& arrays, std::vector<Eigen::Map<const Array>> z, Eigen::Index count)
      : Perturbed(arrays), z_(std::move(z)), count_(count), made_(z_.size()) {
    for (std::size_t i = 0; i < arrays.sections.size(); ++i) {
      scales_.push_back(scale_of(i));
    }
  }

  using Perturbed::factor;
  /// Many pieces share an error, such as that of the air's density: made once.
  [[nodiscard]] const Array& factor(const Factor& f) const {
    Made& made = made_[f.source];
    if (made.value.size() == 0 || made.u != f.u) {
      made = {f.u, newly_made(f)};
    }
    return made.value;
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
  struct Made {
    double u = 0.0;
    Array value;
  };
  [[nodiscard]] Array newly_made(const Factor& f) const {
    if (f.u >= solve::kLognormalFrom) {
      return (std::sqrt(std::log1p(f.u * f.u)) * z_[f.source]).exp();
    }
    return z_[f.source].unaryExpr([&](double value) { return f.at(value); });
  }

  std::vector<Eigen::Map<const Array>> z_;
  Eigen::Index count_;
  mutable std::vector<Made> made_;  ///< [sources]
  std::vector<solve::SectionScale<Array>> scales_;
};

}  // namespace

Block::Block(const SampledRun& run, const Linear& linear, const Columns& z, Eigen::Index lanes)
    : fan_(run.fan),
      lanes_(lanes),
      central_m3_s_(linear.airflow_m3_s),
      slope_pa_s_m3_(linear.slope_pa_s_m3) {
  expected_ = Array::Constant(lanes_, linear.airflow_m3_s);
  for (std::size_t i = 0; i < z.size(); ++i) {
    expected_ += linear.changes[i] * z[i];
  }
  const Model::Arrays& arrays = run.arrays;
  const Lanes errors(arrays, z, lanes_);
  loss_ = errors.loss();
  airflow_ = errors.fan_airflow();
  pressure_ = errors.fan_pressure();
  dynamic_ = errors.fan_dynamic();
  end_pa_ = errors.end_pa();
  room_ = arrays.room.get();
  for (const std::size_t source : arrays.room_sources) {
    room_z_.emplace_back(z[source]);
  }
}

Block::Block(const Block& all, const Places& places)
    : fan_(all.fan_),
      lanes_(static_cast<Eigen::Index>(places.size())),
      central_m3_s_(all.central_m3_s_),
      slope_pa_s_m3_(all.slope_pa_s_m3_),
      expected_(all.expected_(places)),
      loss_(all.loss_.each_term([&](const Array& term) { return Array(term(places)); })),
      airflow_(all.airflow_(places)),
      pressure_(all.pressure_(places)),
      dynamic_(all.dynamic_(places)),
      end_pa_(all.end_pa_(places)),
      room_(all.room_) {
  for (const Array& z : all.room_z_) {
    room_z_.emplace_back(z(places));
  }
}

namespace {

using Places = Block::Places;

Places places_of(const Block::Flags& wanted) {
  Places places;
  for (Eigen::Index i = 0; i < wanted.size(); ++i) {
    if (wanted[i]) {
      places.push_back(i);
    }
  }
  return places;
}

/// The last place over again until they fill a word.
Places filled(Places places) {
  while (static_cast<Eigen::Index>(places.size()) % Block::kWord != 0) {
    places.push_back(places.back());
  }
  return places;
}

/// So few of all that they are better solved by themselves.
bool are_few(std::size_t wanted, Eigen::Index all) {
  return 4 * static_cast<Eigen::Index>(wanted) < 3 * all;
}

/// The lanes of a block that a search goes on with, by themselves once they are few.
class GoingOn {
 public:
  /// @param open places in `all`, which has to outlive it
  GoingOn(const Block& all, Places open)
      : all_(all), open_(std::move(open)), lane_of_(static_cast<std::size_t>(all.lanes())) {
    std::iota(lane_of_.begin(), lane_of_.end(), Eigen::Index{0});
  }

  [[nodiscard]] bool any() const noexcept { return !open_.empty(); }
  [[nodiscard]] const Block& block() const noexcept { return some_ ? *some_ : all_; }
  /// @param pick called with the places that stay of what the search holds of the block's lanes
  template <class Pick>
  void narrow(const Pick& pick) {
    if (!are_few(open_.size(), block().lanes())) {
      return;
    }
    const Places places = filled(open_);
    some_.emplace(Block(block(), places));
    pick(places);
    for (std::size_t i = 0; i < open_.size(); ++i) {
      lane_of_[i] = lane_of_[static_cast<std::size_t>(open_[i])];
      open_[i] = static_cast<Eigen::Index>(i);
    }
  }
  /// Lets go those that are settled. @param settled of a place in `block` and its lane in `all`
  template <class Settled>
  void let_go(const Settled& settled) {
    std::erase_if(open_, [&](Eigen::Index i) { return settled(i, lane_of(i)); });
  }
  /// Their lanes in `all`.
  [[nodiscard]] Places lanes() const {
    Places lanes;
    std::ranges::transform(
        open_, std::back_inserter(lanes), [this](Eigen::Index i) { return lane_of(i); });
    return lanes;
  }

 private:
  [[nodiscard]] Eigen::Index lane_of(Eigen::Index i) const {
    return lane_of_[static_cast<std::size_t>(i)];
  }

  const Block& all_;
  std::optional<Block> some_;
  Places open_;     ///< in `block`
  Places lane_of_;  ///< of a place in `block` that in `all`
};

void pick(std::initializer_list<Array*> arrays, const Places& places) {
  for (Array* array : arrays) {
    *array = Array((*array)(places));
  }
}

/// A search on every lane: Chandrupatla's method, inverse quadratic steps where they are safe, else
/// halving.
struct Search {
  Array a;
  Array fa;
  Array b;
  Array fb;
  Array c;
  Array fc;
  Array t;  ///< where between a and b is looked next

  /// Takes in what was found at `x`. @return whether the lane is settled, at a
  bool step(Eigen::Index i, double x, double fx, double width_m3_s) {
    if ((fx > 0.0) == (fa[i] > 0.0)) {
      c[i] = a[i];
      fc[i] = fa[i];
    } else {
      c[i] = b[i];
      fc[i] = fb[i];
      b[i] = a[i];
      fb[i] = fa[i];
    }
    a[i] = x;
    fa[i] = fx;
    const double span = std::abs(b[i] - a[i]);
    // How far the crossing is from here by the chord.
    const double off = span * std::abs(fa[i] / (fb[i] - fa[i]));
    if (span <= width_m3_s || off <= kOff * width_m3_s) {
      return true;
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
    return false;
  }

  [[nodiscard]] double best(Eigen::Index i) const {
    return std::abs(fa[i]) < std::abs(fb[i]) ? a[i] : b[i];
  }
};

}  // namespace

/// Of lanes that do not cross: no meaning.
Array Block::close_in(Surplus wanted, const Bracket& from, const Flags& crosses) const {
  const double width_m3_s = kWidth * fan_.curve.last_airflow_m3_s();
  // The search begins where first order expects the answer, else in the middle.
  const Array t = (expected_ - from.high) / (from.low - from.high);
  Search search{.a = from.high,
                .fa = from.g_high,
                .b = from.low,
                .fb = from.g_low,
                .c = from.low,
                .fc = from.g_low,
                .t = (t > kNearEnd && t < 1.0 - kNearEnd).select(t, 0.5)};
  Array best = (from.g_high == 0.0).select(from.high, 0.5 * (from.high + from.low));
  GoingOn going(*this, places_of(crosses && from.g_high != 0.0));
  for (int iteration = 0; iteration < kMostIterations && going.any(); ++iteration) {
    going.narrow([&](const Places& places) {
      pick({&search.a, &search.fa, &search.b, &search.fb, &search.c, &search.fc, &search.t},
           places);
    });
    const Array x = search.a + search.t * (search.b - search.a);
    const Array fx = (going.block().*wanted)(x);
    going.let_go([&](Eigen::Index i, Eigen::Index lane) {
      const bool settled = search.step(i, x[i], fx[i], width_m3_s);
      best[lane] = search.best(i);
      return settled;
    });
  }
  return best;
}

/// Of those wanted; of the others no meaning.
Array Block::at_wanted(Surplus asked, const Array& q, const Flags& wanted) const {
  const Places places = places_of(wanted);
  if (places.empty() || !are_few(places.size(), lanes_)) {
    return (this->*asked)(q);
  }
  const Places padded = filled(places);
  const Array some = (Block(*this, padded).*asked)(q(padded));
  Array all = Array::Zero(lanes_);
  all(padded) = some;
  return all;
}

/// Of a surplus that falls: from where first order expects a lane along the slope of the run
/// without errors, then along chords. Where that leads astray, by a bracket.
Block::Crossings Block::followed() const {
  constexpr int kMostSteps = 6;
  const auto knots = fan_.curve.knots_m3_s();
  const double least_m3_s = kOff * kWidth * knots.back();
  const Array first = knots.front() * airflow_;
  const Array last = knots.back() * airflow_;
  Crossings at{.root = expected_,
               .starts = Flags::Constant(lanes_, true),
               .crosses = Flags::Constant(lanes_, true)};
  GoingOn going(*this, places_of(at.starts));
  Places astray;
  Array x = expected_.max(first).min(last);
  Array before = x;
  Array g_before = Array::Zero(lanes_);
  for (int step = 0; step < kMostSteps && going.any(); ++step) {
    going.narrow([&](const Places& places) { pick({&x, &before, &g_before}, places); });
    const Array g = going.block().surplus(x);
    going.let_go([&](Eigen::Index i, Eigen::Index lane) {
      if (x[i] == last[lane] && g[i] > 0.0) {
        at.crosses[lane] = false;
        return true;
      }
      if (x[i] == first[lane] && g[i] <= 0.0) {
        at.starts[lane] = false;
        return true;
      }
      const double came = x[i] - before[i];
      const double slope = step == 0 ? slope_pa_s_m3_ : (g[i] - g_before[i]) / came;
      if (!(slope < 0.0)) {
        astray.push_back(lane);
        return true;
      }
      const double goes = -g[i] / slope;
      const double next = std::clamp(x[i] + goes, first[lane], last[lane]);
      at.root[lane] = next;
      // A chord's step leaves about as much of itself as the step before was of the airflow.
      if (step > 0 && std::abs(goes * came) <= least_m3_s * x[i]) {
        return true;
      }
      before[i] = x[i];
      g_before[i] = g[i];
      x[i] = next;
      return false;
    });
  }
  std::ranges::copy(going.lanes(), std::back_inserter(astray));
  if (!astray.empty()) {
    const Places places = filled(astray);
    const Crossings others = Block(*this, places).bracketed(true);
    at.root(places) = others.root;
    at.starts(places) = others.starts;
    at.crosses(places) = others.crosses;
  }
  return at;
}

Block::Crossings Block::bracketed(bool surplus_falls) const {
  const auto knots = fan_.curve.knots_m3_s();
  Crossings at;
  Ends ends;
  if (surplus_falls) {
    ends = around_expected(at.starts, at.crosses);
  } else {
    ends.low = knots.front() * airflow_;
    ends.g_low = surplus(ends.low);
    ends.high = knots.back() * airflow_;
    ends.g_high = surplus(ends.high);
    at.starts = ends.g_low > 0.0;
    walk(at.starts, ends, at.crosses);
  }
  at.root = close_in(
      &Block::surplus, {ends.low, ends.high, ends.g_low, ends.g_high}, at.starts && at.crosses);
  return at;
}

void Block::answer(Samples& samples) const {
  const auto knots = fan_.curve.knots_m3_s();
  const bool surplus_falls = falls();
  const bool expects = std::isfinite(central_m3_s_) && slope_pa_s_m3_ < 0.0;
  const auto [root, starts, crosses] =
      surplus_falls && expects ? followed() : bracketed(surplus_falls);
  const Flags rises = loss_.rises(dynamic_);
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

void Block::answer(const Places& places, Samples& samples) const {
  if (places.empty()) {
    return;
  }
  const std::size_t count = samples.status.size() + places.size();
  Block(*this, filled(places)).answer(samples);
  samples.low_m3_s.resize(count);
  samples.high_m3_s.resize(count);
  samples.status.resize(count);
}

Array Block::without_curve(const Array& q) const {
  Array g = dynamic_ * q.square() - loss_.at(q) - end_pa_;
  if (room_ != nullptr) {
    std::array<double, solve::UncertainRoom::kMostErrors> own{};
    for (Eigen::Index i = 0; i < lanes_; ++i) {
      for (std::size_t k = 0; k < room_z_.size(); ++k) {
        own[k] = room_z_[k][i];
      }
      g[i] -= room_->suction_pa(q[i], {own.data(), room_z_.size()});
    }
  }
  return g;
}

Array Block::surplus(const Array& q) const {
  Array g = without_curve(q);
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
  const Array g = at_wanted(&Block::surplus, side, aside);
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
  inside = inside && at_wanted(&Block::surplus, low, inside) > 0.0;
  return inside && at_wanted(&Block::surplus, high, inside) < 0.0;
}

Array Block::surplus_of_first(const Array& q) const {
  return pressure_ * fan_.curve.cubic(0).c0 + without_curve(q);
}

Array Block::surplus_of_last(const Array& q) const {
  return pressure_ * solve::last_pressure_pa(fan_.curve) + without_curve(q);
}

Block::Beyond Block::beyond() const {
  Beyond lanes;
  lanes.least_m3_s = fan_.curve.knots_m3_s().back() * airflow_;
  const Array left = surplus_of_last(lanes.least_m3_s);
  // Of the pressure at rest; rounding changes less.
  constexpr double kSurely = 1e-9;
  lanes.is = left > kSurely * fan_.curve.cubic(0).c0 * pressure_;
  const Array held = pressure_ * solve::last_pressure_pa(fan_.curve);
  const Array asked = (held - left).max(1e-9 * held);
  lanes.about_m3_s = loss_.rises(dynamic_).select(lanes.least_m3_s * (held / asked).sqrt(),
                                                  std::numeric_limits<double>::infinity());
  return lanes;
}

Block::Flags Block::beyond_but_below(double airflow_m3_s) const {
  const Array last = fan_.curve.knots_m3_s().back() * airflow_;
  const Array at = Array::Constant(lanes_, airflow_m3_s - margin_m3_s());
  const Flags ends_before = last < at;
  return ends_before && at_wanted(&Block::surplus_of_last, at, ends_before) < 0.0;
}

/// Where the run asks for the pressure of the curve's first point: a fan that falls makes at least
/// that to the left of it. @source this project, see `solve::airflow_bounds`
Array Block::least_below(const Flags& below) const {
  Array least = Array::Constant(lanes_, -std::numeric_limits<double>::infinity());
  if (!below.any()) {
    return least;
  }
  constexpr Surplus kAgainst = &Block::surplus_of_first;
  const Array low = Array::Zero(lanes_);
  const Array high = fan_.curve.first_airflow_m3_s() * airflow_;
  const Array g_low = at_wanted(kAgainst, low, below);
  const Flags flows = below && g_low > 0.0;
  const Array g_high = at_wanted(kAgainst, high, flows);
  const Array root = close_in(kAgainst, {low, high, g_low, g_high}, flows);
  least = below.select(0.0, least);
  return flows.select(root, least);
}

/// The same of its last point, to the right of which the fan makes at most that.
Array Block::most_beyond(const Flags& beyond) const {
  Array most = Array::Constant(lanes_, std::numeric_limits<double>::infinity());
  if (!beyond.any()) {
    return most;
  }
  constexpr Surplus kAgainst = &Block::surplus_of_last;
  const Array low = fan_.curve.last_airflow_m3_s() * airflow_;
  const Array g_low = at_wanted(kAgainst, low, beyond);
  Array high = low;
  Array g_high = g_low;
  for (int i = 0; i < solve::kBoundDoublings; ++i) {
    const Flags wants = beyond && g_high > 0.0;
    if (!wants.any()) {
      break;
    }
    high = wants.select(2.0 * high, high);
    g_high = wants.select(at_wanted(kAgainst, high, wants), g_high);
  }
  const Flags meets = beyond && g_high <= 0.0;
  const Array root = close_in(kAgainst, {low, high, g_low, g_high}, meets);
  return meets.select(root, most);
}

}  // namespace ductledger::result
