#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "solve/error_model.hpp"

namespace ductledger::solve {

/// Coverage factor of every band: about 95 % where the answer is near normal.
/// @source gum (JCGM 100:2008, section 6)
inline constexpr double kCoverage = 2.0;

/// Limits of an airflow [m3/s].
struct AirflowLimits {
  double low_m3_s = 0.0;
  double high_m3_s = 0.0;
};

enum class BandMethod { first_order, sampled };
inline constexpr auto kBandMethodWords = base::words<BandMethod>(
    {{BandMethod::first_order, "first-order"}, {BandMethod::sampled, "sampled"}});
[[nodiscard]] constexpr const char* word(BandMethod method) { return kBandMethodWords.of(method); }

/// How the samples of a speed ended; a sample that does not cross counts in the quantiles as the
/// bound it is: no flow as 0, beyond or below the curve as that end.
struct SampleCount {
  std::size_t count = 0;
  std::uint64_t seed = 0;
  std::size_t found = 0;
  std::size_t beyond_curve = 0;
  std::size_t below_curve = 0;
  std::size_t no_flow = 0;
  AirflowLimits quantiles;  ///< 2.3 and 97.7 %
};

/// The airflow of a speed with its band, k = 2.
struct AirflowBand {
  BandMethod method = BandMethod::first_order;
  AirflowLimits limits;
  FirstOrder first_order;
  std::vector<ErrorSource> sources;
  std::optional<SampleCount> samples;  ///< where samples were drawn
  std::string why_sampled;             ///< method `sampled`: what first order cannot show
  bool over_two_shapes = false;  ///< `limits` hold the bands of both shapes through two points
};

}  // namespace ductledger::solve
