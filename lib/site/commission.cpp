#include "site/commission.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "layout/catalogue_query.hpp"

namespace ductledger::site {
namespace {

constexpr double kUpstreamDiameters = 7.5;
constexpr double kDownstreamDiameters = 2.0;
/// The gauge's hole stands this far into its straight, where the straight is long enough.
constexpr double kGaugeDiameters = 2.0;
constexpr double kPi = 3.14159265358979323846;
constexpr double kLoadedFactor = 2.0;

double diameter_m(const duct::Section& section) { return std::sqrt(4.0 * section.area_m2() / kPi); }

bool can_be_drilled(const layout::Piece& piece) {
  return piece.kind == layout::PieceKind::straight && piece.length_m && *piece.length_m > 0.0;
}

/// Straights that follow each other without a fitting are one length of straight duct.
struct Stretch {
  double before_m = 0.0;  ///< of the same stretch, before this straight
  double after_m = 0.0;
};
Stretch stretch_of(const std::vector<layout::Piece>& pieces, std::size_t index) {
  Stretch out;
  for (std::size_t i = index; i > 0 && can_be_drilled(pieces[i - 1]); --i) {
    out.before_m += *pieces[i - 1].length_m;
  }
  for (std::size_t i = index + 1; i < pieces.size() && can_be_drilled(pieces[i]); ++i) {
    out.after_m += *pieces[i].length_m;
  }
  return out;
}

struct Place {
  std::size_t piece = 0;
  double from_start_m = 0.0;
};
TestHole hole_at(const std::vector<layout::Piece>& pieces, const Place& place) {
  const layout::Piece& piece = pieces[place.piece];
  const Stretch stretch = stretch_of(pieces, place.piece);
  const double d_m = diameter_m(piece.upstream);
  TestHole hole;
  hole.piece = place.piece;
  hole.from_start_m = place.from_start_m;
  hole.upstream_diameters = (stretch.before_m + place.from_start_m) / d_m;
  hole.downstream_diameters = (stretch.after_m + *piece.length_m - place.from_start_m) / d_m;
  hole.good_plane = hole.upstream_diameters >= kUpstreamDiameters &&
                    hole.downstream_diameters >= kDownstreamDiameters;
  return hole;
}

/// The first straight behind the fan: two diameters in, or its middle where it is short.
std::optional<TestHole> gauge_hole(const study::CheckResult& check) {
  const std::vector<layout::Piece>& pieces = check.layout.run.pieces;
  for (std::size_t i = check.layout.run.fan_piece.value_or(0); i < pieces.size(); ++i) {
    if (can_be_drilled(pieces[i])) {
      const double in_m =
          std::min(kGaugeDiameters * diameter_m(pieces[i].upstream), *pieces[i].length_m / 2.0);
      return hole_at(pieces, {i, in_m});
    }
  }
  return std::nullopt;
}

/// The place with the best share of what a traverse wants before and after it.
std::optional<TestHole> traverse_plane(const std::vector<layout::Piece>& pieces) {
  std::optional<TestHole> best;
  double best_share = 0.0;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (!can_be_drilled(pieces[i])) {
      continue;
    }
    const Stretch stretch = stretch_of(pieces, i);
    const double whole_m = stretch.before_m + *pieces[i].length_m + stretch.after_m;
    const double wanted_m =
        whole_m * kUpstreamDiameters / (kUpstreamDiameters + kDownstreamDiameters);
    const double from_start_m = std::clamp(wanted_m - stretch.before_m, 0.0, *pieces[i].length_m);
    const TestHole hole = hole_at(pieces, {i, from_start_m});
    const double share = std::min(hole.upstream_diameters / kUpstreamDiameters,
                                  hole.downstream_diameters / kDownstreamDiameters);
    if (share > best_share) {
      best_share = share;
      best = hole;
    }
  }
  return best;
}

/// Static pressure at a hole in a straight: the row before it less the straight's own fall so far.
std::optional<double> static_at(const study::CheckResult& check,
                                const result::SpeedResult& speed,
                                const TestHole& hole) {
  if (!speed.ledger) {
    return std::nullopt;
  }
  const std::vector<solve::LedgerRow>& rows = speed.ledger->rows;
  for (const solve::LedgerRow& row : rows) {
    if (row.piece_index == static_cast<std::ptrdiff_t>(hole.piece)) {
      const layout::Piece& piece = check.layout.run.pieces[hole.piece];
      const double left = 1.0 - hole.from_start_m / *piece.length_m;
      return row.static_pressure_after_pa + left * row.loss_pa;
    }
  }
  return std::nullopt;
}

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
  if (out.check.run.fan_at_collar) {
    out.gauge_hole = gauge_hole(out.check);
  }
  out.traverse_plane = traverse_plane(of.run.pieces);
  for (std::size_t i = 0; i < out.check.speeds.size(); ++i) {
    ExpectedSpeed expected;
    expected.speed = i;
    expected.collar = expected_static(out.check, i);
    if (out.gauge_hole && expected.collar) {
      expected.at_hole_pa = static_at(out.check, out.check.speeds[i], *out.gauge_hole);
    }
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
