#include "layout/piece.hpp"

#include <cmath>
#include <utility>

namespace ductledger::layout {
namespace {

template <std::size_t... I>
Piece::Detail detail_of(PieceKind kind, std::index_sequence<I...> /*all*/) {
  Piece::Detail detail;
  ((static_cast<std::size_t>(kind) == I ? (void)detail.emplace<I>() : void()), ...);
  return detail;
}

static_assert(static_cast<std::size_t>(PieceKind::loss) + 1 == std::variant_size_v<Piece::Detail>);

}  // namespace

Piece::Piece(PieceKind of)
    : kind(of),
      detail(detail_of(of, std::make_index_sequence<std::variant_size_v<Piece::Detail>>())) {}

const Surroundings& Piece::around() const noexcept {
  static const Surroundings kNone;
  if (const auto* straight = if_is<Straight>()) {
    return straight->around;
  }
  const auto* flex = if_is<Flex>();
  return flex != nullptr ? flex->around : kNone;
}

std::optional<double> Piece::opening_pressure_pa() const noexcept {
  if (const auto* damper = if_is<Damper>()) {
    return damper->opening_pressure_pa;
  }
  const auto* cap = if_is<Cap>();
  return cap != nullptr ? cap->opening_pressure_pa : std::nullopt;
}

std::optional<double> Piece::flap_mass_kg_m2() const noexcept {
  if (const auto* damper = if_is<Damper>()) {
    return damper->flap_mass_kg_m2;
  }
  const auto* cap = if_is<Cap>();
  return cap != nullptr ? cap->flap_mass_kg_m2 : std::nullopt;
}

std::span<const StatedDrop> Piece::drops() const noexcept {
  if (const auto* damper = if_is<Damper>()) {
    return damper->drops;
  }
  if (const auto* cap = if_is<Cap>()) {
    return cap->drops;
  }
  if (const auto* filter = if_is<Filter>()) {
    return filter->drops;
  }
  if (const auto* loss = if_is<Loss>()) {
    return loss->drops;
  }
  return {};
}

const std::string& Piece::known_type() const noexcept {
  static const std::string kNone;
  const bool own_figure = loss_is_stated() || !drops().empty();
  return own_figure && kind != PieceKind::cap && !states("type") ? kNone : type;
}

double nominal_leg_m(const Elbow& elbow) noexcept {
  constexpr double kMitre = 0.5;
  return elbow.radius_ratio.value_or(kMitre) * elbow.in_plane_m * std::tan(elbow.angle_rad / 2.0);
}

}  // namespace ductledger::layout
