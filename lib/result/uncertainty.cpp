#include "result/uncertainty.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/expects.hpp"
#include "result/quantile_internal.hpp"

namespace ductledger::result {
namespace {

using solve::Status;

/// First order holds where the half-widths of a second solve are within this of its own.
constexpr double kFirstOrderTolerance = 0.15;
constexpr double kSensitivityStep = 0.1;

std::vector<std::vector<double>> draw_all(std::span<const solve::ErrorSource> sources,
                                          const SampleOptions& options) {
  std::vector<std::vector<double>> all;
  all.reserve(sources.size());
  for (const solve::ErrorSource& source : sources) {
    all.push_back(draw(source.identity, options));
  }
  return all;
}

double quantile(std::vector<double> values, double share) {
  DUCTLEDGER_EXPECTS(!values.empty());
  const QuantilePlace place = quantile_place(values.size(), share);
  const auto nth = values.begin() + static_cast<std::ptrdiff_t>(place.below);
  std::nth_element(values.begin(), nth, values.end());
  const double low = *nth;
  const double high = nth + 1 == values.end() ? low : *std::min_element(nth + 1, values.end());
  if (low == high || std::isinf(low) || std::isinf(high)) {
    return std::isinf(low) ? low : high;
  }
  return low + place.after * (high - low);
}

solve::AirflowLimits quantiles(std::vector<double> low, std::vector<double> high) {
  return {quantile(std::move(low), kLowQuantile), quantile(std::move(high), 1.0 - kLowQuantile)};
}

/// One shape of the fan with its first order and, where that does not hold, why.
struct Shape {
  solve::ErrorModel model;
  solve::FirstOrder first_order;
  std::string why_not;
};

/// Solved again two standard uncertainties up and down the steepest direction.
std::string why_first_order_fails(const solve::ErrorModel& model,
                                  const solve::FirstOrder& first,
                                  const solve::OperatingPoint& point) {
  if (model.is_one_sided()) {
    return "an elbow at the collar can only cost more";
  }
  if (point.crossing_count > 1) {
    return "the fan curve crosses the run more than once";
  }
  if (first.standard_m3_s <= 0.0) {
    return {};
  }
  std::vector<double> z(model.sources().size(), 0.0);
  const double half_m3_s = solve::kCoverage * first.standard_m3_s;
  for (const double side : {1.0, -1.0}) {
    for (const solve::SourceEffect& effect : first.effects) {
      z[effect.source] = side * solve::kCoverage * effect.airflow_m3_s / first.standard_m3_s;
    }
    const solve::PerturbedRun run = model.at(z);
    const solve::OperatingPoint moved = solve::operating_point(run.demand(), *run.fan);
    if (moved.status != Status::found) {
      return std::string("within the band the status turns ") + solve::word(moved.status);
    }
    if (moved.crossing_count > 1) {
      return "within the band the fan curve crosses the run more than once";
    }
    const double moved_m3_s = std::abs(moved.airflow_m3_s - first.airflow_m3_s);
    if (std::abs(moved_m3_s - half_m3_s) > kFirstOrderTolerance * half_m3_s) {
      return "the response is nonlinear";
    }
  }
  return {};
}

Shape shape_of(const BandOf& of, const solve::FanAtSpeed& fan, const solve::OperatingPoint& point) {
  solve::ErrorModel model(of.layout, of.run, {&fan, of.fan.origin, of.fan.speed_ratio, of.room});
  solve::FirstOrder first = solve::first_order(model, point.airflow_m3_s);
  std::string why_not = why_first_order_fails(model, first, point);
  return {std::move(model), std::move(first), std::move(why_not)};
}

solve::AirflowLimits limits_of(const solve::FirstOrder& first) {
  const double half_m3_s = solve::kCoverage * first.standard_m3_s;
  return {first.airflow_m3_s - half_m3_s, first.airflow_m3_s + half_m3_s};
}

}  // namespace

Samples sample(std::span<const solve::ErrorSource> sources,
               const Airflow& airflow,
               const SampleOptions& options) {
  const auto drawn = draw_all(sources, options);
  Samples samples;
  std::vector<double> z(sources.size());
  for (std::size_t i = 0; i < options.count; ++i) {
    for (std::size_t j = 0; j < z.size(); ++j) {
      z[j] = drawn[j][i];
    }
    const Answer answer = airflow(z);
    samples.low_m3_s.push_back(answer.low_m3_s);
    samples.high_m3_s.push_back(answer.high_m3_s);
    samples.status.push_back(answer.status);
  }
  return samples;
}

std::optional<std::vector<double>> sensitivities(std::span<const solve::ErrorSource> sources,
                                                 const Airflow& airflow) {
  std::vector<double> z(sources.size(), 0.0);
  std::vector<double> changes(sources.size());
  for (std::size_t j = 0; j < z.size(); ++j) {
    z[j] = kSensitivityStep;
    const Answer high = airflow(z);
    z[j] = -kSensitivityStep;
    const Answer low = airflow(z);
    z[j] = 0.0;
    if (high.status != Status::found || low.status != Status::found) {
      return std::nullopt;
    }
    changes[j] = (high.low_m3_s - low.low_m3_s) / (2.0 * kSensitivityStep);
  }
  return changes;
}

solve::AirflowLimits band(const Samples& samples) {
  return quantiles(samples.low_m3_s, samples.high_m3_s);
}

solve::AirflowLimits difference_band(const SamplePair& pair) {
  DUCTLEDGER_EXPECTS(pair.a.low_m3_s.size() == pair.b.low_m3_s.size());
  std::vector<double> low = pair.a.low_m3_s;
  std::vector<double> high = pair.a.high_m3_s;
  for (std::size_t i = 0; i < low.size(); ++i) {
    low[i] -= pair.b.high_m3_s[i];
    high[i] -= pair.b.low_m3_s[i];
  }
  return quantiles(std::move(low), std::move(high));
}

solve::SampleCount count(const Samples& samples, std::uint64_t seed) {
  solve::SampleCount result;
  result.count = samples.status.size();
  result.seed = seed;
  for (const Status status : samples.status) {
    result.found += status == Status::found ? 1 : 0;
    result.beyond_curve += status == Status::beyond_curve ? 1 : 0;
    result.below_curve += status == Status::below_curve ? 1 : 0;
    result.no_flow += status == Status::no_flow ? 1 : 0;
  }
  result.quantiles = band(samples);
  return result;
}

solve::AirflowBand airflow_band(const BandOf& of, const BandOptions& options) {
  DUCTLEDGER_EXPECTS(of.fan.fan.has_value() && of.point.status == Status::found);
  PointOptions points;
  if (options.samples > 0) {
    points.count = options.samples;
  }
  const Shape main = shape_of(of, *of.fan.fan, of.point);
  solve::AirflowBand result;
  result.first_order = main.first_order;
  result.sources.assign(main.model.sources().begin(), main.model.sources().end());
  result.why_sampled = main.why_not;
  result.method =
      main.why_not.empty() ? solve::BandMethod::first_order : solve::BandMethod::sampled;
  if (options.samples > 0 || !main.why_not.empty()) {
    result.samples = even_count(main.model, points);
  }
  result.limits = main.why_not.empty() ? limits_of(main.first_order) : result.samples->quantiles;
  if (!main.why_not.empty()) {
    const auto outside = kLowQuantile * static_cast<double>(result.samples->count);
    result.low_is_bound = static_cast<double>(result.samples->below_curve) > outside;
    result.high_is_bound = static_cast<double>(result.samples->beyond_curve) > outside;
  }
  if (!of.fan.other_shape) {
    return result;
  }
  const solve::PerturbedRun still =
      main.model.at(std::vector<double>(main.model.sources().size(), 0.0));
  const solve::OperatingPoint other =
      solve::operating_point(still.demand_of(of.run.loss), *of.fan.other_shape);
  if (other.status != Status::found) {
    return result;
  }
  const Shape second = shape_of(of, *of.fan.other_shape, other);
  solve::AirflowLimits limits = limits_of(second.first_order);
  if (!second.why_not.empty()) {
    limits = even_count(second.model, points).quantiles;
    result.method = solve::BandMethod::sampled;
    result.why_sampled = result.why_sampled.empty() ? second.why_not : result.why_sampled;
  }
  result.limits.low_m3_s = std::min(result.limits.low_m3_s, limits.low_m3_s);
  result.limits.high_m3_s = std::max(result.limits.high_m3_s, limits.high_m3_s);
  result.over_two_shapes = true;
  return result;
}

solve::AirflowLimits limits(const BandOf& of) {
  switch (of.point.status) {
    case Status::found:
      return of.point.airflow_m3_s > 0.0 ? airflow_band(of).limits : solve::AirflowLimits{};
    case Status::below_curve:
    case Status::beyond_curve:
      return bound_band(of);
    default:
      return {};
  }
}

solve::AirflowLimits bound_band(const BandOf& of) {
  DUCTLEDGER_EXPECTS(of.point.status == Status::below_curve ||
                     of.point.status == Status::beyond_curve);
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  solve::AirflowLimits limits{kInfinity, -kInfinity};
  for (const auto* fan : {&of.fan.fan, &of.fan.other_shape}) {
    if (*fan) {
      const solve::ErrorModel model(
          of.layout, of.run, {&**fan, of.fan.origin, of.fan.speed_ratio, of.room});
      const solve::AirflowLimits own = even_count(model).quantiles;
      limits.low_m3_s = std::min(limits.low_m3_s, own.low_m3_s);
      limits.high_m3_s = std::max(limits.high_m3_s, own.high_m3_s);
    }
  }
  return limits;
}

}  // namespace ductledger::result
