#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "solve/error_model.hpp"
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
inline constexpr auto kBandMethodWords = base::words<BandMethod>(
    {{BandMethod::first_order, "first-order"}, {BandMethod::sampled, "sampled"}});
[[nodiscard]] constexpr const char* word(BandMethod method) { return kBandMethodWords.of(method); }

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

  /// What first order alone says, whatever the method.
  [[nodiscard]] AirflowLimits first_order_limits() const noexcept {
    const double half_m3_s = kCoverage * first_order.standard_m3_s;
    return {first_order.airflow_m3_s - half_m3_s, first_order.airflow_m3_s + half_m3_s};
  }
};

}  // namespace ductledger::solve
