#include "study/branches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "result/uncertainty.hpp"

namespace ductledger::study {
namespace {

using network::CompiledNetwork;
using network::kNone;
using network::LegPart;
using network::Network;
using solve::Status;

/// Free airflows of one speed: what a band is made of.
struct Solved {
  bool good = false;
  std::vector<double> airflows_m3_s;  // [legs]
};

/// The network with the main fan in it.
Network with_main_fan(const CompiledNetwork& of, const solve::FanAtSpeed* fan) {
  Network all = of.network;
  if (fan != nullptr && of.fan_leg != kNone) {
    all.legs[of.fan_leg].fan = all.fans.size();
    all.fans.push_back(*fan);
  }
  return all;
}

/// Legs from an inlet outdoors, in the order of the air.
std::vector<std::size_t> path_from(const CompiledNetwork& of, std::size_t inlet) {
  std::vector<std::size_t> legs{inlet};
  while (of.legs[legs.back()].ends_at != kNone) {
    legs.push_back(of.network.junctions[of.legs[legs.back()].ends_at].combined);
  }
  return legs;
}

/// The errors of all legs and junctions; what two legs call by one identity is one error.
class NetworkErrors {
 public:
  NetworkErrors(const NetworkResult& result, const NetworkSpeed& speed, Network base)
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
      models_.emplace_back(leg.layout, leg.run, with);
      const auto sources = models_.back().sources();
      std::vector<std::size_t> global;
      for (const solve::ErrorSource& source : sources) {
        global.push_back(index_of(source.identity));
        one_sided_ = one_sided_ || source.spread == solve::Spread::one_sided;
      }
      globals_.push_back(std::move(global));
    }
    // One error for each type of junction.
    for (std::size_t j = 0; j < of_.junctions.size(); ++j) {
      const auto& piece = piece_of(result.layout, of_.junctions[j]);
      const bool has = of_.junctions[j].standard_uncertainty > 0.0;
      junction_global_.push_back(has ? index_of("junction:" + piece.type) : kNone);
    }
  }

  [[nodiscard]] std::size_t count() const { return identities_.size(); }
  [[nodiscard]] const std::vector<std::string>& identities() const { return identities_; }
  [[nodiscard]] bool is_one_sided() const { return one_sided_; }

  /// Solved at z [count], from the airflows at z = 0.
  [[nodiscard]] Solved at(const std::vector<double>& z, const std::vector<double>& start) const {
    Network moved = base_;
    std::vector<double> own;
    for (std::size_t i = 0; i < models_.size(); ++i) {
      own.clear();
      bool still = true;
      for (const std::size_t global : globals_[i]) {
        own.push_back(z[global]);
        still = still && z[global] == 0.0;
      }
      if (still) {
        continue;
      }
      solve::PerturbedRun run = models_[i].at(own);
      const bool root = i + 1 == models_.size();
      moved.losses[i] = std::move(run.loss);
      moved.legs[i].stack_pa = run.ends.start_pa - run.ends.end_pa + (root ? base_.end_pa : 0.0);
      if (run.fan && moved.legs[i].fan != kNone) {
        moved.fans[moved.legs[i].fan] = *std::move(run.fan);
      }
    }
    for (std::size_t j = 0; j < junction_global_.size(); ++j) {
      if (junction_global_[j] != kNone) {
        // Lognormal, as every figure of such doubt.
        const double u = of_.junctions[j].standard_uncertainty;
        const double factor = std::exp(std::sqrt(std::log1p(u * u)) * z[junction_global_[j]]);
        moved.junctions[j].straight_factor = factor;
        moved.junctions[j].branch_factor = factor;
      }
    }
    network::Solver solver(moved);
    solver.begin_at(start);
    const bool good = solver.solve() == network::Status::solved;
    const auto q = solver.airflows_m3_s();
    return {good, {q.begin(), q.end()}};
  }

  static const layout::Piece& piece_of(const layout::Layout& layout,
                                       const network::JunctionPart& part) {
    const layout::Run& run = part.run ? layout.branches[*part.run].run : layout.run;
    return run.pieces[part.piece];
  }

 private:
  std::size_t index_of(const std::string& identity) {
    const auto [found, added] = index_.emplace(identity, identities_.size());
    if (added) {
      identities_.push_back(identity);
    }
    return found->second;
  }

  const CompiledNetwork& of_;
  Network base_;
  std::vector<solve::ErrorModel> models_;
  std::vector<std::vector<std::size_t>> globals_;  // [legs][its sources]
  std::vector<std::size_t> junction_global_;       // [junctions]
  std::map<std::string, std::size_t> index_;
  std::vector<std::string> identities_;
  bool one_sided_ = false;
};

double quantile(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  const auto last = static_cast<double>(values.size() - 1);
  const double place = std::clamp(share * (last + 1.0) - 0.5, 0.0, last);
  const auto below = static_cast<std::size_t>(place);
  const double high = values[std::min(below + 1, values.size() - 1)];
  return values[below] + (place - static_cast<double>(below)) * (high - values[below]);
}

class NetworkCheck {
 public:
  NetworkCheck(NetworkResult& result, const CheckOptions& options)
      : result_(result), of_(result.network), options_(options) {
    if (const house::Zone* zone = result_.house.coupled(); zone != nullptr) {
      of_.network.room = zone->suction();
    }
  }

  void calculate() {
    const layout::Layout& layout = result_.layout;
    if (!layout.fan) {
      result_.speeds.push_back(at_speed(NetworkSpeed{}));
      result_.headline = 0;
      return;
    }
    for (std::size_t i = 0; i < layout.fan->speeds.size(); ++i) {
      NetworkSpeed speed;
      speed.index = i;
      speed.name = layout.fan->speeds[i].name;
      speed.locked_out = layout.fan->speeds[i].locked_out;
      speed.fan = solve::speed_fan(of_.legs[of_.fan_leg].layout, of_.legs[of_.fan_leg].run, i);
      speed.rated = solve::rated_airflow(layout, i);
      result_.speeds.push_back(at_speed(std::move(speed)));
    }
    const auto rank = [](const NetworkSpeed& speed) {
      return std::pair(speed.rated ? speed.rated->airflow_m3_s : 0.0, speed.discharge_m3_s);
    };
    for (std::size_t i = 0; i < result_.speeds.size(); ++i) {
      if (!result_.speeds[i].locked_out &&
          (!result_.headline ||
           rank(result_.speeds[i]) > rank(result_.speeds[*result_.headline]))) {
        result_.headline = i;
      }
    }
  }

 private:
  [[nodiscard]] bool anything_drives() const {
    const auto& legs = of_.network.legs;
    return !of_.network.fans.empty() || of_.network.end_pa != 0.0 ||
           std::ranges::any_of(legs, [](const network::Leg& leg) { return leg.stack_pa != 0.0; });
  }

  NetworkSpeed at_speed(NetworkSpeed speed) {
    put_inlets(speed);
    const bool has_main = of_.fan_leg != kNone;
    if (of_.undetermined() != nullptr || (has_main && !speed.fan.fan)) {
      speed.point.status = Status::not_determined;
      return speed;
    }
    if (!has_main && !anything_drives()) {
      speed.point.status = Status::no_fan;
      speed.status = network::Status::solved;
      return speed;
    }
    const Network free = with_main_fan(of_, speed.fan.fan ? &*speed.fan.fan : nullptr);
    network::Solver solver(has_main ? of_.network : free);
    network::Solver from_rest(free);
    network::Solver* answer = &solver;
    if (has_main) {
      const network::MainFan main(solver, of_.fan_leg);
      speed.point = solve::operating_point(main.demand(), *speed.fan.fan);
      if (speed.point.status == Status::no_flow) {
        from_rest.solve();  // pushed back, or held shut by a flap
        answer = &from_rest;
      } else {
        solver.solve({of_.fan_leg, solve::best_airflow_m3_s(speed.point)});
      }
    } else {
      solver.solve();
      speed.point.status = Status::found;
      speed.point.stable = true;
      speed.point.airflow_m3_s = solver.airflows_m3_s()[of_.collar_leg];
    }
    speed.status = answer->status();
    put_answer(speed, *answer);
    put_balance(speed);
    if (options_.depth != Depth::points && speed.status == network::Status::solved &&
        speed.point.status == Status::found) {
      put_bands(speed, free, *answer);
    }
    for (Inlet& inlet : speed.inlets) {
      put_requirement(inlet, speed);
    }
    return speed;
  }

  void put_inlets(NetworkSpeed& speed) const {
    const layout::Layout& layout = result_.layout;
    speed.inlets.push_back({.branch = std::nullopt,
                            .name = "collar",
                            .required_m3_s = layout.appliance.required_airflow_m3_s});
    for (std::size_t i = 0; i < layout.branches.size(); ++i) {
      speed.inlets.push_back({.branch = i,
                              .name = layout.branches[i].name,
                              .required_m3_s = layout.branches[i].required_airflow_m3_s});
    }
  }

  [[nodiscard]] std::size_t leg_of(const Inlet& inlet) const {
    return inlet.branch ? of_.inlets[*inlet.branch] : of_.collar_leg;
  }

  void put_answer(NetworkSpeed& speed, const network::Solver& solver) const {
    const auto q = solver.airflows_m3_s();
    speed.discharge_m3_s = q.back();
    speed.depressurisation_pa = -solver.room_pa();
    speed.residual_pa = solver.residual_pa();
    speed.mass_residual = solver.mass_residual();
    speed.iterations = solver.iterations();
    const bool bound = solve::is_bound(speed.point.status);
    for (Inlet& inlet : speed.inlets) {
      const std::size_t leg = leg_of(inlet);
      inlet.airflow_m3_s = solver.is_shut(leg) ? 0.0 : q[leg];
      // Behind a flap that is shut further on, nothing flows either.
      const bool still = std::ranges::any_of(path_from(of_, leg),
                                             [&](std::size_t i) { return solver.is_shut(i); });
      inlet.status = inlet.airflow_m3_s < 0.0       ? InletStatus::reversed
                     : solver.is_shut(leg) || still ? InletStatus::shut
                                                    : InletStatus::flowing;
      put_fan(inlet, leg, speed, solver);
      if (inlet.status == InletStatus::flowing) {
        put_path(inlet, leg, solver, speed);
      }
    }
    if (!of_.network.junctions.empty()) {
      put_junctions(speed, solver);
    }
    if (!bound && speed.inlets.front().path.empty()) {
      speed.collar_static_pressure_pa = 0.0;
    }
  }

  void put_fan(Inlet& inlet,
               std::size_t leg,
               const NetworkSpeed& speed,
               const network::Solver& solver) const {
    if (leg == of_.fan_leg) {
      inlet.fan = speed.point.status;
      inlet.fan_total_pressure_pa = speed.point.total_pressure_pa;
      return;
    }
    const auto& fan = of_.legs[leg].fan;
    if (!fan) {
      return;
    }
    inlet.fan_total_pressure_pa = solver.fan_pa(leg);
    const double q = inlet.airflow_m3_s;
    const fan::FanCurve& curve = fan->fan->curve;
    inlet.fan = q <= 0.0                         ? Status::no_flow
                : q > curve.last_airflow_m3_s()  ? Status::beyond_curve
                : q < curve.first_airflow_m3_s() ? Status::below_curve
                                                 : Status::found;
  }

  void put_path(Inlet& inlet,
                std::size_t from,
                const network::Solver& solver,
                NetworkSpeed& speed) const {
    const auto q = solver.airflows_m3_s();
    double loss_pa = 0.0;
    for (const std::size_t i : path_from(of_, from)) {
      const LegPart& leg = of_.legs[i];
      if (q[i] < 0.0) {
        inlet.path.clear();
        return;
      }
      const double fan_pa = i == of_.fan_leg ? solver.needed_pa(i) : solver.fan_pa(i);
      solve::Ledger ledger =
          solve::ledger(leg.layout,
                        leg.run,
                        {.airflow_m3_s = q[i],
                         .fan_total_pa = fan_pa,
                         .ends = {.start_pa = solver.start_pa(i), .end_pa = solver.end_pa(i)}});
      if (i == of_.collar_leg) {
        speed.collar_static_pressure_pa = ledger.collar_static_pressure_pa;
      }
      const int before = static_cast<int>(leg.first_piece);
      for (solve::LedgerRow& row : ledger.rows) {
        if (row.number > 0) {
          row.number += before;
        }
        if (row.piece_index >= 0) {
          row.piece_index += before;
        }
        if (row.piece == "fan" && row.piece_index < 0 && leg.branch) {
          row.line = leg.layout.fan->span.line;
          row.column = leg.layout.fan->span.column;
        }
        loss_pa += row.number >= 0 ? row.loss_pa : 0.0;
        inlet.path.push_back({leg.branch, std::move(row)});
      }
      if (leg.ends_at != kNone) {
        inlet.path.push_back(junction_row(i, solver));
        loss_pa += inlet.path.back().row.loss_pa;
      }
    }
    inlet.path_loss_pa = loss_pa;
    for (PathRow& row : inlet.path) {
      row.row.share = row.row.number >= 0 && loss_pa > 0.0 ? row.row.loss_pa / loss_pa : 0.0;
    }
  }

  /// What the junction at a leg's end costs the air of that leg.
  [[nodiscard]] PathRow junction_row(std::size_t leg, const network::Solver& solver) const {
    const std::size_t at = of_.legs[leg].ends_at;
    const network::Junction& junction = of_.network.junctions[at];
    const network::JunctionPart& part = of_.junctions[at];
    const layout::Piece& piece = NetworkErrors::piece_of(result_.layout, part);
    const double q = solver.airflows_m3_s()[junction.combined];
    const bool straight = junction.straight == leg;
    PathRow out{part.run, {}};
    solve::LedgerRow& row = out.row;
    row.number = static_cast<int>(part.piece) + 1;
    row.piece_index = static_cast<std::ptrdiff_t>(part.piece);
    row.piece = "junction";
    row.type = piece.type + (straight ? " straight" : " branch");
    row.sections = duct::SectionPair{straight ? piece.upstream
                                     : of_.legs[leg].run.pieces.empty()
                                         ? of_.legs[leg].layout.run.first_section
                                         : of_.legs[leg].run.pieces.back().downstream,
                                     piece.downstream};
    row.velocity_m_s = q / piece.downstream.area_m2();
    row.velocity_pressure_pa = junction.dynamic_pa_s2_m6 * q * q;
    row.coefficient = straight ? solver.straight_coefficient(at) : solver.branch_coefficient(at);
    row.loss_pa = row.coefficient * row.velocity_pressure_pa;
    row.total_pressure_after_pa = solver.end_pa(leg) - row.loss_pa;
    row.static_pressure_after_pa = row.total_pressure_after_pa - row.velocity_pressure_pa;
    const bool stated = junction.law == network::JunctionLaw::stated;
    row.entry = stated ? "stated" : "junction/" + piece.type;
    row.source = stated ? "" : "idelchik";
    row.status = stated ? "" : fitting::word(fitting::Status::seen);
    row.line = piece.span.line;
    row.column = piece.span.column;
    return out;
  }

  void put_junctions(NetworkSpeed& speed, const network::Solver& solver) const {
    for (std::size_t j = 0; j < of_.junctions.size(); ++j) {
      const network::JunctionPart& part = of_.junctions[j];
      const network::Junction& junction = of_.network.junctions[j];
      const layout::Piece& piece = NetworkErrors::piece_of(result_.layout, part);
      speed.junctions.push_back({.branch = result_.layout.branches[part.branch].name,
                                 .type = piece.type,
                                 .run = part.run,
                                 .flow_ratio = solver.flow_ratio(j),
                                 .area_ratio = junction.area_ratio,
                                 .straight_coefficient = solver.straight_coefficient(j),
                                 .branch_coefficient = solver.branch_coefficient(j),
                                 .combined_airflow_m3_s = solver.airflows_m3_s()[junction.combined],
                                 .total_pressure_pa = solver.start_pa(junction.combined),
                                 .stated = junction.law == network::JunctionLaw::stated,
                                 .span = piece.span});
    }
  }

  /// Every inlet held at its required airflow: pressures from the outlet up.
  void put_balance(NetworkSpeed& speed) const {
    const bool all = std::ranges::all_of(
        speed.inlets, [](const Inlet& inlet) { return inlet.required_m3_s.has_value(); });
    std::size_t costliest = kNone;
    for (std::size_t i = 0; i < speed.inlets.size(); ++i) {
      if (speed.inlets[i].status == InletStatus::flowing &&
          (costliest == kNone ||
           speed.inlets[i].path_loss_pa > speed.inlets[costliest].path_loss_pa)) {
        costliest = i;
      }
    }
    if (!all) {
      speed.controlling = costliest == kNone ? std::nullopt : std::optional(costliest);
      return;
    }
    std::vector<double> q(of_.legs.size());
    for (const Inlet& inlet : speed.inlets) {
      q[leg_of(inlet)] = *inlet.required_m3_s;
    }
    for (const network::Junction& junction : of_.network.junctions) {
      q[junction.combined] = q[junction.straight] + q[junction.branch];
    }
    const double room_pa = -of_.network.room.at_pa(q.back());
    Balance balance;
    balance.shared_fan = of_.fan_leg != kNone;
    for (std::size_t i = 0; i < speed.inlets.size(); ++i) {
      Balance::Path path{.inlet = i};
      double made_pa = 0.0;
      bool main = false;
      double needed_pa = of_.network.end_pa - room_pa;
      for (const std::size_t leg : path_from(of_, leg_of(speed.inlets[i]))) {
        needed_pa += of_.network.losses[leg].at(q[leg]) - of_.network.legs[leg].stack_pa;
        if (leg == of_.fan_leg && speed.fan.fan) {
          made_pa += total_at(*speed.fan.fan, q[leg]);
          main = true;
        } else if (of_.legs[leg].fan && of_.legs[leg].fan->fan) {
          made_pa += total_at(*of_.legs[leg].fan->fan, q[leg]);
        }
        if (of_.legs[leg].ends_at != kNone) {
          const network::Junction& junction = of_.network.junctions[of_.legs[leg].ends_at];
          const fitting::JunctionLoss loss =
              network::junction_loss_pa(junction, q[junction.straight], q[junction.branch]);
          needed_pa += junction.straight == leg ? loss.straight : loss.branch;
        }
      }
      path.needed_pa = needed_pa;
      path.surplus_pa = made_pa - needed_pa;
      balance.shared_fan = balance.shared_fan && main;
      balance.paths.push_back(path);
    }
    const auto least = std::ranges::min_element(balance.paths, {}, &Balance::Path::surplus_pa);
    least->controlling = true;
    speed.controlling = least->inlet;
    // With one fan for all, what is left over on the controlling path is that fan's to lose.
    const double from = balance.shared_fan ? least->surplus_pa : 0.0;
    for (Balance::Path& path : balance.paths) {
      path.damper_pa = std::max(path.surplus_pa - from, 0.0);
    }
    speed.balance = std::move(balance);
  }

  /// Within its curve; the nearest end beyond, where the balance says so by its own status.
  static double total_at(const solve::FanAtSpeed& fan, double q) {
    const double at = std::clamp(q, fan.curve.first_airflow_m3_s(), fan.curve.last_airflow_m3_s());
    return fan.curve.pressure_pa(at) + fan.dynamic_pa_s2_m6 * q * q;
  }

  /// First order where a second solve along the steepest direction agrees; else joint samples.
  void put_bands(NetworkSpeed& speed, const Network& free, const network::Solver& answer) const {
    const NetworkErrors errors(result_, speed, free);
    const std::vector<double> start(answer.airflows_m3_s().begin(), answer.airflows_m3_s().end());
    const std::size_t count = errors.count();
    std::vector<std::vector<double>> change(speed.inlets.size(), std::vector<double>(count));
    std::vector<double> z(count, 0.0);
    constexpr double kStep = 0.1;
    bool good = true;
    for (std::size_t k = 0; k < count; ++k) {
      z[k] = kStep;
      const Solved up = errors.at(z, start);
      z[k] = -kStep;
      const Solved down = errors.at(z, start);
      z[k] = 0.0;
      good = good && up.good && down.good;
      for (std::size_t i = 0; i < speed.inlets.size(); ++i) {
        const std::size_t leg = leg_of(speed.inlets[i]);
        change[i][k] = (up.airflows_m3_s[leg] - down.airflows_m3_s[leg]) / (2.0 * kStep);
      }
    }
    std::string why = errors.is_one_sided() ? "an error can only add" : "";
    if (!good) {
      why = "a small change has no steady answer";
    }
    std::vector<double> u(speed.inlets.size());
    for (std::size_t i = 0; i < speed.inlets.size(); ++i) {
      u[i] =
          std::sqrt(std::inner_product(change[i].begin(), change[i].end(), change[i].begin(), 0.0));
      if (!why.empty() || u[i] <= 0.0 || speed.inlets[i].status != InletStatus::flowing) {
        continue;
      }
      for (const double side : {-2.0, 2.0}) {
        for (std::size_t k = 0; k < count; ++k) {
          z[k] = side * change[i][k] / u[i];
        }
        const Solved moved = errors.at(z, start);
        const std::size_t leg = leg_of(speed.inlets[i]);
        const double half = std::abs(moved.airflows_m3_s[leg] - start[leg]);
        if (!moved.good || std::abs(half - 2.0 * u[i]) > 0.15 * 2.0 * u[i]) {
          why = "two standard uncertainties away the airflow of " + speed.inlets[i].name +
                " is not where first order says";
        }
      }
      std::fill(z.begin(), z.end(), 0.0);
    }
    std::vector<std::vector<double>> drawn;
    std::vector<std::vector<double>> values(speed.inlets.size());
    if (!why.empty() || options_.samples > 0) {
      const std::size_t samples = options_.samples > 0 ? options_.samples : 400;
      for (const std::string& identity : errors.identities()) {
        drawn.push_back(result::draw(identity, {.count = samples}));
      }
      std::size_t failed = 0;
      for (std::size_t n = 0; n < samples; ++n) {
        for (std::size_t k = 0; k < count; ++k) {
          z[k] = drawn[k][n];
        }
        const Solved moved = errors.at(z, start);
        failed += moved.good ? 0 : 1;
        for (std::size_t i = 0; moved.good && i < speed.inlets.size(); ++i) {
          values[i].push_back(moved.airflows_m3_s[leg_of(speed.inlets[i])]);
        }
      }
      if (failed > samples / 50) {
        return;  // no band is told from what is left
      }
    }
    for (std::size_t i = 0; i < speed.inlets.size(); ++i) {
      Inlet& inlet = speed.inlets[i];
      if (inlet.status != InletStatus::flowing) {
        continue;
      }
      inlet.band =
          values[i].empty()
              ? result::Band{inlet.airflow_m3_s - 2.0 * u[i], inlet.airflow_m3_s + 2.0 * u[i]}
              : result::Band{quantile(values[i], 0.023), quantile(values[i], 0.977)};
    }
    speed.why_sampled = why;
  }

  static void put_requirement(Inlet& inlet, const NetworkSpeed& speed) {
    using State = result::Requirement::State;
    if (!inlet.required_m3_s) {
      return;
    }
    const double least = *inlet.required_m3_s * (1.0 - 1e-9);
    const bool known =
        speed.status == network::Status::solved &&
        (speed.point.status == Status::found || speed.point.status == Status::no_flow);
    const bool within =
        inlet.fan == Status::found || inlet.fan == Status::no_fan || inlet.fan == Status::no_flow;
    if (!known || !within) {
      inlet.requirement = State::not_shown;
    } else if (inlet.status != InletStatus::flowing || inlet.airflow_m3_s < least) {
      inlet.requirement = State::not_met;
    } else {
      const double low = inlet.band ? inlet.band->low : inlet.airflow_m3_s;
      inlet.requirement = low >= least && inlet.band ? State::met : State::not_shown;
    }
  }

  NetworkResult& result_;
  CompiledNetwork& of_;
  const CheckOptions& options_;
};

}  // namespace

base::Checked<NetworkResult> check_network(layout::Layout layout,
                                           const fitting::Catalogue& catalogue,
                                           const CheckOptions& options) {
  auto compiled = network::compile(layout, catalogue, options.compile);
  if (!compiled) {
    return std::move(compiled).error();
  }
  const LegPart& collar = compiled->legs[compiled->collar_leg];
  auto house = house::compile(collar.layout, catalogue, collar.run);
  if (!house) {
    return std::move(house).error();
  }
  NetworkResult result{.layout = std::move(layout),
                       .network = *std::move(compiled),
                       .house = *std::move(house),
                       .speeds = {},
                       .headline = {},
                       .shown = 0,
                       .findings = {},
                       .cautions = {},
                       .catalogue_hash = catalogue.content_hash(),
                       .catalogue_files = catalogue.added()};
  NetworkCheck(result, options).calculate();
  result.shown = result.headline.value_or(0);
  if (!options.speed.empty()) {
    const auto found = std::ranges::find(result.speeds, options.speed, &NetworkSpeed::name);
    if (found == result.speeds.end()) {
      std::vector<std::string> names;
      std::ranges::transform(result.speeds, std::back_inserter(names), &NetworkSpeed::name);
      const auto near = base::nearest(options.speed, names);
      return base::fault(
          "unknown-speed",
          fmt::format("the layout has no speed named `{}`", base::escaped(options.speed)),
          near ? fmt::format("did you mean `{}`?", *near) : std::string());
    }
    result.shown = static_cast<std::size_t>(found - result.speeds.begin());
  }
  if (options.depth == Depth::whole) {
    result.findings = network_findings(result, catalogue);
    result.cautions = cautions(result.layout);
  }
  return result;
}

}  // namespace ductledger::study
