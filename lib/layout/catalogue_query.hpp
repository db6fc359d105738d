#pragma once

#include <optional>

#include "layout/layout.hpp"

namespace ductledger::layout {

/// The catalogue's kind of a piece; nothing for pieces that it holds no coefficients of.
[[nodiscard]] std::optional<fitting::Kind> catalogue_kind(PieceKind kind) noexcept;

/// What the catalogue has to know of a piece. The piece's kind must be one of the catalogue's.
[[nodiscard]] fitting::Piece catalogue_query(const Piece& piece);

/// What the catalogue says of the piece's type, the default one where none is stated; empty for
/// pieces that it holds none of.
[[nodiscard]] fitting::Traits traits_of(const Piece& piece, const fitting::Catalogue& catalogue);

/// The cap of a duct that ends with this heading: on the roof where it rises, under the soffit
/// where it falls, else on the wall.
[[nodiscard]] std::string default_cap(const fitting::Catalogue& catalogue,
                                      const duct::Section& section,
                                      const std::optional<Direction>& heading);

}  // namespace ductledger::layout
