#pragma once

#include <memory>
#include <string>
#include <vector>

#include "rules/arithmetic.hpp"
#include "rules/judge.hpp"
#include "rules/override.hpp"
#include "study/check.hpp"

namespace ductledger::study {

using RuleSetsPtr = std::shared_ptr<const std::vector<rules::RuleSet>>;

/// A rule of a default set that a requested one withdraws or states otherwise. Both are judged.
struct RuleChange {
  std::string set;         ///< the requested one
  std::string rule;        ///< id
  std::string by_default;  ///< the default set's requirement
  std::string requested;   ///< empty: withdrawn
  units::Message bounds;   ///< of the default rule; empty: a check in code
  units::Message requested_bounds;
};

/// The result document of `review`; text, JSON and sheets are views of it.
struct ReviewResult {
  CheckResult check;
  RuleSetsPtr sets;
  bool sets_by_default = false;  ///< neither the file nor the call named any
  /// Asked for by the layout itself: judged beside the default sets, never instead of them.
  std::vector<std::string> requested;
  std::vector<RuleChange> changes;  ///< what a requested set would change of the default ones
  std::vector<rules::Judgement> judgements;  ///< in the order of the sets
  std::vector<rules::Record> arithmetic;
  std::vector<rules::Override> overrides;  ///< stated in place of the catalogue's figures
};

/// Sets taken where neither the layout nor the call names any.
[[nodiscard]] std::vector<std::string> default_rule_sets();

/// Calculates a layout and judges it.
struct ReviewAsked {
  RuleSetsPtr sets;
  bool sets_by_default = false;
  std::vector<std::string> requested{};
  std::vector<RuleChange> changes{};
};
/// The default sets with what a layout asks for beside them, and what that would have changed.
[[nodiscard]] ReviewAsked with_requested(const std::vector<rules::RuleSet>& defaults,
                                         const std::vector<rules::RuleSet>& requested);
[[nodiscard]] base::Checked<ReviewResult> review(layout::Layout layout,
                                                 const fitting::Catalogue& catalogue,
                                                 const ReviewAsked& asked);

/// How many judgements ended so.
[[nodiscard]] std::size_t count(const ReviewResult& result, rules::Verdict verdict);
/// The worst level among them; a rule that does not apply or is met counts for nothing.
[[nodiscard]] std::optional<findings::Level> worst(const ReviewResult& result);

}  // namespace ductledger::study
