#pragma once

#include <functional>
#include <variant>

#include "fitting/entry.hpp"

namespace ductledger::fitting {

using TableLookup = std::function<const SupportTable*(std::string_view)>;

/// True when the entry's sections and change of area are those of the piece.
[[nodiscard]] bool fits(const Entry& entry, const Piece& piece);

/// One data set of an entry at a piece. @param known_parameters over all entries of the type
[[nodiscard]] std::variant<Coefficient, Catalogue::Missing> evaluate(const Entry& entry,
                                                                     const DataSet& set,
                                                                     const Piece& piece,
                                                                     const TableLookup& tables);

/// See Catalogue::covered.
[[nodiscard]] std::optional<Catalogue::Covered> covered_by(const Entry& entry,
                                                           const DataSet& set,
                                                           std::string_view variable,
                                                           const TableLookup& tables);

}  // namespace ductledger::fitting
