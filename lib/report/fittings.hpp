#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "report/json.hpp"
#include "report/plot.hpp"
#include "report/text.hpp"
#include "study/fitting_sheet.hpp"

/// Views of the catalogue: lists, sheets and plots of fittings.
namespace ductledger::report {

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
/// C against one variable, with the printed points.
[[nodiscard]] Plot fitting_plot(const study::FittingSheet& sheet);
/// `8 in round`, `8 in round to 6 in round`.
[[nodiscard]] std::string sections_of(const fitting::Piece& piece, units::System system);
/// A variable's value with its unit, lengths in inches or millimetres.
[[nodiscard]] std::string variable_text(double si,
                                        units::Dimension dimension,
                                        units::System system);

/// The document `ductledger.fittings/1`.
[[nodiscard]] nlohmann::ordered_json fittings_document(
    const std::vector<const fitting::Entry*>& entries,
    const fitting::Catalogue& catalogue,
    const Record& record);
[[nodiscard]] nlohmann::ordered_json fitting_sheet_document(const study::FittingSheet& sheet,
                                                            const fitting::Catalogue& catalogue,
                                                            const Record& record);

}  // namespace ductledger::report
