#include "layout/catalogue_query.hpp"

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
    default:
      return std::nullopt;
  }
}

fitting::Piece catalogue_query(const Piece& piece) {
  const auto kind = catalogue_kind(piece.kind);
  DUCTLEDGER_EXPECTS(kind.has_value());
  return {.kind = *kind,
          .type = piece.type,
          .source = piece.source,
          .upstream = piece.upstream,
          .downstream = piece.downstream,
          .angle_rad = piece.angle_rad,
          .in_plane_m = piece.in_plane_m,
          .across_m = piece.across_m,
          .parameters = piece.parameters};
}

fitting::Traits traits_of(const Piece& piece, const fitting::Catalogue& catalogue) {
  const auto kind = catalogue_kind(piece.kind);
  if (!kind) {
    return {};
  }
  return catalogue.traits(
      *kind, piece.type.empty() ? catalogue.default_type(*kind, piece.upstream) : piece.type);
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

}  // namespace ductledger::layout
