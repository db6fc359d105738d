#include "site/commission.hpp"

#include <algorithm>
#include <utility>

#include "layout/catalogue_query.hpp"

namespace ductledger::site {
namespace {

constexpr double kLoadedFactor = 2.0;

std::vector<LoadedFilter> loaded_filters(const study::CheckResult& clean,
                                         const fitting::Catalogue& catalogue) {
  std::vector<LoadedFilter> out;
  const auto loaded =
      study::check(clean.layout, catalogue, {.compile = {.filter_factor = kLoadedFactor}});
  if (!loaded) {
    return out;
  }
  for (std::size_t i = 0; i < clean.speeds.size(); ++i) {
    const result::SpeedResult& before = clean.speeds[i];
    const result::SpeedResult& after = loaded->speeds[i];
    if (before.point.status != solve::Status::found || after.point.status != solve::Status::found) {
      continue;
    }
    LoadedFilter one;
    one.speed = i;
    one.airflow_m3_s = after.point.airflow_m3_s;
    one.lost_m3_s = before.point.airflow_m3_s - after.point.airflow_m3_s;
    if (after.ledger) {
      one.collar_static_pa = after.ledger->collar_static_pressure_pa;
    }
    out.push_back(one);
  }
  return out;
}

bool has_filter(const layout::Run& run) {
  return std::ranges::any_of(
      run.pieces, [](const auto& piece) { return piece.kind == layout::PieceKind::filter; });
}

/// The pieces' places in their run.
std::optional<TestHole> in_run(std::optional<TestHole> hole, const study::HeldLeg& leg) {
  if (hole) {
    hole->piece += leg.part().first_piece;
  }
  return hole;
}

/// A network's inlets one by one, each at the first straight of its own.
class NetworkSheet {
 public:
  NetworkSheet(const study::NetworkResult& of, CommissionResult& out) : of_(of), out_(out) {}

  void write() {
    for (std::size_t speed = 0; speed < of_.speeds.size(); ++speed) {
      out_.network.push_back(expected(speed));
    }
    const std::size_t shown = of_.shown;
    for (const study::Inlet& inlet : of_.speeds[shown].inlets) {
      const study::HeldLeg leg(of_, shown, study::inlet_leg(of_.network, inlet.branch));
      out_.inlets.push_back({inlet.name, gauge_hole(leg.run()), traverse_plane(leg.run())});
    }
    const study::HeldLeg last(of_, shown, of_.network.legs.size() - 1);
    out_.all_plane = in_run(traverse_plane(last.run()), last);
  }

  void put_loaded(const study::NetworkResult& loaded) {
    for (std::size_t speed = 0; speed < of_.speeds.size(); ++speed) {
      if (!is_known(of_.speeds[speed]) || !is_known(loaded.speeds[speed])) {
        continue;
      }
      for (std::size_t i = 0; i < of_.speeds[speed].inlets.size(); ++i) {
        out_.network[speed].inlets[i].loaded_m3_s = loaded.speeds[speed].inlets[i].airflow_m3_s;
      }
    }
  }

 private:
  static bool is_known(const study::NetworkSpeed& speed) {
    return speed.status == network::Status::solved && speed.point.status == solve::Status::found;
  }

  [[nodiscard]] ExpectedNetwork expected(std::size_t index) const {
    const study::NetworkSpeed& speed = of_.speeds[index];
    ExpectedNetwork out{.name = speed.name,
                        .locked_out = speed.locked_out,
                        .known = is_known(speed),
                        .leaves_m3_s = speed.discharge_m3_s,
                        .inlets = {}};
    for (std::size_t i = 0; i < speed.inlets.size(); ++i) {
      const study::Inlet& inlet = speed.inlets[i];
      ExpectedInlet one{.name = inlet.name,
                        .status = inlet.status,
                        .airflow_m3_s = inlet.airflow_m3_s,
                        .band = inlet.band,
                        .required_m3_s = inlet.required_m3_s,
                        .controlling = speed.controlling == i};
      if (speed.balance) {
        one.damper_pa = speed.balance->paths[i].damper_pa;
      }
      if (out.known && inlet.status == study::InletStatus::flowing) {
        const study::HeldLeg leg(of_, index, study::inlet_leg(of_.network, inlet.branch));
        if (const auto hole = gauge_hole(leg.run())) {
          if (const auto tap = tap_at(leg,
                                      {.kind = layout::GaugePlace::Kind::piece,
                                       .piece = hole->piece,
                                       .from_start_m = hole->from_start_m})) {
            one.at_hole = expected_static(leg, *tap);
          }
        }
      }
      out.inlets.push_back(std::move(one));
    }
    const std::size_t fan_leg = of_.network.fan_leg;
    if (out.known && fan_leg != network::kNone && !of_.network.legs[fan_leg].run.fan_at_collar) {
      const study::HeldLeg leg(of_, index, fan_leg);
      const auto tap = tap_at(leg, {.kind = layout::GaugePlace::Kind::fan});
      const Gauge gauge(leg, *tap);
      if (const double q = leg.airflow_m3_s(); gauge.covers(q)) {
        out.across_fan = ExpectedStatic{.pressure_pa = gauge.static_at(q), .band_pa = {}};
      }
    }
    return out;
  }

  const study::NetworkResult& of_;
  CommissionResult& out_;
};

std::vector<SiteCheck> site_checks(const layout::Layout& layout,
                                   const fitting::Catalogue& catalogue) {
  std::vector<SiteCheck> checks;
  checks.push_back({"the run as built is the run of this file",
                    "sections, lengths, turns, cap; what differs goes into the file and is "
                    "calculated again"});
  checks.push_back({"joints sealed, no screw in the airstream of a dryer duct, no crushed piece",
                    "look along the whole run before it is closed in"});
  const auto has_flap = [&](const layout::Run& run) {
    return std::ranges::any_of(run.pieces, [&](const layout::Piece& piece) {
      return layout::traits_of(piece, catalogue).shuts_by_itself();
    });
  };
  if (has_flap(layout.run) || layout.appliance.includes_damper ||
      std::ranges::any_of(layout.branches,
                          [&](const layout::Branch& one) { return has_flap(one.run); })) {
    checks.push_back({"every flap opens at the lowest speed and falls shut when the fan stops",
                      "one person outside at the cap, one at the switch"});
  }
  if (layout.appliance.kind == layout::ApplianceKind::range_hood) {
    checks.push_back({"filters in place, clean, seated all round", "by eye, before any reading"});
  }
  if (layout.run.discharge == layout::Discharge::outdoors) {
    checks.push_back(
        {"makeup air, where there is any, starts and stops with the exhaust",
         "switch the exhaust on and off at every speed; watch the damper or fan of the "
         "makeup air"});
    checks.push_back(
        {"fuel-burning appliances do not spill with every exhaust running",
         "a spillage test is for the local authority or a qualified technician; until then do not "
         "rely on this calculation, and keep a carbon monoxide alarm"});
  }
  return checks;
}

}  // namespace

namespace {

base::Checked<CommissionResult> commission_network(layout::Layout layout,
                                                   const fitting::Catalogue& catalogue) {
  const auto checked = study::check_network(std::move(layout), catalogue);
  if (!checked) {
    return checked.error();
  }
  CommissionResult out{.check = study::as_single(*checked),
                       .speeds = {},
                       .gauge_hole = {},
                       .traverse_plane = {},
                       .loaded = {},
                       .loaded_why_not = {},
                       .checks = {}};
  NetworkSheet sheet(*checked, out);
  sheet.write();
  const layout::Layout& of = checked->layout;
  if (has_filter(of.run) || std::ranges::any_of(of.branches, [](const layout::Branch& one) {
        return has_filter(one.run);
      })) {
    if (const auto loaded = study::check_network(
            of,
            catalogue,
            {.compile = {.filter_factor = kLoadedFactor}, .depth = study::Depth::points})) {
      sheet.put_loaded(*loaded);
    }
  } else {
    out.loaded_why_not = "no run has a filter of its own";
  }
  out.checks = site_checks(of, catalogue);
  return out;
}

}  // namespace

base::Checked<CommissionResult> commission(layout::Layout layout,
                                           const fitting::Catalogue& catalogue) {
  if (!layout.branches.empty()) {
    return commission_network(std::move(layout), catalogue);
  }
  auto checked = study::check(std::move(layout), catalogue);
  if (!checked) {
    return std::move(checked).error();
  }
  CommissionResult out{.check = *std::move(checked),
                       .speeds = {},
                       .gauge_hole = {},
                       .traverse_plane = {},
                       .loaded = {},
                       .loaded_why_not = {},
                       .checks = {}};
  const layout::Layout& of = out.check.layout;
  out.gauge_hole = gauge_hole(of.run);
  out.traverse_plane = traverse_plane(of.run);
  using Kind = layout::GaugePlace::Kind;
  for (std::size_t i = 0; i < out.check.speeds.size(); ++i) {
    const auto expected_at = [&](Kind kind) {
      const auto tap = tap_at(out.check, {.kind = kind});
      return tap ? expected_static(out.check, i, *tap) : std::nullopt;
    };
    ExpectedSpeed expected;
    expected.speed = i;
    expected.at_hole = expected_at(Kind::hole);
    (out.check.run.fan_at_collar ? expected.collar : expected.across_fan) =
        expected_at(out.check.run.fan_at_collar ? Kind::collar : Kind::fan);
    out.speeds.push_back(expected);
  }
  if (has_filter(of.run)) {
    out.loaded = loaded_filters(out.check, catalogue);
    if (out.loaded.empty()) {
      out.loaded_why_not = "no speed has an operating point to compare";
    }
  } else if (of.appliance.includes_filter) {
    out.loaded_why_not =
        "the filter is inside the appliance and in its fan curve; its own drop is not stated, so "
        "what a loaded one costs is not known";
  } else {
    out.loaded_why_not = "the run has no filter";
  }
  out.checks = site_checks(of, catalogue);
  return out;
}

}  // namespace ductledger::site
