#include <algorithm>
#include <boost/random/sobol.hpp>
#include <cmath>
#include <numeric>
#include <random>
#include <utility>

#include "base/lock.hpp"
#include "numeric/normal.hpp"
#include "result/points_internal.hpp"

namespace ductledger::result {
namespace {

/// A whole number of 64 bits as the middle of its stretch of (0, 1).
double to_unit(std::uint64_t bits) noexcept {
  return (static_cast<double>(bits >> 12U) + 0.5) * 0x1p-52;
}

using Columns = std::vector<std::vector<double>>;  // [dimensions][count]

struct Sequence {
  std::size_t count = 0;
  std::uint64_t seed = 0;
  std::size_t dimensions = 0;
};

/// Errors drawn from one sequence; a run of more draws the rest as a Latin hypercube, which is
/// cheaper. The first axes carry nearly all of the variance, of so many each other error little.
constexpr std::size_t kSobolDimensions = 256;

/// The middle of each of `count` equal stretches of probability.
std::vector<double> middles(std::size_t count) {
  std::vector<double> column(count);
  for (std::size_t i = 0; i < count; ++i) {
    column[i] =
        numeric::inverse_normal((static_cast<double>(i) + 0.5) / static_cast<double>(count));
  }
  return column;
}

/// In random order.
std::vector<double> shuffled(std::vector<double> column, std::uint64_t seed) {
  std::mt19937_64 engine(seed);
  for (std::size_t i = column.size(); i > 1; --i) {
    std::swap(column[i - 1], column[engine() % i]);  // alike with every standard library
  }
  return column;
}

/// @param first those that are drawn already
Columns drawn(const Sequence& of, Columns first = {}) {
  const std::size_t sobol = std::min(of.dimensions, kSobolDimensions);
  Columns columns = std::move(first);
  const std::size_t have = columns.size();
  columns.resize(sobol, std::vector<double>(of.count));
  std::mt19937_64 engine(of.seed);
  std::vector<std::uint64_t> shift(sobol);
  for (std::uint64_t& one : shift) {
    one = engine();
  }
  // The library leaves out the first point, 0, without which the stretches are not even.
  boost::random::sobol sequence(sobol);
  for (std::size_t i = 0; i < of.count; ++i) {
    for (std::size_t j = 0; j < sobol; ++j) {
      const std::uint64_t bits = i == 0 ? 0 : sequence();
      if (j >= have) {
        columns[j][i] = numeric::inverse_normal(to_unit(bits + shift[j]));
      }
    }
  }
  const std::vector<double> even = middles(sobol < of.dimensions ? of.count : 0);
  for (std::size_t j = sobol; j < of.dimensions; ++j) {
    columns.push_back(shuffled(even, of.seed + 0x9e3779b97f4a7c15U * (j + 1)));
  }
  return columns;
}

/// The points before they are turned. They are the same for every run and dearer than solving one,
/// so the last ones stay, unless they are so many that they would fill the memory; a sequence of
/// fewer dimensions is the beginning of one of more.
Columns unturned(const Sequence& of) {
  static base::Mutex guard;
  static Sequence have;
  static Columns columns;
  if (of.dimensions == 0) {
    return {};
  }
  if (of.dimensions > kSobolDimensions) {
    return drawn(of);
  }
  const base::Lock<base::Mutex> lock(guard);
  const bool other = have.count != of.count || have.seed != of.seed;
  if (other || have.dimensions < of.dimensions) {
    columns = drawn(of, other ? Columns() : std::move(columns));
    have = of;
  }
  return {columns.begin(), columns.begin() + static_cast<std::ptrdiff_t>(of.dimensions)};
}

/// The mirror that takes the first axis to a direction; empty where it lies there already.
std::vector<double> mirror(std::span<const double> direction) {
  double length = 0.0;
  for (const double part : direction) {
    length = std::hypot(length, part);
  }
  if (length == 0.0 || !std::isfinite(length)) {
    return {};
  }
  std::vector<double> normal(direction.size());
  for (std::size_t i = 0; i < normal.size(); ++i) {
    normal[i] = (i == 0 ? 1.0 : 0.0) - direction[i] / length;
  }
  return normal;
}

}  // namespace

std::vector<std::vector<double>> normal_points(const PointsWanted& wanted) {
  const std::size_t dimensions = wanted.steepest.size();
  std::vector<std::vector<double>> points =
      unturned({.count = wanted.count, .seed = wanted.seed, .dimensions = dimensions});
  const std::vector<double> normal = mirror(wanted.steepest);
  const double square = std::inner_product(normal.begin(), normal.end(), normal.begin(), 0.0);
  if (square < 1e-24) {
    return points;
  }
  std::vector<double> along(wanted.count, 0.0);
  for (std::size_t j = 0; j < dimensions; ++j) {
    for (std::size_t i = 0; i < wanted.count; ++i) {
      along[i] += normal[j] * points[j][i];
    }
  }
  for (std::size_t j = 0; j < dimensions; ++j) {
    const double part = 2.0 * normal[j] / square;
    for (std::size_t i = 0; i < wanted.count; ++i) {
      points[j][i] -= part * along[i];
    }
  }
  return points;
}

}  // namespace ductledger::result
