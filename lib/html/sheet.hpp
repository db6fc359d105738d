#pragma once

#include <span>
#include <string>

#include "html/report.hpp"
#include "sheet/rough_in.hpp"

/// The rough-in sheet as a page: a drawing on one printed side, of a layout with branches
/// one for the run and each branch; the bill behind.
namespace ductledger::html {

/// @param subject with its parts
[[nodiscard]] std::string rough_in_html(const ReportSubject& subject,
                                        std::span<const sheet::RoughIn> sheets,
                                        const ReportOptions& options);

}  // namespace ductledger::html
