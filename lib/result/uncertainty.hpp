#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "solve/airflow_band.hpp"

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
  /// `identity` for joint work on several layouts; `key` where one layout is asked alone, so that
  /// a copy of it in other units has the same samples.
  enum class By { identity, key } by = By::identity;
};

/// Standard normal numbers of one error, shape [count]: the same for the same identity, count and
/// seed, whatever else is drawn.
[[nodiscard]] std::vector<double> draw(std::string_view identity, const SampleOptions& options);
[[nodiscard]] std::vector<double> draw(const solve::ErrorSource& source,
                                       const SampleOptions& options);

/// Answers, sample by sample.
struct Samples {
  std::vector<double> airflow_m3_s;   ///< [count]; a bound where the status is not found
  std::vector<solve::Status> status;  ///< [count]
};

/// Solves a model's run with its fan at every sample, all at once on arrays: from rest to the first
/// stable crossing. Where a curve rises, crossings are looked for at 12 steps a segment.
/// @param model with a fan
[[nodiscard]] Samples sample(const solve::ErrorModel& model, const SampleOptions& options);

/// As above with a solver of the caller's, such as a run coupled to its house: called once a
/// sample with z in the order of `sources`.
struct Answer {
  double airflow_m3_s = 0.0;
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

/// Quantiles 2.3 and 97.7 % of the samples [m3/s].
[[nodiscard]] solve::AirflowLimits band(const Samples& samples);
/// The same of a - b, sample by sample; both drawn with the same options.
struct SamplePair {
  const Samples& a;
  const Samples& b;
};
[[nodiscard]] solve::AirflowLimits difference_band(const SamplePair& pair);
[[nodiscard]] solve::SampleCount count(const Samples& samples, const SampleOptions& options);

/// The band of a speed whose operating point was found; k = 2.
///
/// First order, where it holds: with all errors moved by two standard uncertainties along the
/// direction of steepest change the run is solved again, and both half-widths are within 15 % of
/// first order's, with one crossing and the same status. Else the quantiles of samples. With two
/// shapes through two fan points the band spans both shapes' bands. A house's room is held at its
/// pressure.
struct BandOf {
  const layout::Layout& layout;
  const solve::CompiledRun& run;
  const solve::SpeedFan& fan;
  const solve::OperatingPoint& point;
  double room_pa = 0.0;  ///< held: minus the depressurisation at the operating point
};
struct BandOptions {
  /// Draw this many whatever the method, and put their count beside; 0: only where first order
  /// does not hold, then SampleOptions' own number.
  std::size_t samples = 0;
};
[[nodiscard]] solve::AirflowBand airflow_band(const BandOf& of, const BandOptions& options = {});

}  // namespace ductledger::result
