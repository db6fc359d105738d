#pragma once

#include <memory>
#include <string>
#include <vector>

#include "rules/arithmetic.hpp"
#include "rules/judge.hpp"
#include "study/check.hpp"

namespace ductledger::study {

using RuleSetsPtr = std::shared_ptr<const std::vector<rules::RuleSet>>;

/// The result document of `review`; text, JSON and sheets are views of it.
struct ReviewResult {
  CheckResult check;
  RuleSetsPtr sets;
  bool sets_by_default = false;              ///< neither the file nor the call named any
  std::vector<rules::Judgement> judgements;  ///< in the order of the sets
  std::vector<rules::Record> arithmetic;
};

/// Sets taken where neither the layout nor the call names any.
[[nodiscard]] std::vector<std::string> default_rule_sets();

/// Calculates a layout and judges it.
struct ReviewAsked {
  RuleSetsPtr sets;
  bool sets_by_default = false;
};
[[nodiscard]] base::Checked<ReviewResult> review(layout::Layout layout,
                                                 const fitting::Catalogue& catalogue,
                                                 const ReviewAsked& asked);

/// How many judgements ended so.
[[nodiscard]] std::size_t count(const ReviewResult& result, rules::Verdict verdict);
/// The worst level among them; a rule that does not apply or is met counts for nothing.
[[nodiscard]] std::optional<findings::Level> worst(const ReviewResult& result);

}  // namespace ductledger::study
