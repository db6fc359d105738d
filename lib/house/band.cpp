#include "house/band.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "numeric/normal.hpp"

namespace ductledger::house {
namespace {

constexpr std::size_t kInputs = 4;
using Deviates = std::array<double, kInputs>;  // exponent, airtightness, path, airflow, in u

constexpr std::size_t kSamples = 512;
constexpr double kWorstAsymmetry = 0.15;

struct Outcome {
  double depressurisation_pa = 0.0;
  solve::Status status = solve::Status::found;
  std::size_t crossings = 1;
};

class Variation {
 public:
  Variation(const Zone& zone, const Varied& varied, const Doubt& doubt)
      : base_(zone), zone_(zone), varied_(varied), doubt_(doubt) {
    zone_.tabulate();
  }

  [[nodiscard]] Outcome at(const Deviates& z) {
    zone_.exponent = varied_exponent(base_.exponent, doubt_.exponent * z[0]);
    zone_.test_airflow_m3_s = base_.test_airflow_m3_s * varied_factor(doubt_.airtightness, z[1]);
    zone_.path_factor = varied_factor(doubt_.path, z[2]);
    zone_.exhaust_factor = varied_factor(doubt_.airflow, z[3]);
    if (varied_.fan == nullptr) {
      return {.depressurisation_pa = zone_.depressurisation_pa(varied_.held_airflow_m3_s)};
    }
    const solve::OperatingPoint point = operating_point(*varied_.run, *varied_.fan, &zone_);
    return {.depressurisation_pa = zone_.depressurisation_pa(solve::greatest_airflow_m3_s(point)),
            .status = point.status,
            .crossings = point.crossing_count};
  }

 private:
  const Zone& base_;
  Zone zone_;
  const Varied& varied_;
  const Doubt& doubt_;
};

/// Halton's radical inverse of an index.
double radical_inverse(std::size_t index, std::size_t base) {
  double value = 0.0;
  double digit = 1.0 / static_cast<double>(base);
  for (; index > 0; index /= base, digit /= static_cast<double>(base)) {
    value += static_cast<double>(index % base) * digit;
  }
  return value;
}

double quantile(const std::vector<double>& sorted, double probability) {
  const double place = probability * static_cast<double>(sorted.size()) - 0.5;
  const auto below = static_cast<std::size_t>(std::max(place, 0.0));
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  const double part = std::clamp(place - static_cast<double>(below), 0.0, 1.0);
  return sorted[below] + part * (sorted[above] - sorted[below]);
}

}  // namespace

double varied_factor(double u, double deviate) noexcept {
  return u >= kLognormalFrom ? std::exp(u * deviate) : std::max(1.0 + u * deviate, 1e-3);
}

double varied_exponent(double exponent, double by) noexcept {
  constexpr double kLowest = 0.5;
  constexpr double kHighest = 1.0;
  return std::clamp(exponent + by, kLowest, kHighest);
}

double airtightness_doubt(const layout::Leakage& leakage) noexcept {
  if (leakage.highest_m3_s > leakage.lowest_m3_s) {
    return std::log(leakage.highest_m3_s / leakage.lowest_m3_s) / 4.0;
  }
  return Doubt{}.airtightness;
}

DepressurisationBand depressurisation_band(const Zone& zone,
                                           const Varied& varied,
                                           const Doubt& doubt) {
  Variation variation(zone, varied, doubt);
  const Outcome middle = variation.at({});
  DepressurisationBand band;
  std::array<double, kInputs> squares{};
  double sum = 0.0;
  bool straight = middle.crossings <= 1;
  for (std::size_t i = 0; i < kInputs; ++i) {
    Deviates z{};
    const auto outcome = [&](double deviate) {
      z[i] = deviate;
      return variation.at(z);
    };
    const Outcome up = outcome(1.0);
    const Outcome down = outcome(-1.0);
    const double slope_pa = (up.depressurisation_pa - down.depressurisation_pa) / 2.0;
    for (const double deviate : {2.0, -2.0}) {
      const Outcome far = outcome(deviate);
      const double width_pa = far.depressurisation_pa - middle.depressurisation_pa;
      straight = straight && far.status == middle.status && far.crossings == middle.crossings &&
                 std::abs(width_pa - slope_pa * deviate) <=
                     kWorstAsymmetry * std::abs(slope_pa * deviate) +
                         1e-9 * std::abs(middle.depressurisation_pa);
    }
    squares[i] = slope_pa * slope_pa;
    sum += squares[i];
  }
  if (sum > 0.0) {
    band.shares = {squares[0] / sum, squares[1] / sum, squares[2] / sum, squares[3] / sum};
  }
  if (straight) {
    band.low_pa = middle.depressurisation_pa - 2.0 * std::sqrt(sum);
    band.high_pa = middle.depressurisation_pa + 2.0 * std::sqrt(sum);
    return band;
  }
  band.method = BandMethod::sampled;
  std::vector<double> samples;
  samples.reserve(kSamples);
  constexpr std::array<std::size_t, kInputs> kBases{2, 3, 5, 7};
  for (std::size_t i = 1; i <= kSamples; ++i) {
    Deviates z{};
    for (std::size_t j = 0; j < kInputs; ++j) {
      z[j] = numeric::inverse_normal(radical_inverse(i, kBases[j]));
    }
    samples.push_back(variation.at(z).depressurisation_pa);
  }
  std::sort(samples.begin(), samples.end());
  constexpr double kTail = 0.0227501319481792;  // beyond 2 u of a normal distribution
  band.low_pa = quantile(samples, kTail);
  band.high_pa = quantile(samples, 1.0 - kTail);
  return band;
}

}  // namespace ductledger::house
