#pragma once

#include <string>
#include <vector>

#include "study/check.hpp"
#include "text/check.hpp"
#include "text/page.hpp"

/// The pressure along a run as a picture in characters.
namespace ductledger::text {

/// The total pressure of the shown ledger from its first piece to its last: at most 8 lines of at
/// most 76 characters, the zero line and the greatest and least pressure named at the left, the
/// pieces' numbers beneath. Duct is drawn to length, fittings as wide as their number needs.
/// @return nothing with `Profile::none`, without a ledger or pressure, or with more pieces than
/// columns
[[nodiscard]] std::vector<std::string> profile_lines(const study::CheckResult& result,
                                                     const TextOptions& options);

/// The same with its heading.
void write_profile(Page& page, const study::CheckResult& result);

}  // namespace ductledger::text
