#include "network/compile.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/fault.hpp"
#include "fitting/entry.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/rise.hpp"

namespace ductledger::network {
namespace {

using layout::PieceKind;

constexpr double kUsualM_S = 3.0;  // about 600 fpm, where the search begins

/// Whether a flap in these pieces lets no air back.
bool is_one_way(const layout::Run& run, const fitting::Catalogue& catalogue) {
  return std::ranges::any_of(run.pieces, [&](const layout::Piece& piece) {
    const bool can = piece.kind == PieceKind::damper || piece.kind == PieceKind::cap;
    return can && (layout::traits_of(piece, catalogue).has_gravity_flap() ||
                   piece.opening_pressure_pa().value_or(0.0) > 0.0 || piece.flap_mass_kg_m2());
  });
}

class Compiler {
 public:
  Compiler(const layout::Layout& layout,
           const fitting::Catalogue& catalogue,
           const solve::CompileOptions& options)
      : layout_(layout), catalogue_(catalogue), options_(options), bare_(layout) {
    options_.joins = false;
    bare_.branches.clear();
    bare_.variants.clear();
    bare_.submitted.clear();
    bare_.measurements.clear();
    bare_.defaults.clear();
    bare_.remarks.clear();
    bare_.warnings.clear();
    bare_.run.pieces.clear();
  }

  base::Checked<CompiledNetwork> compile() {
    result_.inlets.assign(layout_.branches.size(), kNone);
    const std::size_t root = add_run(layout_.run, std::nullopt);
    if (!errors_.empty()) {
      base::sort_by_place(errors_);
      return std::move(errors_);
    }
    result_.air = result_.legs[root].run.air;
    result_.network.end_pa = result_.air.wind_pa + result_.air.back_pressure_pa;
    return std::move(result_);
  }

 private:
  using Place = std::optional<std::size_t>;

  [[nodiscard]] const std::optional<layout::Fan>& fan_of(Place branch) const {
    return branch ? layout_.branches[*branch].fan : layout_.fan;
  }

  /// Adds the legs of a run with all that joins it, upstream first. @return its last leg
  std::size_t add_run(const layout::Run& run, Place branch) {
    std::size_t begin = 0;
    std::size_t before = kNone;  // the junction at the leg's start
    for (std::size_t i = 0; i <= run.pieces.size(); ++i) {
      if (i < run.pieces.size() && run.pieces[i].kind != PieceKind::junction) {
        continue;
      }
      const std::size_t leg = add_leg({run, branch, begin, i, before});
      if (before == kNone) {
        (branch ? result_.inlets[*branch] : result_.collar_leg) = leg;
      }
      if (i == run.pieces.size()) {
        return leg;
      }
      const std::size_t index = run.pieces[i].as<layout::Junction>().index;
      const std::size_t joining = add_run(layout_.branches[index].run, index);
      before = add_junction({run, branch, i, leg, joining});
      begin = i + 1;
    }
    return kNone;
  }

  struct LegOf {
    const layout::Run& run;
    Place branch;
    std::size_t begin;  ///< pieces
    std::size_t end;
    std::size_t junction;  ///< at its start
    [[nodiscard]] bool is_first() const { return begin == 0; }
    [[nodiscard]] bool is_last() const { return end == run.pieces.size(); }
    /// Whether it ends in another run.
    [[nodiscard]] bool joins() const { return !is_last() || branch.has_value(); }
  };
  std::size_t add_leg(const LegOf& of) {
    const std::size_t index = result_.legs.size();
    LegPart part = stated_leg(of);
    const layout::Run& run = part.layout.run;
    const bool one_way = is_one_way(run, catalogue_) ||
                         (!of.branch && of.is_first() && layout_.appliance.includes_damper);
    const bool compiled = compile_leg(of, part);
    result_.stack_unknown = result_.stack_unknown || part.run.air.stack_unknown;
    Leg leg{.junction = of.junction,
            .stack_pa = part.run.air.stack_pa,
            .one_way = one_way,
            .usual_m3_s = kUsualM_S * run.first_section.area_m2()};
    if (of.branch && part.layout.fan && compiled) {
      part.fan = solve::speed_fan(part.layout, part.run, layout_.branches[*of.branch].speed);
      if (part.fan->fan) {
        leg.fan = result_.network.fans.size();
        result_.network.fans.push_back(*part.fan->fan);
      }
    } else if (part.layout.fan) {
      result_.fan_leg = index;
    }
    if (of.junction != kNone) {
      result_.network.junctions[of.junction].combined = index;
    }
    result_.network.legs.push_back(leg);
    result_.network.losses.push_back(part.run.loss);
    result_.legs.push_back(std::move(part));
    return index;
  }

  /// A leg as a layout of its own.
  [[nodiscard]] LegPart stated_leg(const LegOf& of) const {
    LegPart part{.layout = bare_, .run = {}, .branch = of.branch, .first_piece = of.begin};
    layout::Run& run = part.layout.run;
    run = of.run;
    const auto at = [&](std::size_t i) {
      return of.run.pieces.begin() + static_cast<std::ptrdiff_t>(i);
    };
    run.pieces.assign(at(of.begin), at(of.end));
    run.changes_at_collar = of.is_first() && of.run.changes_at_collar;
    if (!of.is_first()) {
      const layout::Piece& junction = of.run.pieces[of.begin - 1];
      run.first_section = junction.downstream;
      run.heading = junction.heading_out;
    }
    run.discharge = layout_.run.discharge;
    settle_rise(of, run);
    settle_fan(of, part);
    if (of.branch || !of.is_first()) {
      part.layout.appliance.collar.reset();
    }
    if (of.joins()) {
      part.layout.site.wind_m_s = 0.0;
      run.back_pressure_pa = 0.0;
    }
    return part;
  }

  /// @return whether it could be compiled; else `errors_` says why not
  bool compile_leg(const LegOf& of, LegPart& part) {
    options_.joins = of.joins();
    auto compiled = solve::compile(part.layout, catalogue_, options_);
    if (!compiled) {
      errors_.insert(errors_.end(), compiled.error().begin(), compiled.error().end());
      return false;
    }
    part.run = *std::move(compiled);
    if (!of.is_first() && part.layout.fan && part.run.fan_at_collar) {
      // Right behind the junction: it draws from the duct, not from the room.
      const duct::Section& section = part.layout.run.first_section;
      part.run.fan_at_collar = false;
      part.run.fan_inlet = section;
      const double area_m2 = section.area_m2();
      part.run.inlet_dynamic_pa_s2_m6 = part.run.air.density_kg_m3 / 2.0 / (area_m2 * area_m2);
    }
    return true;
  }

  /// A fan stands at the start of its run, or where its piece says.
  void settle_fan(const LegOf& of, LegPart& part) const {
    layout::Run& run = part.layout.run;
    const auto& piece = of.run.fan_piece;
    const bool here = piece ? *piece >= of.begin && *piece < of.end : of.begin == 0;
    run.fan_piece = piece && here ? std::optional(*piece - of.begin) : std::nullopt;
    part.layout.fan = here ? fan_of(of.branch) : std::nullopt;
  }

  /// Each leg rises by its headings; what a stated rise adds, the last leg rises.
  void settle_rise(const LegOf& of, layout::Run& run) const {
    const auto& stated = of.run.stated_rise_m;
    run.stated_rise_m.reset();
    run.rise_m = layout::rise_by_headings(run);
    if (!stated) {
      return;
    }
    if (!of.is_last()) {
      run.rise_m = run.rise_m.value_or(0.0);
      return;
    }
    double before_m = 0.0;
    for (const LegPart& part : result_.legs) {
      if (part.branch == of.branch) {
        before_m += part.layout.run.rise_m.value_or(0.0);
      }
    }
    run.rise_m = *stated - before_m;
  }

  struct JunctionOf {
    const layout::Run& run;
    Place branch;  ///< the run's
    std::size_t piece;
    std::size_t straight;
    std::size_t joining;
  };
  std::size_t add_junction(const JunctionOf& of) {
    const layout::Piece& piece = of.run.pieces[of.piece];
    const auto& stated = piece.as<layout::Junction>();
    const layout::Run& joined = layout_.branches[stated.index].run;
    const duct::Section& branch =
        joined.pieces.empty() ? joined.first_section : joined.pieces.back().downstream;
    const double combined_m2 = piece.downstream.area_m2();
    const std::size_t index = result_.network.junctions.size();
    JunctionPart part{.run = of.branch, .piece = of.piece, .branch = stated.index};
    Junction junction{.straight = of.straight,
                      .branch = of.joining,
                      .angle = fitting::junction_angle(stated.angle_rad),
                      .area_ratio = branch.area_m2() / combined_m2,
                      .dynamic_pa_s2_m6 = result_.legs[of.straight].run.air.density_kg_m3 / 2.0 /
                                          (combined_m2 * combined_m2)};
    if (stated.straight_coefficient && stated.branch_coefficient) {
      junction.straight_coefficient = *stated.straight_coefficient;
      junction.branch_coefficient = *stated.branch_coefficient;
    } else {
      settle_law(piece, junction, part);
      // A trade size more or less is no change of area.
      part.area_changes = std::abs(piece.upstream.area_m2() / combined_m2 - 1.0) > 0.01;
      part.outside_area_range = junction.area_ratio < 0.1 || junction.area_ratio > 1.0 + 1e-9;
    }
    for (const std::size_t leg : {of.straight, of.joining}) {
      result_.legs[leg].ends_at = index;
    }
    result_.network.junctions.push_back(junction);
    result_.junctions.push_back(part);
    return index;
  }

  void settle_law(const layout::Piece& piece, Junction& junction, JunctionPart& part) {
    const fitting::Entry* entry = catalogue_.entry("junction/" + piece.type);
    const fitting::DataSet* found = entry == nullptr       ? nullptr
                                    : piece.source.empty() ? entry->standard()
                                                           : entry->find(piece.source);
    const auto law = found == nullptr ? std::nullopt : found->law;
    if (law == fitting::Law::converging_junction) {
      junction.law = JunctionLaw::converging;
    } else if (law == fitting::Law::converging_tee_older) {
      junction.law = JunctionLaw::converging_tee_older;
    } else {
      errors_.push_back(base::fault_at(
          {layout_.source, piece.span},
          piece.source.empty() ? "no-coefficient" : "unknown-source",
          piece.source.empty()
              ? fmt::format("junction `{}` has no figures for streams that join", piece.type)
              : fmt::format("junction `{}` has no such data set of both legs: `{}`",
                            piece.type,
                            piece.source),
          "state `straight_coefficient` and `branch_coefficient`"));
    }
    if (entry != nullptr) {  // a constant
      part.standard_uncertainty = entry->uncertainty.relative.values.empty()
                                      ? 0.0
                                      : entry->uncertainty.relative.values.front();
    }
  }

  const layout::Layout& layout_;
  const fitting::Catalogue& catalogue_;
  solve::CompileOptions options_;
  layout::Layout bare_;
  CompiledNetwork result_;
  base::Diagnostics errors_;
};

}  // namespace

const LegPart* CompiledNetwork::undetermined() const noexcept {
  const auto found =
      std::ranges::find_if(legs, [](const LegPart& leg) { return leg.fan && !leg.fan->fan; });
  return found == legs.end() ? nullptr : &*found;
}

base::Checked<CompiledNetwork> compile(const layout::Layout& layout,
                                       const fitting::Catalogue& catalogue,
                                       const solve::CompileOptions& options) {
  return Compiler(layout, catalogue, options).compile();
}

}  // namespace ductledger::network
