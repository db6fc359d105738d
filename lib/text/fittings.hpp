#pragma once

#include <string>
#include <vector>

#include "study/fitting_sheet.hpp"
#include "text/check.hpp"

/// Views of the catalogue: lists, sheets and plots of fittings.
namespace ductledger::text {

/// Entries by kind, each with what it is.
[[nodiscard]] std::string fittings_text(const std::vector<const fitting::Entry*>& entries,
                                        const TextOptions& options);
/// What a fitting is, what it costs here, its parameters, table, alternatives and sources.
/// @param others the entries of the same kind and type
[[nodiscard]] std::string fitting_sheet_text(const study::FittingSheet& sheet,
                                             const fitting::Catalogue& catalogue,
                                             const std::vector<const fitting::Entry*>& others,
                                             const TextOptions& options);
/// The coefficient here alone.
[[nodiscard]] std::string fitting_value_text(const study::FittingSheet& sheet,
                                             const TextOptions& options);

}  // namespace ductledger::text
