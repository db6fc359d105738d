#include "study/difference.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string_view>
#include <utility>

#include "base/expects.hpp"
#include "house/uncertain_room.hpp"
#include "result/uncertainty.hpp"

namespace ductledger::study {
namespace {

using result::Band;
using solve::BandMethod;
using solve::Status;

/// First order holds where a second solve is within this of it.
constexpr double kFirstOrderTolerance = 0.15;
/// Of the airflow; a band below it is rounding.
constexpr double kNothing = 1e-12;

/// A run with one shape of its fan.
struct Shape {
  solve::ErrorModel model;
  solve::FirstOrder first{};  ///< status found
};

Shape shape(const SpeedOf& of, const solve::FanAtSpeed& fan, const solve::OperatingPoint& point) {
  solve::ErrorModel model(
      of.check.layout,
      of.check.run,
      {&fan, of.speed.fan.origin, of.speed.fan.speed_ratio, house::uncertain_room(of.check.house)});
  solve::FirstOrder first;
  if (point.status == Status::found) {
    first = solve::first_order(model, point.airflow_m3_s);
  }
  return {std::move(model), std::move(first)};
}

std::vector<Shape> shapes(const SpeedOf& of) {
  std::vector<Shape> list;
  list.push_back(shape(of, *of.speed.fan.fan, of.speed.point));
  const auto& other = of.speed.other_shape;
  if (of.speed.fan.other_shape && other && solve::best_airflow_m3_s(*other) > 0.0) {
    list.push_back(shape(of, *of.speed.fan.other_shape, *other));
  }
  return list;
}

struct Pair {
  const Shape& a;
  const Shape& b;
};

double standard_m3_s(const Pair& pair) {
  return solve::difference_standard_m3_s({pair.a.model, pair.a.first},
                                         {pair.b.model, pair.b.first});
}

/// The airflow with its errors where `steps` puts them; nothing where there is no single crossing.
std::optional<double> moved_m3_s(const Shape& shape,
                                 const std::map<std::string_view, double>& steps) {
  const auto sources = shape.model.sources();
  std::vector<double> z;
  for (const solve::ErrorSource& source : sources) {
    z.push_back(steps.at(source.identity));
  }
  const solve::PerturbedRun run = shape.model.at(z);
  const solve::OperatingPoint point = solve::operating_point(run.demand(), *run.fan);
  if (point.status != Status::found || point.crossing_count > 1) {
    return std::nullopt;
  }
  return point.airflow_m3_s;
}

bool first_order_holds(const Pair& pair) {
  const double standard = standard_m3_s(pair);
  const double difference = pair.a.first.airflow_m3_s - pair.b.first.airflow_m3_s;
  const double half = solve::kCoverage * standard;
  const bool nothing = half <= kNothing * pair.a.first.airflow_m3_s;
  for (const double side : {1.0, -1.0}) {
    std::map<std::string_view, double> steps;
    const double scale = nothing ? 0.0 : side * solve::kCoverage / standard;
    for (const solve::SourceEffect& effect : pair.a.first.effects) {
      steps[pair.a.model.sources()[effect.source].identity] += scale * effect.airflow_m3_s;
    }
    for (const solve::SourceEffect& effect : pair.b.first.effects) {
      steps[pair.b.model.sources()[effect.source].identity] -= scale * effect.airflow_m3_s;
    }
    const auto a = moved_m3_s(pair.a, steps);
    const auto b = moved_m3_s(pair.b, steps);
    if (!a || !b) {
      return false;
    }
    const double change = *a - *b - difference;
    if (!nothing && std::abs(change - side * half) > kFirstOrderTolerance * half) {
      return false;
    }
  }
  return true;
}

Band first_order_band(const Pair& pair) {
  const double difference = pair.a.first.airflow_m3_s - pair.b.first.airflow_m3_s;
  const double half = solve::kCoverage * standard_m3_s(pair);
  return {difference - half, difference + half};
}

/// Samples of every shape of a and then of b at common points, even along what a and b differ by.
std::vector<result::Samples> samples(const std::vector<Shape>& a,
                                     const std::vector<Shape>& b,
                                     const result::PointOptions& options) {
  std::vector<result::Joint> joint;
  for (const auto& [shapes, sign] : {std::pair(&a, 1.0), std::pair(&b, -1.0)}) {
    for (const Shape& shape : *shapes) {
      std::vector<double> change(shape.model.sources().size(), 0.0);
      for (const solve::SourceEffect& effect : shape.first.effects) {
        change[effect.source] = sign * effect.airflow_m3_s / static_cast<double>(shapes->size());
      }
      joint.push_back({shape.model, std::move(change)});
    }
  }
  return result::even_samples(joint, options);
}

/// How many samples end at a bound in either run.
std::size_t at_bound(const result::Samples& a, const result::Samples& b) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < a.status.size(); ++i) {
    if (solve::is_bound(a.status[i]) || solve::is_bound(b.status[i])) {
      ++count;
    }
  }
  return count;
}

bool is_first_order(const result::SpeedResult& speed) {
  return speed.band && speed.band->method == BandMethod::first_order;
}

bool same_speed(const layout::Speed& x, const layout::Speed& y) {
  const auto same_point = [](const fan::FanPoint& p, const fan::FanPoint& q) {
    return p.airflow_m3_s == q.airflow_m3_s && p.pressure_pa == q.pressure_pa;
  };
  const auto same_rating = [](const layout::Rating& p, const layout::Rating& q) {
    return p.airflow_m3_s == q.airflow_m3_s && p.pressure_pa == q.pressure_pa;
  };
  return x.speed_ratio == y.speed_ratio &&
         std::equal(x.curve.begin(), x.curve.end(), y.curve.begin(), y.curve.end(), same_point) &&
         std::equal(
             x.ratings.begin(), x.ratings.end(), y.ratings.begin(), y.ratings.end(), same_rating);
}

}  // namespace

bool same_fan(const layout::Layout& a, const layout::Layout& b) {
  if (a.fan.has_value() != b.fan.has_value()) {
    return false;
  }
  if (!a.fan) {
    return true;
  }
  bool any = false;
  for (const layout::Speed& x : a.fan->speeds) {
    for (const layout::Speed& y : b.fan->speeds) {
      if (x.name != y.name) {
        continue;
      }
      if (!same_speed(x, y)) {
        return false;
      }
      any = true;
    }
  }
  return any && a.fan->count == b.fan->count && a.fan->basis == b.fan->basis &&
         a.fan->rated_density_kg_m3 == b.fan->rated_density_kg_m3;
}

Difference difference(const SpeedOf& a, const SpeedOf& b) {
  Difference out;
  out.airflow_m3_s =
      solve::best_airflow_m3_s(a.speed.point) - solve::best_airflow_m3_s(b.speed.point);
  if (!a.speed.airflow_band_m3_s || !b.speed.airflow_band_m3_s) {
    return out;
  }
  const std::vector<Shape> of_a = shapes(a);
  const std::vector<Shape> of_b = shapes(b);
  const bool one_fan = of_a.size() == of_b.size() && same_fan(a.check.layout, b.check.layout);
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  for (std::size_t i = 0; i < of_a.size(); ++i) {
    for (std::size_t j = 0; j < of_b.size(); ++j) {
      if (!one_fan || i == j) {
        pairs.emplace_back(i, j);
      }
    }
  }
  const bool linear = is_first_order(a.speed) && is_first_order(b.speed) &&
                      std::all_of(pairs.begin(), pairs.end(), [&](const auto& each) {
                        return first_order_holds({of_a[each.first], of_b[each.second]});
                      });
  const result::PointOptions options;
  std::vector<result::Samples> drawn;  // of a, then of b
  if (!linear) {
    drawn = samples(of_a, of_b, options);
    out.samples = DifferenceSamples{options.count, options.seed, 0};
  }
  for (const auto& [i, j] : pairs) {
    Band band;
    if (linear) {
      band = first_order_band({of_a[i], of_b[j]});
    } else {
      out.samples->at_bound =
          std::max(out.samples->at_bound, at_bound(drawn[i], drawn[of_a.size() + j]));
      const solve::AirflowLimits limits =
          result::difference_band({drawn[i], drawn[of_a.size() + j]});
      if (std::isinf(limits.low_m3_s) || std::isinf(limits.high_m3_s)) {
        out.band_m3_s.reset();
        return out;
      }
      band = {limits.low_m3_s, limits.high_m3_s};
    }
    out.band_m3_s = out.band_m3_s ? Band{std::min(out.band_m3_s->low, band.low),
                                         std::max(out.band_m3_s->high, band.high)}
                                  : band;
  }
  out.method = solve::word(linear ? BandMethod::first_order : BandMethod::sampled);
  return out;
}

}  // namespace ductledger::study
