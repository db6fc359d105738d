#pragma once

#include <optional>

#include "layout/layout.hpp"

namespace ductledger::layout {

/// The catalogue's kind of a piece; nothing for pieces that it holds no coefficients of.
[[nodiscard]] std::optional<fitting::Kind> catalogue_kind(PieceKind kind) noexcept;

/// What the catalogue has to know of a piece. The piece's kind must be one of the catalogue's.
[[nodiscard]] fitting::Piece catalogue_query(const Piece& piece);

}  // namespace ductledger::layout
