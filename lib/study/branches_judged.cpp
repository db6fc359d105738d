#include <algorithm>
#include <string>

#include "findings/finding_internal.hpp"
#include "result/figures.hpp"
#include "study/branches.hpp"
#include "units/constants.hpp"

/// A network as rules and the views of single runs look at it.
namespace ductledger::study {
namespace {

using result::SpeedResult;
using rules::Judgement;

/// One inlet's way outdoors as a run of its own.
struct Path {
  layout::Layout layout;
  solve::CompiledRun run;
  std::vector<SpeedResult> speeds;
  std::optional<std::size_t> headline;
  std::string where;
};

class Paths {
 public:
  Paths(const NetworkResult& result, const fitting::Catalogue& catalogue)
      : result_(result), catalogue_(catalogue) {}

  /// Nothing where the pieces of the path do not compile as one run.
  [[nodiscard]] std::optional<Path> of(std::size_t inlet) const {
    const Inlet& at = result_.speeds.front().inlets[inlet];
    const network::CompiledNetwork& net = result_.network;
    std::size_t leg = at.branch ? net.inlets[*at.branch] : net.collar_leg;
    Path path;
    path.where = at.branch ? "branch " + at.name : "the collar";
    path.layout = net.legs[leg].layout;
    layout::Layout& one = path.layout;
    one.appliance = result_.layout.appliance;
    one.appliance.required_airflow_m3_s = at.required_m3_s;
    // Kitchen and dryer ducts are kept apart: whatever the file says, here others join.
    if (one.appliance.kind == layout::ApplianceKind::range_hood ||
        one.appliance.kind == layout::ApplianceKind::clothes_dryer) {
      one.facts.state({.key = layout::fact_key("run.independent"),
                       .yes = false,
                       .words = {},
                       .span = result_.layout.branches.front().span});
    }
    if (at.branch) {
      one.appliance.collar.reset();
    }
    const bool own_fan = at.branch && one.fan.has_value();
    bool main_fan = leg == net.fan_leg;
    one.run.stated_rise_m.reset();
    while (net.legs[leg].ends_at != network::kNone) {
      leg = net.network.junctions[net.legs[leg].ends_at].combined;
      const layout::Run& next = net.legs[leg].layout.run;
      if (leg == net.fan_leg && next.fan_piece && !own_fan) {
        one.run.fan_piece = one.run.pieces.size() + *next.fan_piece;
      }
      main_fan = main_fan || leg == net.fan_leg;
      for (const layout::Piece& piece : next.pieces) {
        if (piece.kind != layout::PieceKind::fan || !own_fan) {
          one.run.pieces.push_back(piece);
        }
      }
    }
    if (!own_fan) {
      one.fan = main_fan ? result_.layout.fan : std::nullopt;
    }
    auto run = solve::compile(one, catalogue_);
    if (!run) {
      return std::nullopt;
    }
    path.run = *std::move(run);
    put_speeds(path, inlet, own_fan);
    return path;
  }

  /// The same with all that leaves the house in place of the inlet's own airflow.
  [[nodiscard]] Path with_all(Path path) const {
    path.where = "all inlets together";
    path.layout.appliance.required_airflow_m3_s.reset();
    for (SpeedResult& speed : path.speeds) {
      const NetworkSpeed& from = result_.speeds[speed.index];
      speed.point.airflow_m3_s = from.discharge_m3_s;
      speed.airflow_band_m3_s.reset();
      speed.rated = from.rated;
      finish(speed, path);
    }
    return path;
  }

 private:
  void put_speeds(Path& path, std::size_t inlet, bool own_fan) const {
    if (!path.layout.fan) {
      return;
    }
    for (std::size_t i = 0; i < result_.speeds.size(); ++i) {
      if (own_fan && result_.headline != i) {
        continue;
      }
      const NetworkSpeed& from = result_.speeds[i];
      const Inlet& at = from.inlets[inlet];
      SpeedResult speed;
      speed.index = own_fan ? result_.layout.branches[*at.branch].speed : from.index;
      speed.name = path.layout.fan->speeds[speed.index].name;
      speed.locked_out = !own_fan && from.locked_out;
      if (own_fan) {
        speed.rated = solve::rated_airflow(path.layout, speed.index);
      } else if (!at.branch && result_.network.fan_leg == result_.network.collar_leg) {
        speed.rated = from.rated;  // a fan for all is rated for no single inlet
      }
      speed.point.status = at.status != InletStatus::flowing ? solve::Status::no_flow
                           : own_fan                         ? at.fan
                                                             : from.point.status;
      speed.point.stable = true;
      speed.point.airflow_m3_s = std::max(at.airflow_m3_s, 0.0);
      speed.airflow_band_m3_s = at.band;
      speed.house = from.house;
      finish(speed, path);
      if (result_.headline == i) {
        path.headline = path.speeds.size();
      }
      path.speeds.push_back(std::move(speed));
    }
  }

  static void finish(SpeedResult& speed, const Path& path) {
    speed.figures = result::figures(speed, path.run);
    if (speed.figures.bound != result::Bound::none) {
      speed.ledger = solve::ledger(
          path.layout,
          path.run,
          {.airflow_m3_s = speed.point.airflow_m3_s, .fan_total_pa = 0.0, .ends = {}});
    }
  }

  const NetworkResult& result_;
  const fitting::Catalogue& catalogue_;
};

}  // namespace

std::vector<Judgement> judge_network(const std::vector<rules::RuleSet>& sets,
                                     const NetworkResult& result,
                                     const fitting::Catalogue& catalogue) {
  const Paths paths(result, catalogue);
  std::vector<Judgement> worst;
  const auto judge = [&](const Path& path) {
    const result::Case subject{.layout = &path.layout,
                               .catalogue = &catalogue,
                               .run = &path.run,
                               .house = path.layout.house ? &result.house : nullptr,
                               .speeds = path.speeds,
                               .headline = path.headline};
    std::vector<Judgement> judged = rules::judge(sets, subject);
    for (std::size_t i = 0; i < judged.size(); ++i) {
      // In the order of what an inspector has to know first.
      if (worst.size() <= i || judged[i].verdict < worst[i].verdict) {
        if (judged[i].verdict != rules::Verdict::not_applicable) {
          judged[i].remarks.push_back({"at " + findings::literal(path.where) + ", the worst of " +
                                       std::to_string(result.speeds.front().inlets.size()) +
                                       " inlets"});
        }
        worst.size() <= i ? worst.push_back(std::move(judged[i]))
                          : void(worst[i] = std::move(judged[i]));
      }
    }
  };
  for (std::size_t i = 0; i < result.speeds.front().inlets.size(); ++i) {
    if (auto path = paths.of(i)) {
      judge(*path);
      if (i == 0 && !path->speeds.empty()) {
        judge(paths.with_all(*std::move(path)));
      }
    }
  }
  return worst;
}

namespace {

/// What flows at the collar; a fan further on carries more.
SpeedResult at_collar(const NetworkResult& result, const NetworkSpeed& from) {
  const Inlet& inlet = from.inlets.front();
  SpeedResult speed;
  speed.index = from.index;
  speed.name = from.name;
  speed.locked_out = from.locked_out;
  speed.fan = from.fan;
  speed.rated = from.rated;
  speed.point = from.point;
  speed.figures = result::figures(speed, result.network.legs[result.network.fan_leg].run);
  speed.point.airflow_m3_s = inlet.airflow_m3_s;
  speed.point.bounds.reset();
  speed.point.estimate.reset();
  const double density = result.network.air.density_kg_m3 / units::kStandardDensityKgM3;
  speed.figures.airflow_m3_s = inlet.airflow_m3_s;
  speed.figures.standard_airflow_m3_s = inlet.airflow_m3_s * density;
  speed.airflow_band_m3_s = inlet.band;
  speed.house = from.house;
  if (!inlet.path.empty()) {
    solve::Ledger ledger;
    ledger.airflow_m3_s = inlet.airflow_m3_s;
    ledger.loss_pa = inlet.path_loss_pa;
    ledger.collar_static_pressure_pa = from.collar_static_pressure_pa;
    for (const PathRow& row : inlet.path) {
      ledger.rows.push_back(row.row);
    }
    speed.ledger = std::move(ledger);
  }
  return speed;
}

/// The worst of all inlets at the headline speed; nothing: none is required.
std::optional<result::Requirement> worst_requirement(const NetworkResult& result) {
  using State = result::Requirement::State;
  const auto rank = [](State state) {
    return state == State::not_met ? 2 : state == State::not_shown ? 1 : 0;
  };
  std::optional<result::Requirement> worst;
  for (const Inlet& inlet : result.speeds[*result.headline].inlets) {
    if (inlet.requirement && (!worst || rank(*inlet.requirement) > rank(worst->state))) {
      worst = result::Requirement{.required_m3_s = *inlet.required_m3_s,
                                  .state = *inlet.requirement,
                                  .by = result.headline};
    }
  }
  return worst;
}

}  // namespace

CheckResult as_single(const NetworkResult& result) {
  const network::LegPart& collar = result.network.legs[result.network.collar_leg];
  CheckResult one{.layout = result.layout,
                  .run = collar.run,
                  .house = result.house,
                  .speeds = {},
                  .headline = {},
                  .ledger_speed = {},
                  .resistance = {},
                  .equivalent_lengths = {},
                  .required_length = {},
                  .requirement = {},
                  .nominal = {},
                  .dryer = {},
                  .advice = {},
                  .findings = result.findings,
                  .cautions = result.cautions,
                  .catalogue_hash = result.catalogue_hash,
                  .catalogue_files = result.catalogue_files};
  if (!result.layout.fan) {
    return one;
  }
  for (const NetworkSpeed& from : result.speeds) {
    one.equivalent_lengths.emplace_back();
    one.speeds.push_back(at_collar(result, from));
  }
  one.headline = result.headline;
  one.ledger_speed = result.shown;
  if (result.headline) {
    one.requirement = worst_requirement(result);
  }
  return one;
}

base::Checked<CheckedLayout> check_layout(layout::Layout layout,
                                          const fitting::Catalogue& catalogue,
                                          const CheckOptions& options) {
  if (layout.branches.empty()) {
    return check(std::move(layout), catalogue, options).transform([](CheckResult&& result) {
      return CheckedLayout{std::move(result), std::nullopt};
    });
  }
  return check_network(std::move(layout), catalogue, options)
      .transform([](NetworkResult&& network) {
        CheckResult collar = as_single(network);
        return CheckedLayout{std::move(collar), std::move(network)};
      });
}

base::Checked<CheckResult> check_as_single(layout::Layout layout,
                                           const fitting::Catalogue& catalogue,
                                           const CheckOptions& options) {
  return check_layout(std::move(layout), catalogue, options).transform([](CheckedLayout&& result) {
    return std::move(result.check);
  });
}

}  // namespace ductledger::study
