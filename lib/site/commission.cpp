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

std::vector<SiteCheck> site_checks(const layout::Layout& layout,
                                   const fitting::Catalogue& catalogue) {
  std::vector<SiteCheck> checks;
  checks.push_back({"the run as built is the run of this file",
                    "sections, lengths, turns, cap; what differs goes into the file and is "
                    "calculated again"});
  checks.push_back({"joints sealed, no screw in the airstream of a dryer duct, no crushed piece",
                    "look along the whole run before it is closed in"});
  const bool flap =
      std::ranges::any_of(layout.run.pieces,
                          [&](const layout::Piece& piece) {
                            return layout::traits_of(piece, catalogue).shuts_by_itself();
                          }) ||
      layout.appliance.includes_damper;
  if (flap) {
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

base::Checked<CommissionResult> commission(layout::Layout layout,
                                           const fitting::Catalogue& catalogue) {
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
  const bool filter =
      std::any_of(of.run.pieces.begin(), of.run.pieces.end(), [](const auto& piece) {
        return piece.kind == layout::PieceKind::filter;
      });
  if (filter) {
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
