#include "study/branches_held.hpp"

#include <algorithm>
#include <cmath>

#include "study/branches_errors_internal.hpp"

namespace ductledger::study {
namespace {

constexpr double kStep = 0.1;  ///< of a standard uncertainty

const solve::FanAtSpeed* fan_of(const NetworkResult& of, const NetworkSpeed& speed) {
  return of.network.fan_leg != network::kNone && speed.fan.fan ? &*speed.fan.fan : nullptr;
}

/// With the main fan and the house where it stands now.
network::Network free_network(const NetworkResult& of, const NetworkSpeed& speed) {
  network::Network free = with_main_fan(of.network, fan_of(of, speed));
  free.room = of.house.coupled() != nullptr ? of.house.coupled()->suction() : solve::RoomSuction{};
  return free;
}

/// What flows in each leg.
std::vector<double> airflows(const network::CompiledNetwork& of, const NetworkSpeed& speed) {
  std::vector<double> q(of.legs.size());
  for (const Inlet& inlet : speed.inlets) {
    q[inlet_leg(of, inlet.branch)] = inlet.airflow_m3_s;
  }
  for (const network::Junction& junction : of.network.junctions) {
    q[junction.combined] = q[junction.straight] + q[junction.branch];
  }
  return q;
}

}  // namespace

std::size_t inlet_leg(const network::CompiledNetwork& of, std::optional<std::size_t> branch) {
  return branch ? of.inlets[*branch] : of.collar_leg;
}

std::size_t leg_with(const network::CompiledNetwork& of,
                     std::optional<std::size_t> branch,
                     std::size_t piece) {
  std::size_t found = inlet_leg(of, branch);
  for (std::size_t i = 0; i < of.legs.size(); ++i) {
    if (of.legs[i].branch == branch && of.legs[i].first_piece <= piece &&
        of.legs[i].first_piece >= of.legs[found].first_piece) {
      found = i;
    }
  }
  return found;
}

struct HeldLeg::State {
  const NetworkResult& of;
  const NetworkSpeed& speed;
  std::size_t leg;
  network::Network free;
  network::Solver solver;
  network::MainFan main;
  NetworkErrors errors;
  std::vector<double> airflow_m3_s;   // [legs]
  std::vector<std::size_t> behind{};  // in `speed.inlets`

  State(const NetworkResult& result, const NetworkSpeed& at, std::size_t in)
      : of(result),
        speed(at),
        leg(in),
        free(free_network(result, at)),
        solver(free),
        main(solver, in),
        errors(result, at, free),
        airflow_m3_s(airflows(result.network, at)) {
    solver.begin_at(airflow_m3_s);
    for (std::size_t i = 0; i < at.inlets.size(); ++i) {
      const auto path = path_from(of.network, inlet_leg(of.network, at.inlets[i].branch));
      if (std::ranges::find(path, leg) != path.end()) {
        behind.push_back(i);
      }
    }
  }
};

HeldLeg::HeldLeg(const NetworkResult& result, std::size_t speed, std::size_t leg)
    : state_(std::make_unique<State>(result, result.speeds[speed], leg)) {}
HeldLeg::~HeldLeg() = default;
HeldLeg::HeldLeg(HeldLeg&&) noexcept = default;

const network::LegPart& HeldLeg::part() const { return state_->of.network.legs[state_->leg]; }

const solve::FanAtSpeed* HeldLeg::fan() const {
  const std::size_t fan = state_->free.legs[state_->leg].fan;
  return fan == network::kNone ? nullptr : &state_->free.fans[fan];
}

double HeldLeg::airflow_m3_s() const { return state_->airflow_m3_s[state_->leg]; }

bool HeldLeg::is_inlet() const { return state_->free.legs[state_->leg].junction == network::kNone; }

double HeldLeg::start_pa() const {
  const std::size_t junction = state_->free.legs[state_->leg].junction;
  return junction == network::kNone ? 0.0
                                    : state_->speed.junctions[junction].total_pressure_pa +
                                          state_->speed.depressurisation_pa;
}

std::optional<result::Band> HeldLeg::airflow_band_m3_s() const {
  const auto& effects = state_->speed.effects;
  if (!effects) {
    return std::nullopt;
  }
  if (!effects->samples.empty()) {
    std::vector<double> sums(effects->drawn.size());
    for (const std::size_t inlet : state_->behind) {
      for (std::size_t n = 0; n < sums.size(); ++n) {
        sums[n] += effects->samples[inlet][n];
      }
    }
    return result::Band{quantile(sums, 0.023), quantile(sums, 0.977)};
  }
  double variance = 0.0;
  for (std::size_t k = 0; k < effects->identities.size(); ++k) {
    double sum = 0.0;
    for (const std::size_t inlet : state_->behind) {
      sum += effects->change_m3_s[inlet][k];
    }
    variance += sum * sum;
  }
  const double half = solve::kCoverage * std::sqrt(variance);
  return result::Band{airflow_m3_s() - half, airflow_m3_s() + half};
}

solve::Demand HeldLeg::demand() const { return state_->main.demand(); }
const solve::ErrorModel& HeldLeg::errors() const { return state_->errors.model(state_->leg); }
const std::vector<std::size_t>& HeldLeg::places() const {
  return state_->errors.places(state_->leg);
}
std::size_t HeldLeg::error_count() const { return state_->errors.count(); }

std::optional<HeldLeg::Changes> HeldLeg::changes() const {
  const auto& effects = state_->speed.effects;
  if (!effects) {
    return std::nullopt;
  }
  const std::size_t count = error_count();
  Changes out{std::vector<double>(count), std::vector<double>(count)};
  std::vector<double> z(count, 0.0);
  for (std::size_t k = 0; k < count; ++k) {
    for (const std::size_t inlet : state_->behind) {
      out.airflow_m3_s[k] += effects->change_m3_s[inlet][k];
    }
    if (!is_inlet()) {
      z[k] = kStep;
      const Solved up = state_->errors.at(z, state_->airflow_m3_s);
      z[k] = -kStep;
      const Solved down = state_->errors.at(z, state_->airflow_m3_s);
      z[k] = 0.0;
      out.start_pa[k] = (up.start_pa[state_->leg] - down.start_pa[state_->leg]) / (2.0 * kStep);
    }
  }
  return out;
}

std::vector<double> HeldLeg::demand_changes_pa(double airflow_m3_s) const {
  const network::Held held{state_->leg, airflow_m3_s};
  std::vector<double> out;
  std::vector<double> z(error_count(), 0.0);
  for (double& one : z) {
    one = kStep;
    const double up = state_->errors.at(z, state_->airflow_m3_s, held).needed_pa;
    one = -kStep;
    const double down = state_->errors.at(z, state_->airflow_m3_s, held).needed_pa;
    one = 0.0;
    out.push_back((up - down) / (2.0 * kStep));
  }
  return out;
}

}  // namespace ductledger::study
