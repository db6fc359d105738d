#include "site/gauge.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "house/uncertain_room.hpp"

namespace ductledger::site {
namespace {

constexpr double kUpstreamDiameters = 7.5;
constexpr double kDownstreamDiameters = 2.0;
/// The gauge's hole stands this far into its straight, where the straight is long enough.
constexpr double kGaugeDiameters = 2.0;

double diameter_m(const duct::Section& section) {
  return std::sqrt(4.0 * section.area_m2() / std::numbers::pi);
}

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

/// How much of an entry stands before a tap [1].
double share_before(const Tap& tap, std::size_t entry) {
  if (entry == tap.entry) {
    return tap.share;
  }
  return entry < tap.entry ? 1.0 : 0.0;
}

double dynamic(const solve::CompiledRun& run, const duct::Section& section) {
  return run.air.density_kg_m3 / 2.0 / (section.area_m2() * section.area_m2());
}

/// @param place spelled out
std::optional<Tap> tap_in(const solve::CompiledRun& run,
                          const std::vector<layout::Piece>& pieces,
                          const layout::GaugePlace& place) {
  using Kind = layout::GaugePlace::Kind;
  switch (place.kind) {
    case Kind::collar:
      return Tap{.dynamic_pa_s2_m6 = dynamic(run, run.collar)};
    case Kind::fan:
      return Tap{.dynamic_pa_s2_m6 = run.outlet_dynamic_pa_s2_m6 - run.inlet_dynamic_pa_s2_m6};
    case Kind::hole:
      return std::nullopt;
    case Kind::piece:
      break;
  }
  for (std::size_t i = 0; i < run.pieces.size(); ++i) {
    if (run.pieces[i].piece == place.piece) {
      const double length_m = *pieces[place.piece].length_m;
      return Tap{.entry = i,
                 .share = length_m > 0.0 ? place.from_start_m / length_m : 0.0,
                 .dynamic_pa_s2_m6 = dynamic(run, run.pieces[i].upstream)};
    }
  }
  return std::nullopt;
}

/// Each part of a run's balance by one error: what stands before the tap, behind it, and the fan.
struct Parts {
  double before = 0.0;
  double after = 0.0;
  double fan = 0.0;
};
/// @param buffer [pieces + 2]
Parts parts_of(const Tap& tap,
               const solve::ErrorModel& model,
               const solve::ErrorModel::PartsAt& at,
               std::span<double> buffer) {
  const std::span<const double> parts = model.derivatives(at, buffer);
  const std::span<const std::size_t> pieces = model.touched(at.source);
  Parts out{.after = parts[pieces.size() + 1], .fan = parts[pieces.size()]};
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    const double share = share_before(tap, pieces[k]);
    out.before += share * parts[k];
    out.after += (1.0 - share) * parts[k];
  }
  return out;
}

}  // namespace

TestHole hole_at(const layout::Run& run, const HolePlace& place) {
  const layout::Piece& piece = run.pieces[place.piece];
  const Stretch stretch = stretch_of(run.pieces, place.piece);
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

std::optional<TestHole> gauge_hole(const layout::Run& run) {
  for (std::size_t i = run.fan_piece.value_or(0); i < run.pieces.size(); ++i) {
    if (can_be_drilled(run.pieces[i])) {
      const double in_m = std::min(kGaugeDiameters * diameter_m(run.pieces[i].upstream),
                                   *run.pieces[i].length_m / 2.0);
      return hole_at(run, {.piece = i, .from_start_m = in_m});
    }
  }
  return std::nullopt;
}

std::optional<TestHole> traverse_plane(const layout::Run& run) {
  std::optional<TestHole> best;
  double best_share = 0.0;
  for (std::size_t i = 0; i < run.pieces.size(); ++i) {
    if (!can_be_drilled(run.pieces[i])) {
      continue;
    }
    const double length_m = *run.pieces[i].length_m;
    const Stretch stretch = stretch_of(run.pieces, i);
    const double whole_m = stretch.before_m + length_m + stretch.after_m;
    const double wanted_m =
        whole_m * kUpstreamDiameters / (kUpstreamDiameters + kDownstreamDiameters);
    const double from_start_m = std::clamp(wanted_m - stretch.before_m, 0.0, length_m);
    const TestHole hole = hole_at(run, {.piece = i, .from_start_m = from_start_m});
    const double share = std::min(hole.upstream_diameters / kUpstreamDiameters,
                                  hole.downstream_diameters / kDownstreamDiameters);
    if (share > best_share) {
      best_share = share;
      best = hole;
    }
  }
  return best;
}

layout::GaugePlace place_of(const layout::GaugePlace& place, const layout::Run& run) {
  if (place.kind == layout::GaugePlace::Kind::hole) {
    if (const auto hole = gauge_hole(run)) {
      return {.kind = layout::GaugePlace::Kind::piece,
              .piece = hole->piece,
              .from_start_m = hole->from_start_m};
    }
  }
  return place;
}

std::optional<Tap> tap_at(const study::CheckResult& check, const layout::GaugePlace& asked) {
  return tap_in(check.run, check.layout.run.pieces, place_of(asked, check.layout.run));
}

std::optional<Tap> tap_at(const study::HeldLeg& leg, const layout::GaugePlace& place) {
  layout::GaugePlace own = place;
  if (place.kind == layout::GaugePlace::Kind::piece) {
    own.piece -= leg.part().first_piece;
  }
  return tap_in(leg.part().run, leg.run().pieces, own);
}

Gauge::Gauge(const study::CheckResult& check, std::size_t speed, const Tap& tap)
    : demand_(house::demand(check.run, check.house)),
      run_(check.run),
      fan_(&*check.speeds[speed].fan.fan),
      tap_(tap),
      collar_dynamic_(dynamic(check.run, check.run.collar)) {}

Gauge::Gauge(const study::HeldLeg& leg, const Tap& tap)
    : demand_(leg.demand()),
      run_(leg.part().run),
      fan_(leg.fan()),
      tap_(tap),
      collar_dynamic_(dynamic(leg.part().run, leg.run().first_section)),
      most_m3_s_(3.0 * std::max(leg.airflow_m3_s(), leg.run().first_section.area_m2())) {}

double Gauge::before(double q) const {
  double pa = tap_.dynamic_pa_s2_m6 * q * q;
  for (std::size_t i = 0; i < tap_.entry; ++i) {
    pa += run_.loss.of(run_.pieces[i].loss, q);
  }
  if (tap_.share > 0.0) {
    pa += tap_.share * run_.loss.of(run_.pieces[tap_.entry].loss, q);
  }
  return pa;
}

double Gauge::before_slope(double q) const {
  const double step = 1e-4 * q;
  return step > 0.0 ? (before(q + step) - before(q - step)) / (2.0 * step) : 0.0;
}

double Gauge::static_slope(double q) const {
  const double fan =
      fan_ == nullptr ? 0.0 : fan_->curve.slope(q) + 2.0 * fan_->dynamic_pa_s2_m6 * q;
  return fan - before_slope(q);
}

Doubts::Doubts(const study::CheckResult& check, std::size_t speed, const Tap& tap)
    : model_(check.layout,
             check.run,
             {.fan = &*check.speeds[speed].fan.fan,
              .origin = check.speeds[speed].fan.origin,
              .speed_ratio = check.speeds[speed].fan.speed_ratio}),
      tap_(tap),
      parts_(check.run.pieces.size() + 2) {}

Doubts::Doubts(const study::HeldLeg& leg, const Tap& tap)
    : model_(leg.errors()), tap_(tap), parts_(leg.part().run.pieces.size() + 2), leg_(&leg) {}

double Doubts::at(double q, const Weights& weights) {
  if (leg_ != nullptr) {
    return at_leg(q, weights);
  }
  double sum = 0.0;
  for (std::size_t i = 0; i < model_.sources().size(); ++i) {
    const Parts parts = parts_of(tap_, model_, {.airflow_m3_s = q, .source = i}, parts_);
    const double change =
        weights.before * parts.before + weights.after * parts.after + weights.fan * parts.fan;
    sum += change * change;
  }
  return std::sqrt(sum);
}

double Doubts::at_leg(double q, const Weights& weights) {
  std::vector<double> change(leg_->error_count(), 0.0);
  if (weights.after != 0.0) {
    if (asked_at_m3_s_ != q) {
      asked_pa_ = leg_->demand_changes_pa(q);
      asked_at_m3_s_ = q;
    }
    for (std::size_t k = 0; k < change.size(); ++k) {
      change[k] = -weights.after * asked_pa_[k];  // what is asked holds the part before the tap too
    }
  }
  for (std::size_t i = 0; i < model_.sources().size(); ++i) {
    const Parts parts = parts_of(tap_, model_, {.airflow_m3_s = q, .source = i}, parts_);
    change[leg_->places()[i]] +=
        (weights.before - weights.after) * parts.before + weights.fan * parts.fan;
  }
  double sum = 0.0;
  for (const double one : change) {
    sum += one * one;
  }
  return std::sqrt(sum);
}

std::optional<ExpectedStatic> expected_static(const study::HeldLeg& leg, const Tap& tap) {
  const Gauge gauge(leg, tap);
  const double q = leg.airflow_m3_s();
  if (!gauge.covers(q)) {
    return std::nullopt;
  }
  ExpectedStatic out{.pressure_pa = leg.start_pa() + gauge.static_at(q), .band_pa = {}};
  const auto changes = leg.changes();
  if (!changes) {
    return out;
  }
  std::vector<double> change = changes->start_pa;
  for (std::size_t k = 0; k < change.size(); ++k) {
    change[k] += gauge.static_slope(q) * changes->airflow_m3_s[k];
  }
  const solve::ErrorModel& model = leg.errors();
  std::vector<double> parts(leg.part().run.pieces.size() + 2);
  for (std::size_t i = 0; i < model.sources().size(); ++i) {
    const Parts own = parts_of(tap, model, {.airflow_m3_s = q, .source = i}, parts);
    change[leg.places()[i]] += own.before + own.fan;
  }
  double sum = 0.0;
  for (const double one : change) {
    sum += one * one;
  }
  const double half_pa = solve::kCoverage * std::sqrt(sum);
  out.band_pa = result::Band{out.pressure_pa - half_pa, out.pressure_pa + half_pa};
  return out;
}

std::optional<ExpectedStatic> expected_static(const study::CheckResult& check,
                                              std::size_t speed_index,
                                              const Tap& tap) {
  const result::SpeedResult& speed = check.speeds[speed_index];
  if (!speed.ledger || !speed.fan.fan || !solve::has_best_airflow(speed.point)) {
    return std::nullopt;
  }
  const Gauge gauge(check, speed_index, tap);
  const double q = solve::best_airflow_m3_s(speed.point);
  ExpectedStatic out;
  out.pressure_pa = gauge.asked_static(q);
  if (speed.point.bounds) {
    const double a = gauge.asked_static(speed.point.bounds->low_m3_s);
    const double b = gauge.asked_static(speed.point.bounds->high_m3_s);
    out.band_pa = result::Band{std::min(a, b), std::max(a, b)};
    return out;
  }
  if (!speed.band) {
    return out;
  }
  const solve::ErrorModel model(check.layout,
                                check.run,
                                {.fan = &*speed.fan.fan,
                                 .origin = speed.fan.origin,
                                 .speed_ratio = speed.fan.speed_ratio,
                                 .room = house::uncertain_room(check.house)});
  std::vector<double> parts(check.run.pieces.size() + 2);
  double sum = 0.0;
  for (const solve::SourceEffect& effect : speed.band->first_order.effects) {
    const Parts own = parts_of(tap, model, {.airflow_m3_s = q, .source = effect.source}, parts);
    const double change = gauge.static_slope(q) * effect.airflow_m3_s + own.fan + own.before;
    sum += change * change;
  }
  const double half_pa = solve::kCoverage * std::sqrt(sum);
  out.band_pa = result::Band{out.pressure_pa - half_pa, out.pressure_pa + half_pa};
  return out;
}

}  // namespace ductledger::site
