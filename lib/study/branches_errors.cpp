#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "fitting/default_uncertainty.hpp"
#include "house/uncertain_room.hpp"
#include "result/uncertainty.hpp"
#include "study/branches_errors_internal.hpp"

namespace ductledger::study {

using network::kNone;
using network::LegPart;
using network::Network;

Network with_main_fan(const network::CompiledNetwork& of, const solve::FanAtSpeed* fan) {
  Network all = of.network;
  if (fan != nullptr && of.fan_leg != kNone) {
    all.legs[of.fan_leg].fan = all.fans.size();
    all.fans.push_back(*fan);
  }
  return all;
}

std::vector<std::size_t> path_from(const network::CompiledNetwork& of, std::size_t inlet) {
  std::vector<std::size_t> legs{inlet};
  while (of.legs[legs.back()].ends_at != kNone) {
    legs.push_back(of.network.junctions[of.legs[legs.back()].ends_at].combined);
  }
  return legs;
}

const layout::Piece& piece_of(const layout::Layout& layout, const network::JunctionPart& part) {
  const layout::Run& run = part.run ? layout.branches[*part.run].run : layout.run;
  return run.pieces[part.piece];
}

NetworkErrors::NetworkErrors(const NetworkResult& result, const NetworkSpeed& speed, Network base)
    : of_(result.network), base_(std::move(base)) {
  models_.reserve(of_.legs.size());
  for (std::size_t i = 0; i < of_.legs.size(); ++i) {
    const LegPart& leg = of_.legs[i];
    const solve::SpeedFan* fan = leg.fan                             ? &*leg.fan
                                 : i == of_.fan_leg && speed.fan.fan ? &speed.fan
                                                                     : nullptr;
    solve::ErrorModel::Fan with;
    if (fan != nullptr && fan->fan) {
      with = {.fan = &*fan->fan, .origin = fan->origin, .speed_ratio = fan->speed_ratio};
    }
    if (i + 1 == of_.legs.size()) {  // all that is drawn from the house leaves here
      with.room = house::uncertain_room(result.house);
    }
    models_.emplace_back(leg.layout, leg.run, with);
    std::vector<std::size_t> global;
    for (const solve::ErrorSource& source : models_.back().sources()) {
      global.push_back(index_of(source.identity, source.name()));
      one_sided_ = one_sided_ || source.spread == solve::Spread::one_sided;
    }
    globals_.push_back(std::move(global));
  }
  add_junctions(result);
}

/// One error for each type of junction; figures that the user states are each their own.
void NetworkErrors::add_junctions(const NetworkResult& result) {
  const auto& all = result.layout.uncertainty;
  const auto stated_u = all.find(fitting::default_uncertainty("stated").layout_key);
  const auto catalogue_u = all.find("coefficients");
  for (std::size_t j = 0; j < of_.junctions.size(); ++j) {
    const network::JunctionPart& part = of_.junctions[j];
    const bool stated = of_.network.junctions[j].law == network::JunctionLaw::stated;
    const layout::Piece& piece = piece_of(result.layout, part);
    const double u = stated ? (stated_u == all.end() ? fitting::default_uncertainty("stated").value
                                                     : stated_u->second)
                     : catalogue_u == all.end() ? part.standard_uncertainty
                                                : catalogue_u->second;
    junction_u_.push_back(u);
    const std::string& branch = result.layout.branches[part.branch].name;
    junction_global_.push_back(
        u <= 0.0 ? kNone
        : stated ? index_of("stated-junction:" + branch, "stated junction of " + branch)
                 : index_of("junction:" + piece.type, "junction " + piece.type));
  }
}

std::size_t NetworkErrors::index_of(const std::string& identity, const std::string& title) {
  const auto [found, added] = index_.emplace(identity, identities_.size());
  if (added) {
    identities_.push_back(identity);
    titles_.push_back(title);
  }
  return found->second;
}

std::vector<double> NetworkErrors::own(std::size_t leg, const std::vector<double>& z) const {
  std::vector<double> out;
  for (const std::size_t global : globals_[leg]) {
    out.push_back(z[global]);
  }
  return out;
}

NetworkErrors::LegFactors NetworkErrors::factors(std::size_t leg,
                                                 End end,
                                                 const std::vector<double>& z) const {
  LegFactors out;
  const std::vector<double> mine = own(leg, z);
  const solve::ErrorModel::Arrays& arrays = models_[leg].arrays();
  if (arrays.density) {
    out.density = arrays.density->at(mine[arrays.density->source]);
  }
  const layout::Run& run = of_.legs[leg].layout.run;
  const duct::Section& section =
      end == End::first || run.pieces.empty() ? run.first_section : run.pieces.back().downstream;
  const auto at =
      std::ranges::find(arrays.sections, section, &solve::ErrorModel::SectionError::section);
  if (at != arrays.sections.end() && at->source) {
    // Both sides move by the same length.
    const double by_m = at->u_m * mine[*at->source];
    out.area = (1.0 + by_m / section.width_m()) * (1.0 + by_m / section.height_m());
  }
  return out;
}

void NetworkErrors::move_junction(std::size_t junction,
                                  const std::vector<double>& z,
                                  Network& moved) const {
  network::Junction& at = moved.junctions[junction];
  const LegFactors combined = factors(at.combined, End::first, z);
  const LegFactors branch = factors(at.branch, End::last, z);
  at.dynamic_pa_s2_m6 *= combined.density / (combined.area * combined.area);
  at.area_ratio *= branch.area / combined.area;
  if (junction_global_[junction] == kNone) {
    return;
  }
  // Lognormal, as every figure of such doubt.
  const double u = junction_u_[junction];
  const double factor = std::exp(std::sqrt(std::log1p(u * u)) * z[junction_global_[junction]]);
  at.straight_factor = factor;
  at.branch_factor = factor;
}

Solved NetworkErrors::at(const std::vector<double>& z,
                         const std::vector<double>& start,
                         const network::Held& held) const {
  Network moved = base_;
  std::optional<solve::PerturbedRun> last;  // the room points at it
  for (std::size_t i = 0; i < models_.size(); ++i) {
    const std::vector<double> mine = own(i, z);
    if (std::ranges::all_of(mine, [](double one) { return one == 0.0; })) {
      continue;
    }
    solve::PerturbedRun run = models_[i].at(mine);
    const bool root = i + 1 == models_.size();
    moved.losses[i] = std::move(run.loss);
    moved.legs[i].stack_pa = run.ends.start_pa - run.ends.end_pa + (root ? base_.end_pa : 0.0);
    if (run.fan && moved.legs[i].fan != kNone) {
      moved.fans[moved.legs[i].fan] = *run.fan;
    }
    if (root && run.room != nullptr) {
      last = std::move(run);
      moved.room = last->suction();
    }
  }
  for (std::size_t j = 0; j < junction_global_.size(); ++j) {
    move_junction(j, z, moved);
  }
  network::Solver solver(moved);
  solver.begin_at(start);
  Solved out{.good = solver.solve(held) == network::Status::solved};
  const auto q = solver.airflows_m3_s();
  out.airflows_m3_s.assign(q.begin(), q.end());
  for (std::size_t i = 0; i < q.size(); ++i) {
    out.start_pa.push_back(solver.start_pa(i) - solver.room_pa());
  }
  if (held.leg != kNone) {
    out.needed_pa = solver.needed_pa(held.leg);
  }
  return out;
}

double quantile(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  const auto last = static_cast<double>(values.size() - 1);
  const double place = std::clamp(share * (last + 1.0) - 0.5, 0.0, last);
  const auto below = static_cast<std::size_t>(place);
  const double high = values[std::min(below + 1, values.size() - 1)];
  return values[below] + (place - static_cast<double>(below)) * (high - values[below]);
}

namespace {

/// The bands of one speed: of each inlet's leg.
class Bands {
 public:
  Bands(const NetworkResult& result,
        NetworkSpeed& speed,
        const Network& free,
        std::span<const double> airflows_m3_s)
      : of_(result.network),
        speed_(speed),
        errors_(result, speed, free),
        start_(airflows_m3_s.begin(), airflows_m3_s.end()) {
    speed_.effects =
        NetworkSpeed::Effects{.identities = errors_.identities(), .titles = errors_.titles()};
  }

  void put(std::size_t samples) {
    slopes();
    check_first_order();
    if (!why_.empty() || samples > 0) {
      sample(samples > 0 ? samples : 400);
    }
    const NetworkSpeed::Effects& effects = *speed_.effects;
    if (effects.samples.empty() && !why_.empty()) {
      speed_.effects.reset();
      return;  // no band is told from what is left
    }
    for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
      Inlet& inlet = speed_.inlets[i];
      if (inlet.status != InletStatus::flowing) {
        continue;
      }
      const double q = inlet.airflow_m3_s;
      inlet.band = effects.samples.empty() ? result::Band{q - 2.0 * u_[i], q + 2.0 * u_[i]}
                                           : result::Band{quantile(effects.samples[i], 0.023),
                                                          quantile(effects.samples[i], 0.977)};
    }
    speed_.why_sampled = why_;
  }

 private:
  [[nodiscard]] std::size_t leg_of(std::size_t inlet) const {
    const Inlet& at = speed_.inlets[inlet];
    return at.branch ? of_.inlets[*at.branch] : of_.collar_leg;
  }

  void slopes() {
    auto& change = speed_.effects->change_m3_s;
    const std::size_t count = errors_.count();
    change.assign(speed_.inlets.size(), std::vector<double>(count));
    std::vector<double> z(count, 0.0);
    constexpr double kStep = 0.1;
    bool good = true;
    for (std::size_t k = 0; k < count; ++k) {
      z[k] = kStep;
      const Solved up = errors_.at(z, start_);
      z[k] = -kStep;
      const Solved down = errors_.at(z, start_);
      z[k] = 0.0;
      good = good && up.good && down.good;
      for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
        const std::size_t leg = leg_of(i);
        change[i][k] = (up.airflows_m3_s[leg] - down.airflows_m3_s[leg]) / (2.0 * kStep);
      }
    }
    for (const std::vector<double>& one : change) {
      u_.push_back(std::sqrt(std::inner_product(one.begin(), one.end(), one.begin(), 0.0)));
    }
    why_ = errors_.is_one_sided() ? "an error can only add" : "";
    if (!good) {
      why_ = "a small change has no steady answer";
    }
  }

  void check_first_order() {
    const auto& change = speed_.effects->change_m3_s;
    std::vector<double> z(errors_.count(), 0.0);
    for (std::size_t i = 0; i < speed_.inlets.size() && why_.empty(); ++i) {
      if (u_[i] <= 0.0 || speed_.inlets[i].status != InletStatus::flowing) {
        continue;
      }
      for (const double side : {-2.0, 2.0}) {
        for (std::size_t k = 0; k < z.size(); ++k) {
          z[k] = side * change[i][k] / u_[i];
        }
        const Solved moved = errors_.at(z, start_);
        const std::size_t leg = leg_of(i);
        const double half = std::abs(moved.airflows_m3_s[leg] - start_[leg]);
        if (!moved.good || std::abs(half - 2.0 * u_[i]) > 0.15 * 2.0 * u_[i]) {
          why_ = "two standard uncertainties away the airflow of " + speed_.inlets[i].name +
                 " is not where first order says";
        }
      }
    }
  }

  /// Nothing is kept where too many samples have no answer.
  void sample(std::size_t count) {
    std::vector<std::vector<double>> drawn;
    for (const std::string& identity : errors_.identities()) {
      drawn.push_back(result::draw(identity, {.count = count}));
    }
    auto& samples = speed_.effects->samples;
    samples.assign(speed_.inlets.size(), {});
    std::vector<double> z(errors_.count());
    std::size_t failed = 0;
    for (std::size_t n = 0; n < count; ++n) {
      for (std::size_t k = 0; k < z.size(); ++k) {
        z[k] = drawn[k][n];
      }
      const Solved moved = errors_.at(z, start_);
      if (!moved.good) {
        ++failed;
        continue;
      }
      speed_.effects->drawn.push_back(n);
      for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
        samples[i].push_back(moved.airflows_m3_s[leg_of(i)]);
      }
    }
    if (failed > count / 50) {
      samples.clear();
      why_ = "too many samples have no steady answer";
    }
  }

  const network::CompiledNetwork& of_;
  NetworkSpeed& speed_;
  NetworkErrors errors_;
  std::vector<double> start_;
  std::vector<double> u_;  // [inlets] standard
  std::string why_;
};

}  // namespace

void put_bands(const NetworkResult& result,
               NetworkSpeed& speed,
               const Network& free,
               std::span<const double> airflows_m3_s,
               std::size_t samples) {
  Bands(result, speed, free, airflows_m3_s).put(samples);
}

}  // namespace ductledger::study
