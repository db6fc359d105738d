#pragma once

#include <string>

#include "html/report.hpp"
#include "sheet/rough_in.hpp"

/// The rough-in sheet as a page: the drawing on one printed side, the bill on its back.
namespace ductledger::html {

/// @param subject with its parts
[[nodiscard]] std::string rough_in_html(const ReportSubject& subject,
                                        const sheet::RoughIn& sheet,
                                        const ReportOptions& options);

}  // namespace ductledger::html
