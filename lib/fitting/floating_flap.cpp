#include "fitting/floating_flap.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include "base/expects.hpp"
#include "fitting/catalogue.hpp"
#include "fitting/entry.hpp"
#include "numeric/hermite.hpp"
#include "numeric/root.hpp"

namespace ductledger::fitting {
namespace {

std::vector<FlapRow> read_rows() {
  const Entry* entry = Catalogue::built_in().entry("cap/end-flap");
  DUCTLEDGER_EXPECTS(entry != nullptr && entry->standard()->table);
  const PrintedTable& table = *entry->standard()->table;
  std::vector<FlapRow> rows;
  for (std::size_t i = 0; i < table.values.size(); ++i) {
    rows.push_back({table.axes.front().at[i][0] * table.axes.front().si_per_unit, table.values[i]});
  }
  return rows;
}

/// What the tangent of the angle, by its logarithm, is more than the lift gives: 0 where it hangs.
/// Over the tangent, so that an open flap keeps its digits: tan(angle) = lift (C + 1).
double surplus_of(double log_tangent, double log_lift) {
  const double coefficient = flap_coefficient(std::atan(std::exp(log_tangent)));
  return log_tangent - log_lift - std::log(coefficient + 1.0);
}

struct Between {
  double low;
  double high;
};
double log_tangent(double log_lift, const Between& between) {
  const auto surplus = [&](double log_tan) { return surplus_of(log_tan, log_lift); };
  return numeric::find_root(surplus, {between.low, between.high}, {.width_relative = 1e-14}).root;
}

/// ln of the excess at even steps of ln of the lift.
class Nodes {
 public:
  Nodes() {
    const double fully_open = flap_rows().back().coefficient - 1.0;
    double log_tan = std::log(std::tan(flap_angle_rad(std::exp(kFirst))));
    for (std::size_t i = 0; i < kCount; ++i) {
      at_[i] = kFirst + kStep * static_cast<double>(i);
      // The further open, the less it costs: its tangent grows by no more than the lift does.
      log_tan = i == 0 ? log_tan : log_tangent(at_[i], {log_tan, log_tan + kStep});
      const double angle_rad = std::atan(std::exp(log_tan));
      value_[i] = std::log((flap_coefficient(angle_rad) - 1.0) / fully_open - 1.0);
    }
    numeric::pchip_slopes({at_, value_}, slope_);
  }

  /// Beyond both ends a power of the lift goes on.
  [[nodiscard]] double at(double log_lift) const noexcept {
    const double place = (log_lift - kFirst) / kStep;
    if (place <= 0.0) {
      return value_.front() + slope_.front() * (log_lift - at_.front());
    }
    if (place >= static_cast<double>(kCount - 1)) {
      return value_.back() + slope_.back() * (log_lift - at_.back());
    }
    const auto i = static_cast<std::size_t>(place);
    const double t = place - static_cast<double>(i);
    const double u = 1.0 - t;
    return u * u * ((1.0 + 2.0 * t) * value_[i] + t * kStep * slope_[i]) +
           t * t * ((1.0 + 2.0 * u) * value_[i + 1] - u * kStep * slope_[i + 1]);
  }

 private:
  static constexpr std::size_t kCount = 401;
  static constexpr double kFirst = -16.0;
  static constexpr double kStep = 0.06;
  std::array<double, kCount> at_{};
  std::array<double, kCount> value_{};
  std::array<double, kCount> slope_{};
};

}  // namespace

const std::vector<FlapRow>& flap_rows() {
  static const std::vector<FlapRow> rows = read_rows();
  return rows;
}

double flap_coefficient(double angle_rad) {
  const auto& rows = flap_rows();
  if (angle_rad <= rows.front().angle_rad) {
    const double share = rows.front().angle_rad / angle_rad;
    return rows.front().coefficient * share * share;
  }
  const auto above = std::ranges::lower_bound(rows, angle_rad, {}, &FlapRow::angle_rad);
  if (above == rows.end()) {
    return rows.back().coefficient;
  }
  const FlapRow& a = *std::prev(above);
  const FlapRow& b = *above;
  const double exponent =
      std::log(b.coefficient / a.coefficient) / std::log(b.angle_rad / a.angle_rad);
  return a.coefficient * std::pow(angle_rad / a.angle_rad, exponent);
}

double flap_angle_rad(double lift) {
  if (!(lift > 0.0)) {
    return 0.0;
  }
  const double log_lift = std::log(lift);
  const double open = log_lift + std::log(flap_rows().back().coefficient + 1.0);
  Between between{.low = std::min(open, -1.0), .high = std::max(open, 0.0) + 4.0};
  while (surplus_of(between.low, log_lift) > 0.0) {
    between.low -= 4.0;
  }
  while (surplus_of(between.high, log_lift) < 0.0) {
    between.high += 4.0;
  }
  return std::atan(std::exp(log_tangent(log_lift, between)));
}

double flap_excess(double lift) noexcept {
  static const Nodes nodes;
  return std::exp(nodes.at(std::log(lift)));
}

const std::vector<FlapMaterial>& flap_materials() {
  // density x thickness: 2700 kg/m3 x 0.5 mm; 0.906 lb/ft2 of the galvanized sheet gauge; 1000
  // kg/m3 x 1.5 mm
  static const std::vector<FlapMaterial> materials{
      {"aluminum", 1.35, "0.5 mm sheet, 2700 kg/m3 (derived)"},
      {"steel", 4.42, "26 gauge galvanized sheet, 0.906 lb/ft2 (memory)"},
      {"plastic", 1.5, "1.5 mm, 1000 kg/m3 (assumed)"}};
  return materials;
}

std::vector<std::string> flap_material_names() {
  std::vector<std::string> names;
  std::ranges::transform(flap_materials(), std::back_inserter(names), [](const FlapMaterial& one) {
    return std::string(one.name);
  });
  return names;
}

}  // namespace ductledger::fitting
