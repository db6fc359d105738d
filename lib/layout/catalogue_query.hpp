#pragma once

#include <optional>

#include "layout/layout.hpp"

namespace ductledger::layout {

/// The catalogue's kind of a piece; nothing for pieces that it holds no coefficients of.
[[nodiscard]] std::optional<fitting::Kind> catalogue_kind(PieceKind kind) noexcept;

/// What the catalogue has to know of a piece. The piece's kind must be one of the catalogue's.
[[nodiscard]] fitting::Piece catalogue_query(const Piece& piece);

/// What the catalogue says of the piece's type; empty for pieces that it holds none of.
[[nodiscard]] fitting::Traits traits_of(const Piece& piece, const fitting::Catalogue& catalogue);

/// The cap of a duct that ends with this heading: on the roof where it rises, under the soffit
/// where it falls, else on the wall.
[[nodiscard]] std::string default_cap(const fitting::Catalogue& catalogue,
                                      const duct::Section& section,
                                      const std::optional<Direction>& heading);

/// The type of a fitting that states none: a cap's by where the duct heads, else the catalogue's
/// usual one at its section; empty where it has none. The piece's kind must be one of the
/// catalogue's.
[[nodiscard]] std::string default_type(const Piece& piece, const fitting::Catalogue& catalogue);

/// Centreline radius of an elbow over its side in the plane of the turn: as stated, else the usual
/// one of its type at its section; nothing where its type has none, such as a mitre.
[[nodiscard]] std::optional<double> radius_ratio(const Piece& elbow,
                                                 const fitting::Catalogue& catalogue);

}  // namespace ductledger::layout
