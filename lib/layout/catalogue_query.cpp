#include "layout/catalogue_query.hpp"

#include <algorithm>
#include <string_view>

#include "base/expects.hpp"

namespace ductledger::layout {

std::optional<fitting::Kind> catalogue_kind(PieceKind kind) noexcept {
  switch (kind) {
    case PieceKind::elbow:
      return fitting::Kind::elbow;
    case PieceKind::transition:
      return fitting::Kind::transition;
    case PieceKind::damper:
      return fitting::Kind::damper;
    case PieceKind::cap:
      return fitting::Kind::cap;
    case PieceKind::screen:
      return fitting::Kind::screen;
    case PieceKind::filter:
      return fitting::Kind::filter;
    case PieceKind::entry:
      return fitting::Kind::entry;
    case PieceKind::junction:
      return fitting::Kind::junction;
    default:
      return std::nullopt;
  }
}

fitting::Piece catalogue_query(const Piece& piece) {
  const auto kind = catalogue_kind(piece.kind);
  DUCTLEDGER_EXPECTS(kind.has_value());
  fitting::Piece query{.kind = *kind,
                       .type = piece.type,
                       .source = piece.source,
                       .upstream = piece.upstream,
                       .downstream = piece.downstream,
                       .parameters = piece.parameters};
  if (const auto* elbow = piece.if_is<Elbow>()) {
    query.angle_rad = elbow->angle_rad;
    query.in_plane_m = elbow->in_plane_m;
    query.across_m = elbow->across_m;
  }
  return query;
}

fitting::Traits traits_of(const Piece& piece, const fitting::Catalogue& catalogue) {
  const auto kind = catalogue_kind(piece.kind);
  if (!kind) {
    return {};
  }
  return catalogue.traits(*kind, piece.type);
}

std::string default_cap(const fitting::Catalogue& catalogue,
                        const duct::Section& section,
                        const std::optional<Direction>& heading) {
  constexpr double kSteep = 0.5;  // 30 deg
  const double rising = heading ? (*heading)[2] : 0.0;
  const fitting::Outlet place = rising > kSteep    ? fitting::Outlet::roof
                                : rising < -kSteep ? fitting::Outlet::soffit
                                                   : fitting::Outlet::wall;
  return catalogue.default_cap(place, section);
}

std::string default_type(const Piece& piece, const fitting::Catalogue& catalogue) {
  const auto kind = catalogue_kind(piece.kind);
  DUCTLEDGER_EXPECTS(kind.has_value());
  return piece.kind == PieceKind::cap ? default_cap(catalogue, piece.upstream, piece.heading_in)
                                      : catalogue.default_type(*kind, piece.upstream);
}

std::optional<double> radius_ratio(const Piece& elbow, const fitting::Catalogue& catalogue) {
  constexpr std::string_view kName = "radius_ratio";
  if (const auto stated = elbow.parameters.find(kName); stated != elbow.parameters.end()) {
    return stated->second;
  }
  const auto taken = catalogue.parameters(fitting::Kind::elbow, elbow.type, elbow.upstream);
  const auto found = std::ranges::find(taken, kName, &fitting::Catalogue::Parameter::name);
  return found == taken.end() ? std::nullopt : found->default_value;
}

}  // namespace ductledger::layout
