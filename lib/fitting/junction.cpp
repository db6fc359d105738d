#include "fitting/junction.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "units/constants.hpp"

namespace ductledger::fitting {
namespace {

constexpr double kSmallBranch = 0.35;
constexpr double kLargeBranch = 0.40;

/// 0 for a small branch, 1 for a large one, a straight line between.
double share_large(double area_ratio) noexcept {
  return std::clamp((area_ratio - kSmallBranch) / (kLargeBranch - kSmallBranch), 0.0, 1.0);
}

double blend(double small, double large, double share) noexcept {
  return small + share * (large - small);
}

double branch_factor(double q) noexcept {
  if (q <= 0.4) {
    return 0.9 * (1.0 - q);
  }
  return q < 0.5 ? 0.54 + 0.01 * (q - 0.4) / 0.1 : 0.55;
}

}  // namespace

double junction_angle_rad(std::string_view type) noexcept {
  double degrees = 0.0;
  for (const char c : type.substr(type.find_last_not_of("0123456789") + 1)) {
    degrees = 10.0 * degrees + (c - '0');
  }
  return (degrees > 0.0 ? degrees : 45.0) * units::kRadPerDegree;
}

JunctionAngle junction_angle(double angle_rad) noexcept {
  return {std::cos(angle_rad), std::sin(angle_rad)};
}

JunctionLoss converging_junction(const JunctionState& state) noexcept {
  const double a = state.area_ratio;
  const double q = state.flow_ratio;
  const double share = share_large(a);
  const double factor = blend(1.0, branch_factor(q), share);
  const double kst = blend(0.8 * q, std::max(0.5, 0.8 * q), share);
  const double v = q / a;
  const double rest = 1.0 - q;
  const auto [cosine, sine] = state.angle;
  return {
      .branch = factor * (1.0 + v * v - 2.0 * rest * rest - 2.0 * q * q / a * cosine),
      .straight = 1.0 - rest * rest - (1.4 - q) * q * q * sine - 2.0 * kst * v * cosine,
  };
}

JunctionLoss converging_tee_older(const JunctionState& state) noexcept {
  struct Node {
    double area_ratio;
    double factor;
  };
  constexpr std::array<Node, 12> kFactors{{{0.0, 1.0},
                                           {0.16, 1.0},
                                           {0.20, 0.99},
                                           {0.25, 0.95},
                                           {0.29, 0.90},
                                           {0.31, 0.85},
                                           {0.33, 0.80},
                                           {0.35, 0.78},
                                           {0.4, 0.75},
                                           {0.6, 0.70},
                                           {0.8, 0.65},
                                           {1.0, 0.60}}};
  const double a = state.area_ratio;
  const double q = state.flow_ratio;
  double factor = kFactors.back().factor;
  for (std::size_t i = 1; i < kFactors.size(); ++i) {
    if (a <= kFactors[i].area_ratio) {
      const Node& low = kFactors[i - 1];
      const Node& high = kFactors[i];
      factor =
          blend(low.factor, high.factor, (a - low.area_ratio) / (high.area_ratio - low.area_ratio));
      break;
    }
  }
  return {.branch = factor * (1.0 + q * q / (a * a) - 2.0 * (1.0 - q) * (1.0 - q)),
          .straight = (1.55 - q) * q};
}

JunctionLoss diverging_junction(const JunctionState& state) noexcept {
  const double v = state.flow_ratio / state.area_ratio;
  return {.branch = 1.0 + v * v - 2.0 * v * state.angle.cosine,
          .straight = 0.4 * state.flow_ratio * state.flow_ratio};
}

}  // namespace ductledger::fitting
