#include <algorithm>
#include <array>
#include <boost/random/normal_distribution.hpp>
#include <cmath>
#include <functional>
#include <iterator>
#include <limits>
#include <map>
#include <numeric>
#include <optional>
#include <random>
#include <utility>

#include "base/expects.hpp"
#include "parallel/parallel.hpp"
#include "result/lanes_internal.hpp"
#include "result/points_internal.hpp"
#include "result/quantile_internal.hpp"
#include "result/uncertainty.hpp"
#include "solve/lump.hpp"
#include "solve/work.hpp"

namespace ductledger::result {
namespace {

using Model = solve::ErrorModel;

/// Where the run crosses its fan, or where the curve ends.
Linear linear(const Model& model) {
  Linear result;
  result.changes.assign(model.sources().size(), 0.0);
  const solve::PerturbedRun still = model.at(result.changes);
  const solve::OperatingPoint point = solve::operating_point(still.demand(), *still.fan);
  const double airflow_m3_s = point.airflow_m3_s;
  result.status = point.status;
  if (airflow_m3_s <= 0.0) {
    return result;
  }
  const solve::FirstOrder first = solve::first_order(model, airflow_m3_s);
  if (std::isfinite(first.standard_m3_s)) {
    result.airflow_m3_s = airflow_m3_s;
    result.slope_pa_s_m3 = first.slope_pa_s_m3;
    for (const solve::SourceEffect& effect : first.effects) {
      result.changes[effect.source] = effect.airflow_m3_s;
    }
  }
  return result;
}

/// FNV-1a, 64 bits.
std::uint64_t hash_of(std::string_view text) noexcept {
  std::uint64_t hash = 14695981039346656037U;
  for (const char c : text) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 1099511628211U;
  }
  return hash;
}

}  // namespace

std::vector<double> draw(std::string_view identity, const SampleOptions& options) {
  std::mt19937_64 engine(hash_of(identity) ^ (options.seed * 0x9e3779b97f4a7c15U));
  boost::random::normal_distribution<double> normal;  // the same digits on every platform
  std::vector<double> z(options.count);
  for (double& value : z) {
    value = normal(engine);
  }
  return z;
}

namespace {

using OfSources = std::vector<const std::vector<double>*>;  ///< [sources][count]
using Lanes = std::vector<std::size_t>;                     ///< which samples of all

Block::Columns columns(const OfSources& z, Eigen::Index start, Eigen::Index count) {
  Block::Columns all;
  for (const std::vector<double>* of_source : z) {
    all.emplace_back(of_source->data() + start, count);
  }
  return all;
}

/// Samples by themselves, with what is the same for all of them.
class Solver {
 public:
  Solver(const SampledRun& run, Linear expected, OfSources z, std::size_t count)
      : run_(run), expected_(std::move(expected)), z_(std::move(z)), count_(count) {
    DUCTLEDGER_EXPECTS(count > 0);
  }

  [[nodiscard]] Samples all() const {
    solve::count_samples(count_);
    Samples samples;
    for (const Block& block : blocks()) {
      block.answer(samples);
    }
    return samples;
  }

  /// Samples with the quantiles and the statuses of all of them, of which only those are solved
  /// that the quantiles may stand on: any other is shown to lie between the two by the sign of its
  /// surplus there. Nothing where that does not follow, as the surplus may rise.
  [[nodiscard]] std::optional<Samples> tails() const {
    if (count_ % Block::kWord != 0 || !run_.fan.falls_throughout || !falls()) {
      return std::nullopt;
    }
    const Tail tail = tail_of(count_);
    if (expected_.status == solve::Status::beyond_curve) {
      return tails_beyond(tail);
    }
    return std::isfinite(expected_.airflow_m3_s) ? tails_within(tail) : std::nullopt;
  }

 private:
  /// How many more than a tail holds are solved at first, since first order may order them wrongly.
  static constexpr std::size_t kMoreThanTail = 16;

  /// Where the curve is crossed.
  [[nodiscard]] std::optional<Samples> tails_within(const Tail& tail) const {
    const Lanes solved = likely(tail);
    const Samples answers = at(solved);
    const auto between = inner(answers, tail);
    if (!between) {
      return std::nullopt;
    }
    const Lanes more =
        open(solved, [&](const Block& block) { return block.cross_between(*between); });
    const double inside_m3_s = 0.5 * (between->low_m3_s + between->high_m3_s);
    Samples samples{.low_m3_s = std::vector<double>(count_, inside_m3_s),
                    .high_m3_s = std::vector<double>(count_, inside_m3_s),
                    .status = std::vector<solve::Status>(count_, solve::Status::found)};
    put(samples, solved, answers);
    put(samples, more, at(more));
    return samples;
  }

  /// Where the curve ends before: what a sample delivers at least is the end of its curve, and for
  /// what it delivers at most only the upper tail is solved. Samples that nothing bounds are known.
  [[nodiscard]] std::optional<Samples> tails_beyond(const Tail& tail) const {
    Samples samples{.low_m3_s = {},
                    .high_m3_s = {},
                    .status = std::vector<solve::Status>(count_, solve::Status::beyond_curve)};
    std::vector<double> about;
    Lanes solved;
    Lanes unbounded;
    for (const Block& block : blocks()) {
      const std::size_t start = samples.low_m3_s.size();
      const Block::Beyond beyond = block.beyond();
      for (Eigen::Index i = 0; i < beyond.is.size(); ++i) {
        samples.low_m3_s.push_back(beyond.least_m3_s[i]);
        const bool has_end = std::isfinite(beyond.about_m3_s[i]);
        about.push_back(has_end ? beyond.about_m3_s[i] : 0.0);
        if (!beyond.is[i] || !has_end) {
          (beyond.is[i] ? unbounded : solved).push_back(start + static_cast<std::size_t>(i));
        }
      }
    }
    samples.high_m3_s = samples.low_m3_s;
    for (const std::size_t lane : unbounded) {
      samples.high_m3_s[lane] = std::numeric_limits<double>::infinity();
    }
    const std::size_t highest = tail.high - std::min(tail.high, unbounded.size());
    if (highest > 0) {
      solved = with_largest(std::move(solved), about, highest + kMoreThanTail);
    }
    return with_highest(std::move(samples), solved, unbounded, highest);
  }

  /// The same with those solved that what is delivered at most stands on: `highest` besides those
  /// that nothing bounds.
  [[nodiscard]] std::optional<Samples> with_highest(Samples samples,
                                                    const Lanes& solved,
                                                    const Lanes& unbounded,
                                                    std::size_t highest) const {
    const Samples answers = at(solved);
    put(samples, solved, answers);
    if (highest == 0) {
      return samples;
    }
    std::vector<double> high = answers.high_m3_s;
    const auto place = high.begin() + static_cast<std::ptrdiff_t>(highest) - 1;
    std::nth_element(high.begin(), place, high.end(), std::greater<>());
    if (!std::isfinite(*place)) {
      return std::nullopt;
    }
    Lanes known;
    std::ranges::set_union(solved, unbounded, std::back_inserter(known));
    const Lanes more =
        open(known, [&](const Block& block) { return block.beyond_but_below(*place); });
    put(samples, more, at(more));
    return samples;
  }

  /// Some lanes and those of the largest values, in order.
  static Lanes with_largest(Lanes lanes, const std::vector<double>& values, std::size_t count) {
    Lanes order(values.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto end = order.begin() + static_cast<std::ptrdiff_t>(std::min(count, order.size()));
    std::partial_sort(order.begin(), end, order.end(), [&](std::size_t a, std::size_t b) {
      return values[a] > values[b];
    });
    lanes.insert(lanes.end(), order.begin(), end);
    std::sort(lanes.begin(), lanes.end());
    lanes.erase(std::unique(lanes.begin(), lanes.end()), lanes.end());
    return lanes;
  }

  /// All samples in their order; made once, as they are asked several things.
  [[nodiscard]] const std::vector<Block>& blocks() const {
    const auto all = static_cast<Eigen::Index>(count_);
    const Eigen::Index most = Block::lanes_for(z_.size());
    if (blocks_.empty()) {
      blocks_.reserve(static_cast<std::size_t>((all + most - 1) / most));
      for (Eigen::Index start = 0; start < all; start += most) {
        const Eigen::Index lanes = std::min(most, all - start);
        blocks_.emplace_back(run_, expected_, columns(z_, start, lanes), lanes);
      }
    }
    return blocks_;
  }

  [[nodiscard]] bool falls() const {
    return std::ranges::all_of(blocks(), [](const Block& block) { return block.falls(); });
  }

  /// The samples that are in the tails by first order, and some more.
  [[nodiscard]] Lanes likely(const Tail& tail) const {
    std::vector<double> expected(count_, 0.0);
    for (std::size_t j = 0; j < z_.size(); ++j) {
      for (std::size_t i = 0; i < count_; ++i) {
        expected[i] += expected_.changes[j] * (*z_[j])[i];
      }
    }
    Lanes order(count_);
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto before = [&](std::size_t a, std::size_t b) { return expected[a] < expected[b]; };
    const std::size_t low = std::min(tail.low + kMoreThanTail, count_);
    const std::size_t high = std::max(count_ - std::min(tail.high + kMoreThanTail, count_), low);
    const auto place = [&](std::size_t i) {
      return order.begin() + static_cast<std::ptrdiff_t>(i);
    };
    std::nth_element(order.begin(), place(low), order.end(), before);
    std::nth_element(place(low), place(high), order.end(), before);
    order.erase(place(low), place(high));
    std::sort(order.begin(), order.end());
    return order;
  }

  /// Samples solved. @param lanes in order
  [[nodiscard]] Samples at(const Lanes& lanes) const {
    solve::count_samples(lanes.size());
    Samples samples;
    std::size_t start = 0;
    auto next = lanes.begin();
    for (const Block& block : blocks()) {
      const std::size_t end = start + static_cast<std::size_t>(block.lanes());
      Block::Places places;
      for (; next != lanes.end() && *next < end; ++next) {
        places.push_back(static_cast<Eigen::Index>(*next - start));
      }
      block.answer(places, samples);
      start = end;
    }
    return samples;
  }

  /// Between which airflows a sample stands outside both tails, by those solved: as many as a tail
  /// holds are at or beyond these.
  static std::optional<solve::AirflowLimits> inner(const Samples& solved, const Tail& tail) {
    if (solved.status.size() < tail.low || solved.status.size() < tail.high) {
      return std::nullopt;
    }
    std::vector<double> low = solved.low_m3_s;
    std::vector<double> high = solved.high_m3_s;
    const auto at_low = low.begin() + static_cast<std::ptrdiff_t>(tail.low) - 1;
    const auto at_high = high.begin() + static_cast<std::ptrdiff_t>(tail.high) - 1;
    std::nth_element(low.begin(), at_low, low.end());
    std::nth_element(high.begin(), at_high, high.end(), std::greater<>());
    if (!std::isfinite(*at_low) || !std::isfinite(*at_high) || *at_low >= *at_high) {
      return std::nullopt;
    }
    return solve::AirflowLimits{*at_low, *at_high};
  }

  /// Of those not solved the samples that are not shown to lie inside.
  /// @param inside the flags of a block
  template <class Function>
  [[nodiscard]] Lanes open(const Lanes& solved, const Function& inside) const {
    Lanes lanes;
    auto next = solved.begin();
    std::size_t lane = 0;
    for (const Block& block : blocks()) {
      const Block::Flags flags = inside(block);
      for (Eigen::Index i = 0; i < flags.size(); ++i, ++lane) {
        if (next != solved.end() && *next == lane) {
          ++next;
        } else if (!flags[i]) {
          lanes.push_back(lane);
        }
      }
    }
    return lanes;
  }

  static void put(Samples& all, const Lanes& lanes, const Samples& some) {
    for (std::size_t i = 0; i < lanes.size(); ++i) {
      all.low_m3_s[lanes[i]] = some.low_m3_s[i];
      all.high_m3_s[lanes[i]] = some.high_m3_s[i];
      all.status[lanes[i]] = some.status[i];
    }
  }

  SampledRun run_;
  Linear expected_;
  OfSources z_;
  std::size_t count_;
  mutable std::vector<Block> blocks_;
};

}  // namespace

Samples sample(const Model& model, const SampleOptions& options) {
  std::vector<std::vector<double>> drawn;
  for (const solve::ErrorSource& source : model.sources()) {
    drawn.push_back(draw(source.identity, options));
  }
  OfSources z;
  for (const std::vector<double>& one : drawn) {
    z.push_back(&one);
  }
  DUCTLEDGER_EXPECTS(model.fan() != nullptr);
  return Solver({model.arrays(), *model.fan()}, linear(model), std::move(z), options.count).all();
}

namespace {

/// Points for runs, common to them where their errors are.
struct EvenDraw {
  std::vector<solve::Lumped> lumped;        ///< [runs]; empty: the runs are as they came
  std::vector<Linear> expected;             ///< [runs]
  std::vector<std::vector<double>> points;  ///< [dimensions][count]
  std::vector<OfSources> z;                 ///< [runs], of `points`
};

/// What a lump changes: its parts change the answer each for itself, and in one direction.
std::vector<double> changes_of(const std::vector<double>& parts, const solve::Lumped& lumped) {
  std::vector<double> changes;
  for (const std::vector<std::size_t>& of : lumped.of) {
    double square = 0.0;
    for (const std::size_t part : of) {
      square += parts[part] * parts[part];
    }
    changes.push_back(of.size() == 1 ? parts[of.front()]
                                     : std::copysign(std::sqrt(square), parts[of.front()]));
  }
  return changes;
}

/// Runs of very many errors are lumped.
std::vector<solve::Lumped> lumped_if_many(std::span<const Joint> runs) {
  std::vector<const Model*> models;
  for (const Joint& run : runs) {
    DUCTLEDGER_EXPECTS(run.model.fan() != nullptr);
    models.push_back(&run.model);
  }
  const bool many = std::ranges::any_of(
      models, [](const Model* model) { return model->sources().size() > solve::kLumpFrom; });
  return many ? solve::lumped(models) : std::vector<solve::Lumped>();
}

EvenDraw even_draw(std::span<const Joint> runs, const PointOptions& options) {
  EvenDraw drawn{.lumped = lumped_if_many(runs), .expected = {}, .points = {}, .z = {}};
  const auto sources_of = [&](std::size_t run) -> std::span<const solve::ErrorSource> {
    return drawn.lumped.empty() ? runs[run].model.sources() : drawn.lumped[run].sources;
  };
  std::map<std::string_view, std::size_t> dimensions;  // by identity, in the order they come
  std::vector<double> steepest;
  for (std::size_t run = 0; run < runs.size(); ++run) {
    Linear& expected = drawn.expected.emplace_back(linear(runs[run].model));
    std::vector<double> changes = runs[run].change.empty() ? expected.changes : runs[run].change;
    DUCTLEDGER_EXPECTS(changes.size() == runs[run].model.sources().size());
    if (!drawn.lumped.empty()) {
      changes = changes_of(changes, drawn.lumped[run]);
      expected.changes = changes_of(expected.changes, drawn.lumped[run]);
    }
    const auto sources = sources_of(run);
    for (std::size_t i = 0; i < changes.size(); ++i) {
      const auto [at, is_new] = dimensions.try_emplace(sources[i].identity, steepest.size());
      if (is_new) {
        steepest.push_back(0.0);
      }
      steepest[at->second] += changes[i];
    }
  }
  drawn.points =
      normal_points({.count = options.count, .seed = options.seed, .steepest = steepest});
  for (std::size_t run = 0; run < runs.size(); ++run) {
    OfSources& z = drawn.z.emplace_back();
    for (const solve::ErrorSource& source : sources_of(run)) {
      z.push_back(&drawn.points[dimensions.at(source.identity)]);
    }
  }
  return drawn;
}

Solver solver_of(std::span<const Joint> runs,
                 const EvenDraw& drawn,
                 std::size_t run,
                 std::size_t count) {
  const Model& model = runs[run].model;
  const auto& arrays = drawn.lumped.empty() ? model.arrays() : drawn.lumped[run].arrays;
  return {{arrays, *model.fan()}, drawn.expected[run], drawn.z[run], count};
}

}  // namespace

std::vector<Samples> even_samples(std::span<const Joint> runs, const PointOptions& options) {
  const EvenDraw drawn = even_draw(runs, options);
  return parallel::map<Samples>(
      runs.size(), [&](std::size_t i) { return solver_of(runs, drawn, i, options.count).all(); });
}

Samples even_samples(const Model& model, const PointOptions& options) {
  const std::array<Joint, 1> one{Joint{model}};
  return std::move(even_samples(one, options).front());
}

solve::SampleCount even_count(const Model& model, const PointOptions& options) {
  const std::array<Joint, 1> one{Joint{model}};
  const EvenDraw drawn = even_draw(one, options);
  const Solver solver = solver_of(one, drawn, 0, options.count);
  const std::optional<Samples> tails = solver.tails();
  return count(tails ? *tails : solver.all(), options.seed);
}

}  // namespace ductledger::result
