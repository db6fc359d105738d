#include "rules/override.hpp"

#include <algorithm>
#include <string_view>
#include <variant>

#include "findings/finding_internal.hpp"
#include "fitting/default_uncertainty.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::rules {
namespace {

constexpr double kFar = 2.0;  ///< half or twice: as far as published tables part; common practice
constexpr double kExitHead = 1.0;

/// Velocity at which a run without an answer is looked at [m/s]: 1000 fpm.
constexpr double kUsualVelocity_m_s = 5.08;

double usual_airflow_m3_s(const result::Case& subject) {
  const result::SpeedResult* speed = findings::headline(subject);
  const double known_m3_s = speed != nullptr && speed->ledger ? speed->ledger->airflow_m3_s : 0.0;
  return known_m3_s > 0.0 ? known_m3_s
                          : kUsualVelocity_m_s * subject.layout->run.first_section.area_m2();
}

std::string name_of(const layout::Piece& piece, std::size_t index) {
  return std::to_string(layout::piece_number(index)) + ' ' + layout::word(piece.kind) +
         (piece.type.empty() ? std::string() : ' ' + piece.type);
}

/// What a piece of a compiled run costs, in velocity pressures of a section.
double in_velocity_pressures(const solve::CompiledRun& run,
                             const solve::CompiledPiece& piece,
                             const duct::Section& section,
                             double airflow_m3_s) {
  const double velocity_m_s = airflow_m3_s / section.area_m2();
  return run.loss.of(piece.loss, airflow_m3_s) / piece.interaction /
         (run.air.density_kg_m3 / 2.0 * velocity_m_s * velocity_m_s);
}

const solve::CompiledPiece* compiled(const solve::CompiledRun& run, std::size_t index) {
  const auto found =
      std::ranges::find(run.pieces, std::optional(index), &solve::CompiledPiece::piece);
  return found == run.pieces.end() ? nullptr : &*found;
}

class Overrides {
 public:
  explicit Overrides(const result::Case& subject)
      : subject_(subject), airflow_m3_s_(usual_airflow_m3_s(subject)) {}

  std::vector<Override> all() {
    const auto& pieces = subject_.layout->run.pieces;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      look_at(pieces[i], i);
    }
    uncertainties();
    return std::move(all_);
  }

 private:
  void look_at(const layout::Piece& piece, std::size_t index) {
    if (piece.kind == layout::PieceKind::loss) {
      loss(piece, index);
      return;
    }
    if (piece.coefficient) {
      const bool downstream = piece.coefficient->reference == fitting::Reference::downstream;
      compare(
          piece, index, piece.coefficient->value, downstream ? piece.downstream : piece.upstream);
      no_uncertainty(piece, index);
    } else if (piece.equivalent_length_m || !piece.drops().empty()) {
      const bool fitting =
          layout::catalogue_kind(piece.kind).has_value() && piece.kind != layout::PieceKind::filter;
      const solve::CompiledPiece* own = fitting ? compiled(*subject_.run, index) : nullptr;
      if (own != nullptr) {
        compare(piece,
                index,
                in_velocity_pressures(*subject_.run, *own, piece.upstream, airflow_m3_s_),
                piece.upstream);
      }
    }
  }

  /// The catalogue's coefficient of the piece on the same velocity pressure, its own friction
  /// included: the run compiled with that figure taken out.
  [[nodiscard]] std::optional<double> of_catalogue(std::size_t index,
                                                   const duct::Section& section) const {
    layout::Layout without = *subject_.layout;
    without.run.pieces[index].coefficient.reset();
    without.run.pieces[index].equivalent_length_m.reset();
    std::visit(
        [](auto& detail) {
          if constexpr (requires { detail.drops; }) {
            detail.drops.clear();
          }
        },
        without.run.pieces[index].detail);
    const auto run = solve::compile(without, *subject_.catalogue);
    const solve::CompiledPiece* piece = run ? compiled(*run, index) : nullptr;
    return piece == nullptr
               ? std::nullopt
               : std::optional(in_velocity_pressures(*run, *piece, section, airflow_m3_s_));
  }

  void compare(const layout::Piece& piece,
               std::size_t index,
               double stated,
               const duct::Section& section) {
    Override one{.kind = piece.coefficient           ? OverrideKind::coefficient
                         : piece.equivalent_length_m ? OverrideKind::equivalent_length
                                                     : OverrideKind::loss,
                 .what = name_of(piece, index),
                 .number = layout::piece_number(index),
                 .stated = stated,
                 .catalogue = of_catalogue(index, section),
                 .said = {},
                 .span = piece.span};
    const bool far =
        !one.catalogue || stated < *one.catalogue / kFar || stated > *one.catalogue * kFar;
    const bool below_exit = piece.kind == layout::PieceKind::cap && stated < kExitHead &&
                            index + 1 == subject_.layout->run.pieces.size();
    if (!far && !below_exit) {
      return;
    }
    one.said = {findings::literal(one.what) + ": stated C {}", {findings::number(stated)}};
    if (piece.equivalent_length_m) {
      findings::append(one.said,
                       {", as {} of duct", {findings::length(*piece.equivalent_length_m)}});
    } else if (!piece.coefficient) {
      say_drop(piece, one.said);
    }
    if (one.catalogue) {
      findings::append(one.said, {"; catalogue {}", {findings::number(*one.catalogue)}});
    } else {
      findings::append(one.said, {"; the catalogue has no figure for it", {}});
    }
    if (below_exit) {
      one.kind = OverrideKind::below_exit;
      one.level = findings::Level::warn;
      findings::append(one.said,
                       {". The air that leaves takes one velocity head with it, so a cap cannot "
                        "cost less than 1: ask where the figure is from",
                        {}});
    }
    all_.push_back(std::move(one));
  }

  void no_uncertainty(const layout::Piece& piece, std::size_t index) {
    if (piece.coefficient->relative_uncertainty != 0.0) {
      return;
    }
    all_.push_back({.kind = OverrideKind::no_uncertainty,
                    .what = name_of(piece, index),
                    .number = layout::piece_number(index),
                    .stated = 0.0,
                    .catalogue = default_of("stated"),
                    .said = {findings::literal(name_of(piece, index)) +
                                 ": uncertainty stated as 0; otherwise {}",
                             {findings::ratio(default_of("stated").value_or(0.0))}},
                    .span = piece.span});
  }

  static void say_drop(const layout::Piece& piece, units::Message& words) {
    if (!piece.drops().empty()) {
      const layout::StatedDrop& drop = piece.drops().front();
      findings::append(
          words,
          {": stated {} at {}",
           {findings::pressure(drop.pressure_pa), findings::airflow(drop.airflow_m3_s)}});
    }
  }

  void loss(const layout::Piece& piece, std::size_t index) {
    Override one{.kind = OverrideKind::loss,
                 .what = name_of(piece, index),
                 .number = layout::piece_number(index),
                 .stated = {},
                 .catalogue = {},
                 .said = {findings::literal(name_of(piece, index)), {}},
                 .span = piece.span};
    if (piece.coefficient) {
      one.stated = piece.coefficient->value;
      findings::append(one.said, {": stated C {}", {findings::number(*one.stated)}});
    } else {
      say_drop(piece, one.said);
    }
    if (!piece.note.empty()) {
      findings::append(one.said, {", " + findings::literal(piece.note), {}});
    }
    findings::append(one.said, {"; the catalogue has no figure for it", {}});
    all_.push_back(std::move(one));
    if (piece.coefficient) {
      no_uncertainty(piece, index);
    }
  }

  [[nodiscard]] static std::optional<double> default_of(std::string_view layout_key) {
    const auto& rows = fitting::default_uncertainties();
    const auto found =
        std::ranges::find(rows, layout_key, &fitting::DefaultUncertainty::layout_key);
    return found == rows.end() ? std::nullopt : std::optional(found->value);
  }

  void uncertainties() {
    for (const auto& [key, value] : subject_.layout->uncertainty) {
      if (value > 0.0) {
        continue;
      }
      Override one{.kind = OverrideKind::no_uncertainty,
                   .what = "uncertainty." + key,
                   .number = {},
                   .stated = 0.0,
                   .catalogue = default_of(key),
                   .said = {findings::literal("uncertainty." + key) + ": stated as 0", {}},
                   .span = {}};
      if (one.catalogue) {
        const auto& row = *std::ranges::find(
            fitting::default_uncertainties(), key, &fitting::DefaultUncertainty::layout_key);
        const units::Dimension dimension =
            row.measure == fitting::DefaultUncertainty::Measure::relative ? units::Dimension::ratio
            : row.measure == fitting::DefaultUncertainty::Measure::length
                ? units::Dimension::length
                : units::Dimension::number;
        findings::append(one.said, {"; otherwise {}", {{*one.catalogue, dimension}}});
      } else {
        findings::append(one.said, {"; otherwise each entry's own", {}});
      }
      all_.push_back(std::move(one));
    }
  }

  const result::Case& subject_;
  double airflow_m3_s_ = 0.0;
  std::vector<Override> all_;
};

}  // namespace

std::vector<Override> overrides(const result::Case& subject) { return Overrides(subject).all(); }

}  // namespace ductledger::rules
