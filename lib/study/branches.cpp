#include "study/branches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "study/branches_errors_internal.hpp"

namespace ductledger::study {
namespace {

using network::CompiledNetwork;
using network::kNone;
using network::LegPart;
using network::Network;
using solve::Status;

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
      put_bands(result_, speed, free, answer->airflows_m3_s(), options_.samples);
    }
    for (Inlet& inlet : speed.inlets) {
      put_requirement(inlet, speed);
    }
    if (options_.depth == Depth::whole && speed.status == network::Status::solved) {
      put_house(speed);
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
    const layout::Piece& piece = piece_of(result_.layout, part);
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
      const layout::Piece& piece = piece_of(result_.layout, part);
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

  /// What leaves the house, by its band, drives it as known bounds of an airflow do.
  void put_house(NetworkSpeed& speed) const {
    if (result_.house.coupled() == nullptr || speed.discharge_m3_s <= 0.0) {
      return;
    }
    const double half_m3_s = speed.effects ? 2.0 * discharge_u_m3_s(*speed.effects) : 0.0;
    const bool known = half_m3_s > 0.0 && speed.point.status == Status::found;
    house::SpeedSolved solved;
    solved.point = speed.point;
    solved.rated_airflow_m3_s = speed.discharge_m3_s;
    solved.bounds = solve::AirflowBounds{std::max(speed.discharge_m3_s - half_m3_s, 0.0),
                                         speed.discharge_m3_s + half_m3_s};
    speed.house =
        house::at_speed(result_.layout, of_.legs[of_.collar_leg].run, result_.house, solved);
    if (!speed.house) {
      return;
    }
    speed.house->balance = result_.house.coupled()->balance(speed.discharge_m3_s);
    if (!known && speed.house->verdict == house::Verdict::met) {
      speed.house->verdict = house::Verdict::not_shown;
    }
  }

  /// All that leaves the house is the sum of its inlets.
  static double discharge_u_m3_s(const NetworkSpeed::Effects& of) {
    double variance = 0.0;
    for (std::size_t k = 0; k < of.identities.size(); ++k) {
      double sum = 0.0;
      for (const std::vector<double>& inlet : of.change_m3_s) {
        sum += inlet[k];
      }
      variance += sum * sum;
    }
    return std::sqrt(variance);
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

std::vector<FoldedPath> folded_paths(const CompiledNetwork& of, const NetworkSpeed& speed) {
  std::vector<std::size_t> order(speed.inlets.size());
  std::iota(order.begin(), order.end(), 0U);
  std::ranges::stable_sort(order, {}, [&](std::size_t i) {
    const Inlet& inlet = speed.inlets[i];
    return speed.controlling == i ? 0
           : inlet.status != InletStatus::flowing ||
                   inlet.requirement == result::Requirement::State::not_met
               ? 1
               : 2;
  });
  std::vector<std::size_t> told(of.legs.size(), kNone);  // by which inlet
  std::vector<FoldedPath> out;
  for (const std::size_t i : order) {
    const Inlet& inlet = speed.inlets[i];
    if (inlet.path.empty()) {
      continue;
    }
    FoldedPath folded{.inlet = i};
    std::size_t leg = inlet.branch ? of.inlets[*inlet.branch] : of.collar_leg;
    for (const PathRow& row : inlet.path) {
      told[leg] = i;
      ++folded.rows;
      if (row.row.piece != "junction") {
        continue;
      }
      leg = of.network.junctions[of.legs[leg].ends_at].combined;
      if (told[leg] != kNone) {
        folded.goes_on_as = told[leg];
        break;
      }
    }
    out.push_back(folded);
  }
  return out;
}

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
    if (options.advise) {
      result.advice = network_advice(result, catalogue);
    }
  }
  return result;
}

}  // namespace ductledger::study
