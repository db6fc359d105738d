#include <fmt/format.h>

#include <cmath>
#include <string>
#include <utility>

#include "duct/friction.hpp"
#include "layout/piece_number.hpp"
#include "numeric/root.hpp"
#include "site/faults_internal.hpp"
#include "units/constants.hpp"

namespace ductledger::site {
namespace {

using units::Dimension;

constexpr double kMostStretched = 1.0;
constexpr double kLeastStretched = 0.3;

/// Coefficient of a hand damper at an angle in the collar's section; nothing beyond its table.
std::optional<double> blade(const Unaccounted& loss, double angle_rad) {
  fitting::Piece piece{.kind = fitting::Kind::damper,
                       .type = loss.catalogue.type_with(fitting::Kind::damper,
                                                        [](const fitting::Traits& traits) {
                                                          return traits.flap == fitting::Flap::hand;
                                                        }),
                       .upstream = loss.run.collar,
                       .downstream = loss.run.collar};
  piece.parameters["blade_angle"] = angle_rad;
  const auto found = loss.catalogue.coefficient(piece);
  const auto* coefficient = std::get_if<fitting::Coefficient>(&found);
  if (coefficient == nullptr || !coefficient->outside.empty()) {
    return std::nullopt;
  }
  return coefficient->value;
}

/// An open blade costs something already, so a small loss has no angle.
std::optional<Fault> closed_damper(const Unaccounted& loss) {
  constexpr double kWidest = 60.0 * units::kRadPerDegree;
  const auto open = blade(loss, 0.0);
  const auto shut = blade(loss, kWidest);
  if (!open || !shut || loss.extra_coefficient <= *open) {
    return std::nullopt;
  }
  Fault fault;
  fault.what = "damper-closed";
  fault.unit = "rad";
  if (loss.extra_coefficient > *shut) {
    fault.amount = kWidest;
    fault.text = {
        "a damper blade closed by more than {}, nearly shut, or a flap that does not open",
        {{kWidest, Dimension::angle}}};
    return fault;
  }
  const auto miss = [&](double angle_rad) {
    return blade(loss, angle_rad).value_or(0.0) - loss.extra_coefficient;
  };
  fault.amount = numeric::find_root(miss, {0.0, kWidest}, {}).root;
  fault.text = {"a damper blade closed by {}, or a flap that sticks as far",
                {{fault.amount, Dimension::angle}}};
  return fault;
}

/// Loss of a piece at the airflow read.
double loss_of(const Unaccounted& loss, const solve::CompiledPiece& piece) {
  return loss.run.loss.of(piece.loss, loss.airflow_m3_s);
}

std::optional<Fault> compressed_flex(const Unaccounted& loss, const solve::CompiledPiece& piece) {
  const layout::Piece& flex = loss.pieces.pieces[*piece.piece];
  const duct::FlexState now{.diameter = units::metres(piece.upstream.equivalent_diameter_m()),
                            .stretched = flex.as<layout::Flex>().stretched};
  const double wanted = duct::flexible_multiplier(now) *
                        (1.0 + loss.extra_pa / std::max(loss_of(loss, piece), 1e-12));
  const auto miss = [&](double stretched) {
    return duct::flexible_multiplier({.diameter = now.diameter, .stretched = stretched}) - wanted;
  };
  const auto found = numeric::find_root(miss, {kLeastStretched, kMostStretched}, {});
  if (found.status != numeric::RootStatus::converged) {
    return std::nullopt;
  }
  Fault fault;
  fault.what = "flex-compressed";
  fault.unit = "1";
  fault.amount = 1.0 - found.root;
  fault.piece = *piece.piece + loss.first_piece;
  fault.text = {duct::is_outside_flexible_range({.diameter = now.diameter, .stretched = found.root})
                    ? "piece {}, flexible duct, pushed together by {} (beyond the range of the "
                      "published multiplier), or kinked"
                    : "piece {}, flexible duct, pushed together by {}, or kinked",
                {{static_cast<double>(layout::piece_number(*fault.piece)), Dimension::number},
                 {fault.amount, Dimension::ratio}}};
  return fault;
}

/// The loss of an opening goes with the inverse square of its free area.
Fault blocked_cap(const Unaccounted& loss, const solve::CompiledPiece& piece) {
  const double now_pa = loss_of(loss, piece);
  Fault fault;
  fault.what = "cap-blocked";
  fault.unit = "1";
  fault.amount = std::sqrt(now_pa / (now_pa + loss.extra_pa));
  fault.piece = *piece.piece + loss.first_piece;
  fault.text = {
      "piece {}, the cap, with {} of its opening left free: lint, grease, a nest, paint on "
      "the flap",
      {{static_cast<double>(layout::piece_number(*fault.piece)), Dimension::number},
       {fault.amount, Dimension::ratio}}};
  return fault;
}

}  // namespace

std::vector<Fault> faults(const Unaccounted& loss) {
  std::vector<Fault> out;
  for (const solve::CompiledPiece& piece : loss.run.pieces) {
    if (!piece.piece || loss_of(loss, piece) <= 0.0) {
      continue;
    }
    const layout::PieceKind kind = loss.pieces.pieces[*piece.piece].kind;
    if (kind == layout::PieceKind::cap) {
      out.push_back(blocked_cap(loss, piece));
    } else if (kind == layout::PieceKind::flex) {
      if (auto fault = compressed_flex(loss, piece)) {
        out.push_back(*std::move(fault));
      }
    }
  }
  if (auto fault = closed_damper(loss)) {
    out.push_back(*std::move(fault));
  }
  return out;
}

}  // namespace ductledger::site
