#include "solve/run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/fault.hpp"
#include "layout/catalogue_query.hpp"
#include "solve/close_fittings.hpp"
#include "solve/held_run.hpp"
#include "solve/site_air_internal.hpp"

namespace ductledger::solve {
namespace {

double dynamic(double density_kg_m3, const duct::Section& section) {
  return density_kg_m3 / 2.0 / (section.area_m2() * section.area_m2());
}

class Compiler {
 public:
  /// @param air and groups outlive it; the entries' friction joins the groups, whose sums come
  /// later
  Compiler(const layout::Layout& layout,
           const fitting::Catalogue& catalogue,
           const CompileOptions& options,
           const SiteAir& air,
           std::vector<FrictionGroup>& groups)
      : layout_(layout), catalogue_(catalogue), options_(options), air_(air), groups_(groups) {}

  base::Checked<CompiledRun> all() {
    const layout::Run& run = layout_.run;
    const auto& collar = layout_.appliance.collar;
    result_.air = air_;
    result_.collar = collar.value_or(run.first_section);
    result_.fan_outlet = result_.collar;
    if (run.changes_at_collar) {
      add_change_at_collar();
    }
    for (std::size_t i = 0; i < run.pieces.size(); ++i) {
      const layout::Piece& piece = run.pieces[i];
      if (piece.kind == layout::PieceKind::fan) {
        place_fan(piece);
      } else {
        result_.pieces.push_back(entry_of(i));
      }
    }
    if (!options_.joins) {
      add_open_end();
    }
    set_fan_dynamics();
    for (const CompiledPiece& piece : result_.pieces) {
      refuse_endless_loss(piece);
    }
    if (!errors_.empty()) {
      return std::move(errors_);
    }
    return std::move(result_);
  }

  /// One piece by itself. @param index in layout.run.pieces; no fan
  base::Checked<CompiledPiece> one(std::size_t index) {
    CompiledPiece entry = entry_of(index);
    refuse_endless_loss(entry);
    if (!errors_.empty()) {
      return std::move(errors_);
    }
    return entry;
  }

 private:
  [[nodiscard]] double rho() const { return air_.density_kg_m3; }
  [[nodiscard]] double mu() const { return air_.viscosity_pa_s; }

  /// A figure so large that its loss, or the square of it, is no number: nothing follows from it.
  void refuse_endless_loss(const CompiledPiece& entry) {
    constexpr double kGreatestAirflow = 100.0;  // [m3/s] no layout states more
    const PieceLoss& loss = entry.loss;
    const FrictionGroup* group =
        loss.friction_group < 0 ? nullptr : &groups_[static_cast<std::size_t>(loss.friction_group)];
    const double loss_pa = solve::piece_loss_pa(loss, group, kGreatestAirflow);
    if (std::isfinite(loss_pa * loss_pa)) {
      return;
    }
    errors_.push_back(base::fault_at(
        {layout_.source,
         entry.piece ? layout_.run.pieces[*entry.piece].span : layout_.run.section_span},
        "loss-out-of-range",
        entry.word == "loss"
            ? std::string("this loss is too large to calculate with")
            : fmt::format("the loss of this {} is too large to calculate with", entry.word),
        entry.fitting ? "check the figure of this type in the catalogue"
                      : "check the figure and its unit"));
  }

  void place_fan(const layout::Piece& piece) {
    result_.fan_before = result_.pieces.size();
    result_.fan_at_collar = result_.pieces.empty();
    if (!result_.fan_at_collar) {
      result_.fan_inlet = piece.upstream;
      result_.fan_outlet = piece.upstream;
    }
  }

  void set_fan_dynamics() {
    double blowers = 1.0;
    if (layout_.fan && layout_.fan->outlet) {
      result_.fan_outlet = *layout_.fan->outlet;
      blowers = layout_.fan->count;
    }
    result_.outlet_dynamic_pa_s2_m6 = dynamic(rho(), result_.fan_outlet) / (blowers * blowers);
    result_.inlet_dynamic_pa_s2_m6 =
        result_.fan_at_collar ? 0.0 : dynamic(rho(), result_.fan_inlet);
  }

  /// Friction over a length of duct, by its group of equal diameter and roughness.
  struct Length {
    const duct::Section& section;
    double roughness_m;
    double length_m;
  };
  void add_friction(PieceLoss& loss, const Length& of) {
    const double de_m = of.section.equivalent_diameter_m();
    const double relative = of.roughness_m / de_m;
    const double reynolds_s_m3 = rho() * 4.0 / (std::numbers::pi * de_m * mu());
    const double ve_per_q = 4.0 / (std::numbers::pi * de_m * de_m);
    const auto found = std::find_if(groups_.begin(), groups_.end(), [&](const FrictionGroup& g) {
      return g.reynolds_s_m3 == reynolds_s_m3 && g.relative_roughness == relative;
    });
    const auto index = found - groups_.begin();
    if (found == groups_.end()) {
      groups_.push_back({.reynolds_s_m3 = reynolds_s_m3,
                         .relative_roughness = relative,
                         .dynamic_pa_s2_m6 = rho() / 2.0 * ve_per_q * ve_per_q,
                         .ratio = 0.0});
    }
    loss.friction_group = index;
    loss.friction_ratio += of.length_m / de_m;
  }

  void charge(PieceLoss& loss, const duct::Section& reference, double coefficient) const {
    loss.square_pa_s2_m6 += coefficient * dynamic(rho(), reference);
  }

  void charge_catalogue(CompiledPiece& entry,
                        const fitting::Coefficient& coefficient,
                        double roughness_m) {
    const bool downstream = coefficient.reference == fitting::Reference::downstream;
    const duct::Section& reference = downstream ? entry.downstream : entry.upstream;
    double per_q2 = coefficient.value * dynamic(rho(), reference);
    if (coefficient.reference == fitting::Reference::face) {
      per_q2 =
          coefficient.value * rho() / 2.0 / (coefficient.face_area_m2 * coefficient.face_area_m2);
    }
    if (coefficient.reynolds.is_constant() || options_.constant_reynolds) {
      entry.loss.square_pa_s2_m6 += per_q2;
    } else {
      entry.loss.reynolds_square_pa_s2_m6 = per_q2;
      entry.loss.reynolds = coefficient.reynolds;
      entry.loss.reynolds_s_m3 =
          rho() * reference.hydraulic_diameter_m() / (reference.area_m2() * mu());
    }
    if (coefficient.friction_length_m > 0.0) {
      add_friction(entry.loss, {reference, roughness_m, coefficient.friction_length_m});
    }
    entry.standard_uncertainty = coefficient.standard_uncertainty;
    entry.fitting = coefficient;
  }

  [[nodiscard]] std::string made(fitting::Kind kind, fitting::Make make) const {
    return catalogue_.type_with(kind, fitting::made(make));
  }

  void add_change_at_collar() {
    CompiledPiece entry;
    entry.word = "change at the collar";
    entry.upstream = *layout_.appliance.collar;
    entry.downstream = layout_.run.first_section;
    fitting::Piece query{.kind = fitting::Kind::transition,
                         .type = made(fitting::Kind::transition, fitting::Make::abrupt),
                         .source = {},
                         .upstream = entry.upstream,
                         .downstream = entry.downstream,
                         .parameters = {}};
    auto found = catalogue_.coefficient(query);
    if (const auto* missing = std::get_if<fitting::Catalogue::Missing>(&found)) {
      fail(layout_.run.section_span, *missing);
      return;
    }
    charge_catalogue(entry, std::get<fitting::Coefficient>(found), layout_.run.roughness_m);
    result_.pieces.push_back(std::move(entry));
  }

  CompiledPiece entry_of(std::size_t index) {
    const layout::Piece& piece = layout_.run.pieces[index];
    CompiledPiece entry;
    entry.piece = index;
    entry.word = layout::word(piece.kind);
    entry.upstream = piece.upstream;
    entry.downstream = piece.downstream;
    entry.length_m = piece.length_m.value_or(0.0);
    switch (piece.kind) {
      case layout::PieceKind::straight:
        add_friction(entry.loss, {piece.upstream, piece.roughness_m, entry.length_m});
        break;
      case layout::PieceKind::flex:
        add_flex(entry, piece);
        break;
      case layout::PieceKind::loss:
        add_loss(entry, piece);
        break;
      case layout::PieceKind::filter:
        if (piece.drops().empty()) {
          add_fitting(entry, piece);
        } else {
          add_filter(entry, piece);
        }
        break;
      default:
        add_fitting(entry, piece);
    }
    entry.loss.opening_pressure_pa = piece.opening_pressure_pa().value_or(0.0);
    if (piece.kind == layout::PieceKind::filter) {
      entry.loss.square_pa_s2_m6 *= options_.filter_factor;
      entry.loss.linear_pa_s_m3 *= options_.filter_factor;
      entry.loss.reynolds_square_pa_s2_m6 *= options_.filter_factor;
    }
    return entry;
  }

  void add_flex(CompiledPiece& entry, const layout::Piece& piece) {
    const auto& flex = piece.as<layout::Flex>();
    const double de_m = piece.upstream.equivalent_diameter_m();
    const double multiplier =
        duct::flexible_multiplier({.diameter = units::metres(de_m), .stretched = flex.stretched});
    add_friction(entry.loss, {piece.upstream, piece.roughness_m, entry.length_m * multiplier});
    if (flex.dips == 0 || flex.sag_m <= 0.0) {
      return;
    }
    // Each dip is taken as a shallow arc: it turns by four times its slope angle (assumed).
    const double half_m = entry.length_m / flex.dips / 2.0;
    const double turned_rad = 4.0 * std::atan(2.0 * flex.sag_m / half_m) * flex.dips;
    fitting::Piece query{.kind = fitting::Kind::elbow,
                         .type = made(fitting::Kind::elbow, fitting::Make::flexible),
                         .source = {},
                         .upstream = piece.upstream,
                         .downstream = piece.upstream,
                         .angle_rad = std::numbers::pi / 2.0,
                         .in_plane_m = piece.upstream.width_m(),
                         .across_m = piece.upstream.height_m(),
                         .parameters = {}};
    auto found = catalogue_.coefficient(query);
    if (const auto* missing = std::get_if<fitting::Catalogue::Missing>(&found)) {
      fail(piece.span, *missing);
      return;
    }
    auto bend = std::get<fitting::Coefficient>(found);
    bend.value *= turned_rad / (std::numbers::pi / 2.0);
    charge_catalogue(entry, bend, piece.roughness_m);
  }

  void add_loss(CompiledPiece& entry, const layout::Piece& piece) {
    if (piece.coefficient) {
      charge_stated(entry, piece);
      return;
    }
    const layout::StatedDrop& drop = piece.drops().front();
    entry.loss.square_pa_s2_m6 += drop.pressure_pa * rho() / units::kStandardDensityKgM3 /
                                  (drop.airflow_m3_s * drop.airflow_m3_s);
  }

  void charge_stated(CompiledPiece& entry, const layout::Piece& piece) {
    entry.stated = piece.coefficient;
    const bool downstream = piece.coefficient->reference == fitting::Reference::downstream;
    charge(entry.loss, downstream ? piece.downstream : piece.upstream, piece.coefficient->value);
    entry.standard_uncertainty = piece.coefficient->relative_uncertainty.value_or(0.0);
  }

  void add_filter(CompiledPiece& entry, const layout::Piece& piece) {
    const double density_ratio = rho() / units::kStandardDensityKgM3;
    const double viscosity_ratio = mu() / air::standard_air().viscosity.value();
    const layout::StatedDrop& one = piece.drops().front();
    if (piece.drops().size() == 1) {
      if (piece.as<layout::Filter>().law == layout::FilterLaw::square) {
        entry.loss.square_pa_s2_m6 +=
            one.pressure_pa / (one.airflow_m3_s * one.airflow_m3_s) * density_ratio;
      } else {
        entry.loss.linear_pa_s_m3 += one.pressure_pa / one.airflow_m3_s * viscosity_ratio;
      }
      return;
    }
    // a Q + b Q^2 through both points.
    const layout::StatedDrop& two = piece.drops()[1];
    const double r1 = one.pressure_pa / one.airflow_m3_s;
    const double r2 = two.pressure_pa / two.airflow_m3_s;
    const double b = (r2 - r1) / (two.airflow_m3_s - one.airflow_m3_s);
    const double a = r1 - b * one.airflow_m3_s;
    entry.loss.square_pa_s2_m6 += b * density_ratio;
    entry.loss.linear_pa_s_m3 += a * viscosity_ratio;
  }

  /// a Q + b Q^2 nearest to a drop table, relative errors least in squares, neither below zero; one
  /// drop: b alone. What the table leaves over is doubt.
  void add_drop_table(CompiledPiece& entry, const layout::Piece& piece) {
    double s11 = 0.0;
    double s12 = 0.0;
    double s22 = 0.0;
    double t1 = 0.0;
    double t2 = 0.0;
    for (const layout::StatedDrop& drop : piece.drops()) {
      const double x1 = drop.airflow_m3_s / drop.pressure_pa;
      const double x2 = x1 * drop.airflow_m3_s;
      s11 += x1 * x1;
      s12 += x1 * x2;
      s22 += x2 * x2;
      t1 += x1;
      t2 += x2;
    }
    double linear = 0.0;
    double square = t2 / s22;
    const double determinant = s11 * s22 - s12 * s12;
    if (piece.drops().size() > 1 && determinant > 1e-12 * s11 * s22) {
      linear = (t1 * s22 - t2 * s12) / determinant;
      square = (t2 * s11 - t1 * s12) / determinant;
      if (square < 0.0) {
        linear = t1 / s11;
        square = 0.0;
      } else if (linear < 0.0) {
        linear = 0.0;
        square = t2 / s22;
      }
    }
    double left = 0.0;
    for (const layout::StatedDrop& drop : piece.drops()) {
      const double q = drop.airflow_m3_s;
      left += std::pow((linear + square * q) * q / drop.pressure_pa - 1.0, 2);
    }
    const auto freedom = static_cast<double>(piece.drops().size()) -
                         ((linear > 0.0 ? 1.0 : 0.0) + (square > 0.0 ? 1.0 : 0.0));
    entry.standard_uncertainty = freedom > 0.0 ? std::sqrt(left / freedom) : 0.0;
    const double density_ratio = rho() / units::kStandardDensityKgM3;
    entry.loss.linear_pa_s_m3 += linear * density_ratio;
    entry.loss.square_pa_s2_m6 += square * density_ratio;
  }

  void add_fitting(CompiledPiece& entry, const layout::Piece& piece) {
    if (piece.coefficient) {
      charge_stated(entry, piece);
      return;
    }
    if (piece.equivalent_length_m) {
      add_friction(entry.loss,
                   {piece.equivalent_of.value_or(piece.upstream),
                    piece.roughness_m,
                    *piece.equivalent_length_m});
      return;
    }
    if (!piece.drops().empty()) {
      add_drop_table(entry, piece);
      return;
    }
    auto found = catalogue_.coefficient(layout::catalogue_query(piece));
    if (const auto* missing = std::get_if<fitting::Catalogue::Missing>(&found)) {
      const auto place = piece.key_spans.find(missing->parameter);
      const auto type = piece.key_spans.find("type");
      fail(place != piece.key_spans.end()  ? place->second
           : type != piece.key_spans.end() ? type->second
                                           : piece.span,
           *missing);
      return;
    }
    const auto& coefficient = std::get<fitting::Coefficient>(found);
    charge_catalogue(entry, coefficient, piece.roughness_m);
    // A cap's type follows from its heading: that is told with the layout's own defaults.
    entry.fitting->type_defaulted = !piece.states("type") && piece.kind != layout::PieceKind::cap;
    if (coefficient.floating) {
      float_flap(entry.loss, piece, *coefficient.floating);
    } else if (piece.flap_mass_kg_m2()) {
      const auto flap = piece.key_spans.find("flap");
      fail(flap != piece.key_spans.end() ? flap->second : piece.key_spans.at("mass_per_area"),
           {.rule = "no-flap",
            .message =
                fmt::format("{} `{}` does not say what its flap costs: a weight changes nothing",
                            layout::word(piece.kind),
                            coefficient.type),
            .help = "take the key out, or add `floating_flap` to its catalogue file",
            .parameter = ""});
    }
  }

  /// The flap's part of the coefficient follows how far the stream lifts it.
  void float_flap(PieceLoss& loss, const layout::Piece& piece, const fitting::FloatingFlap& flap) {
    const double velocity_pressure_s2_m6 = dynamic(rho(), piece.upstream);
    // A spring adds as much moment as a weight of its opening pressure would (assumed).
    const double weight_pa =
        piece.flap_mass_kg_m2().value_or(flap.mass_kg_m2) * units::kGravityM_S2 +
        piece.opening_pressure_pa().value_or(0.0);
    loss.flap_square_pa_s2_m6 = flap.open_coefficient * velocity_pressure_s2_m6;
    loss.flap_lift_s2_m6 = velocity_pressure_s2_m6 / weight_pa;
    (void)fitting::flap_excess(1.0);  // lays out its nodes before the solver calls it
  }

  void add_open_end() {
    const auto& pieces = layout_.run.pieces;
    const auto last = std::find_if(pieces.rbegin(), pieces.rend(), [](const layout::Piece& piece) {
      return piece.kind != layout::PieceKind::fan;
    });
    if (last != pieces.rend() && last->kind == layout::PieceKind::cap &&
        pieces.back().kind == layout::PieceKind::cap) {
      return;
    }
    CompiledPiece entry;
    entry.word = "open end";
    // Right behind a junction the leg has no piece of its own.
    entry.upstream = pieces.empty() ? layout_.run.first_section : pieces.back().downstream;
    entry.downstream = entry.upstream;
    charge(entry.loss, entry.upstream, 1.0);
    result_.pieces.push_back(std::move(entry));
  }

  void fail(const base::Span& span, const fitting::Catalogue::Missing& missing) {
    errors_.push_back(
        base::fault_at({layout_.source, span}, missing.rule, missing.message, missing.help));
  }

  const layout::Layout& layout_;
  const fitting::Catalogue& catalogue_;
  CompileOptions options_;
  const SiteAir& air_;
  std::vector<FrictionGroup>& groups_;
  CompiledRun result_;
  base::Diagnostics errors_;
};

/// What stands close to each other, and the sums of all entries.
void add_up(CompiledRun& run,
            std::vector<FrictionGroup> groups,
            const layout::Layout& layout,
            const fitting::Catalogue& catalogue) {
  couple_close_fittings(run, {layout, catalogue});
  std::vector<PieceLoss> losses;
  losses.reserve(run.pieces.size());
  for (const CompiledPiece& piece : run.pieces) {
    losses.push_back(piece.loss);
    if (piece.loss.friction_group >= 0) {
      groups[static_cast<std::size_t>(piece.loss.friction_group)].ratio +=
          piece.loss.friction_ratio;
    }
  }
  run.loss = RunLoss(std::move(groups), losses);
}

}  // namespace

base::Checked<CompiledRun> compile(const layout::Layout& layout,
                                   const fitting::Catalogue& catalogue,
                                   const CompileOptions& options) {
  if (!layout.branches.empty()) {
    return base::Diagnostics{base::fault_at(
        {layout.source, layout.branches.front().span},
        "branches-not-handled",
        "this command does not know branches yet: it would leave out what they carry",
        "`check` solves the whole network")};
  }
  std::vector<FrictionGroup> groups;
  const SiteAir air = site_air(layout, wind_coefficient(layout, catalogue));
  auto run = Compiler(layout, catalogue, options, air, groups).all();
  if (run) {
    add_up(*run, std::move(groups), layout, catalogue);
  }
  return run;
}

base::Checked<HeldRun> HeldRun::of(const layout::Layout& layout,
                                   const fitting::Catalogue& catalogue) {
  HeldRun held;
  held.catalogue_ = &catalogue;
  held.wind_coefficient_ = wind_coefficient(layout, catalogue);
  const SiteAir air = site_air(layout, held.wind_coefficient_);
  auto run = Compiler(layout, catalogue, {}, air, held.groups_).all();
  if (!run) {
    return run.error();
  }
  held.run_ = *std::move(run);
  held.entries_.resize(layout.run.pieces.size());
  for (std::size_t i = 0; i < held.run_.pieces.size(); ++i) {
    held.alone_.push_back(held.run_.pieces[i].loss);
    if (held.run_.pieces[i].piece) {
      held.entries_[*held.run_.pieces[i].piece] = i;
    }
  }
  add_up(held.run_, held.groups_, layout, catalogue);
  return held;
}

base::Diagnostics HeldRun::follow(const layout::Layout& layout,
                                  std::span<const std::size_t> changed) {
  if (changed.empty()) {
    return {};
  }
  Compiler compiler(layout, *catalogue_, {}, run_.air, groups_);
  for (const std::size_t piece : changed) {
    auto entry = compiler.one(piece);
    if (!entry) {
      return entry.error();
    }
    alone_[entries_[piece]] = entry->loss;
    run_.pieces[entries_[piece]] = *std::move(entry);
  }
  for (std::size_t i = 0; i < run_.pieces.size(); ++i) {
    run_.pieces[i].loss = alone_[i];
    run_.pieces[i].close.reset();
    run_.pieces[i].interaction = 1.0;
  }
  add_up(run_, groups_, layout, *catalogue_);
  return {};
}

void HeldRun::follow_rise(const layout::Layout& layout) { put_stack(run_.air, layout.run); }

void HeldRun::follow_air(const layout::Layout& layout) {
  run_.air = site_air(layout, wind_coefficient_);
}

}  // namespace ductledger::solve
