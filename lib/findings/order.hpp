#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "findings/finding.hpp"
#include "layout/layout.hpp"

namespace ductledger::findings {

/// Codes of what is told before anything else of its level: what can hurt someone, by how soon,
/// then what was asked for.
[[nodiscard]] std::span<const std::string_view> told_first();

/// Puts findings in the order in which they are told: worst first; of one level those of lower or
/// locked-out speeds behind those of the headline speed; then what can hurt someone before what was
/// asked for, and both before all else; then by what they speak of, as the layout format lists it,
/// and along the run; what speaks of the whole file last. Where things stand in the file has no
/// say.
void put_in_order(std::vector<Finding>& all, const layout::Layout& layout);

/// The piece that a finding speaks of by the file's keys (`run.pieces[3]`), or whatever else it
/// speaks of; empty: the whole file.
[[nodiscard]] std::string subject_of(const Finding& finding, const layout::Layout& layout);

}  // namespace ductledger::findings
