#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "solve/error_source.hpp"

namespace ductledger::solve {

/// Coverage factor of every band: about 95 % where the answer is near normal.
/// @source gum (JCGM 100:2008, section 6)
inline constexpr double kCoverage = 2.0;

/// Limits of an airflow [m3/s]; minus or plus infinity: that end is open.
struct AirflowLimits {
  double low_m3_s = 0.0;
  double high_m3_s = 0.0;
};

enum class BandMethod { first_order, sampled };
[[nodiscard]] const char* word(BandMethod method) noexcept;

/// How the samples of a speed ended. A sample that crosses beyond or below the curve counts in the
/// quantiles as the range it is bound to (see `airflow_bounds`): its lower end in the low quantile,
/// its upper end in the high one; no flow counts as 0.
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
  /// More samples than a band leaves outside end beyond or below the curve, so that an end of
  /// `limits` is a bound by the falling fan, or open.
  bool low_is_bound = false;
  bool high_is_bound = false;
  bool over_two_shapes = false;  ///< `limits` hold the bands of both shapes through two points
};

}  // namespace ductledger::solve
