#pragma once

#include <span>
#include <string>
#include <string_view>

#include "base/checked.hpp"
#include "rules/rule.hpp"
#include "text/check.hpp"

namespace ductledger::text {

/// The long text of a rule, a finding or a rule set: what it asks, why, how to mend it, where it
/// stands. Fails with the nearest name.
[[nodiscard]] base::Checked<std::string> explain(std::string_view name,
                                                 std::span<const rules::RuleSet> sets,
                                                 const TextOptions& options = {});

/// docs/rules.md, written from the rules and findings there are.
[[nodiscard]] std::string rules_page();

}  // namespace ductledger::text
