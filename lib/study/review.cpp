#include "study/review.hpp"

#include <algorithm>

namespace ductledger::study {

using rules::Judgement;
using rules::Verdict;

std::vector<std::string> default_rule_sets() {
  return {"irc-2021", "combustion-safety", "common-practice"};
}

base::Checked<ReviewResult> review(layout::Layout layout,
                                   const fitting::Catalogue& catalogue,
                                   const ReviewAsked& asked) {
  return check(std::move(layout), catalogue).transform([&](CheckResult calculated) {
    ReviewResult result{.check = std::move(calculated),
                        .sets = asked.sets,
                        .sets_by_default = asked.sets_by_default,
                        .judgements = {},
                        .arithmetic = {}};
    const result::Case subject{.layout = &result.check.layout,
                               .catalogue = &catalogue,
                               .run = &result.check.run,
                               .house = result.check.layout.house ? &result.check.house : nullptr,
                               .speeds = result.check.speeds,
                               .headline = result.check.headline};
    result.judgements = rules::judge(*result.sets, subject);
    result.arithmetic = rules::recalculate(subject);
    return result;
  });
}

std::size_t count(const ReviewResult& result, rules::Verdict verdict) {
  return static_cast<std::size_t>(
      std::count_if(result.judgements.begin(), result.judgements.end(), [&](const Judgement& one) {
        return one.verdict == verdict;
      }));
}

std::optional<findings::Level> worst(const ReviewResult& result) {
  std::optional<findings::Level> level;
  const auto raise = [&](findings::Level to) { level = level ? std::max(*level, to) : to; };
  for (const Judgement& one : result.judgements) {
    if (one.verdict != rules::Verdict::met && one.verdict != rules::Verdict::not_applicable) {
      raise(rules::level(one));
    }
  }
  for (const rules::Record& record : result.arithmetic) {
    for (const rules::Refigured& figure : record.figures) {
      if (figure.agreement != rules::Agreement::agrees) {
        raise(figure.agreement == rules::Agreement::beyond_band ||
                      figure.agreement == rules::Agreement::differs
                  ? findings::Level::warn
                  : findings::Level::note);
      }
    }
  }
  return level;
}

}  // namespace ductledger::study
