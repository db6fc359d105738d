#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "solve/airflow_band.hpp"
#include "solve/error_model.hpp"

/// Bands by first order and by sampling.
///
/// Joint work on two runs (a difference, a coupled house): samples are drawn by the identity of
/// each error, so that sample i of one run and sample i of another share what they have in common,
/// given the same seed and count. `difference_band` takes them as they are; first order has
/// `solve::difference_standard_m3_s`. A solver of one's own goes in as a callable of z.
namespace ductledger::result {

struct SampleOptions {
  std::size_t count = 10000;
  std::uint64_t seed = 20250101;
};

/// Standard normal numbers of one error, shape [count]: the same for the same identity, count and
/// seed, whatever else is drawn.
[[nodiscard]] std::vector<double> draw(std::string_view identity, const SampleOptions& options);

/// Answers, sample by sample: an airflow, or the range it lies in where the status is a bound.
/// An open end is minus or plus infinity.
struct Samples {
  std::vector<double> low_m3_s;       ///< [count]
  std::vector<double> high_m3_s;      ///< [count]; as low where the status is found
  std::vector<solve::Status> status;  ///< [count]
};

/// Solves a model's run with its fan at every sample, all at once on arrays: from rest to the first
/// stable crossing. Where a curve rises, crossings are looked for at 12 steps a segment.
/// @param model with a fan
[[nodiscard]] Samples sample(const solve::ErrorModel& model, const SampleOptions& options);

/// How many points a band takes: with these its half-width is within 2 % of a million plain
/// samples (`tests/property/points_test.cpp`; tests/bench/bands_table.cpp over the examples).
inline constexpr std::size_t kPoints = 2048;

/// Several runs sampled at common points: errors of one identity are one error. The points are
/// Sobol' points, shifted at random and turned so that they lie most evenly along `change`, see
/// points_internal.hpp. In place of plain samples wherever a band is asked for.
struct Joint {
  const solve::ErrorModel& model;
  /// [sources] What one standard uncertainty changes in what is asked; empty: of the airflow.
  std::vector<double> change{};
};
struct PointOptions {
  std::size_t count = kPoints;
  std::uint64_t seed = 20250101;
};
/// @return shape [runs], sample i of each at the same errors
[[nodiscard]] std::vector<Samples> even_samples(std::span<const Joint> runs,
                                                const PointOptions& options = {});
[[nodiscard]] Samples even_samples(const solve::ErrorModel& model,
                                   const PointOptions& options = {});
/// `count` of those samples, to the last digit. Where the surplus is sure to fall only the samples
/// are solved that a quantile may stand on; of any other the sign of its surplus shows that it
/// lies between the two.
[[nodiscard]] solve::SampleCount even_count(const solve::ErrorModel& model,
                                            const PointOptions& options = {});

/// As above with a solver of the caller's, such as a run coupled to its house: called once a
/// sample with z in the order of `sources`.
struct Answer {
  double low_m3_s = 0.0;
  double high_m3_s = 0.0;
  solve::Status status = solve::Status::found;
};
using Airflow = std::function<Answer(std::span<const double> z)>;
[[nodiscard]] Samples sample(std::span<const solve::ErrorSource> sources,
                             const Airflow& airflow,
                             const SampleOptions& options);

/// Change of a caller's airflow per one standard uncertainty of each source, shape [sources];
/// central differences at z = +-0.1. Nothing where a solve is not `found`.
[[nodiscard]] std::optional<std::vector<double>> sensitivities(
    std::span<const solve::ErrorSource> sources, const Airflow& airflow);

/// Quantile 2.3 % of the low ends and 97.7 % of the high ends of the samples [m3/s].
[[nodiscard]] solve::AirflowLimits band(const Samples& samples);
/// The same of a - b, sample by sample; both drawn with the same options.
struct SamplePair {
  const Samples& a;
  const Samples& b;
};
[[nodiscard]] solve::AirflowLimits difference_band(const SamplePair& pair);
[[nodiscard]] solve::SampleCount count(const Samples& samples, std::uint64_t seed);

/// The band of a speed whose operating point was found; k = 2.
///
/// First order, where it holds: with all errors moved by two standard uncertainties along the
/// direction of steepest change the run is solved again, and both half-widths are within 15 % of
/// first order's, with one crossing and the same status. Else the quantiles of samples. With two
/// shapes through two fan points the band spans both shapes' bands. The room moves with the
/// airflow, and its errors count with the others.
struct BandOf {
  const layout::Layout& layout;
  const solve::CompiledRun& run;
  const solve::SpeedFan& fan;
  const solve::OperatingPoint& point;
  std::shared_ptr<const solve::UncertainRoom> room{};  ///< null: outdoor pressure
};
struct BandOptions {
  /// Draw this many whatever the method, and put their count beside; 0: only where first order
  /// does not hold, then `kPoints`.
  std::size_t samples = 0;
};
[[nodiscard]] solve::AirflowBand airflow_band(const BandOf& of, const BandOptions& options = {});

/// The limits of that band whatever the status: `bound_band` where it is a bound, 0 without flow.
[[nodiscard]] solve::AirflowLimits limits(const BandOf& of);

/// The same where the status is `below_curve` or `beyond_curve`: the samples' low quantile of what
/// the airflow is at least and high quantile of what it is at most.
[[nodiscard]] solve::AirflowLimits bound_band(const BandOf& of);

}  // namespace ductledger::result
