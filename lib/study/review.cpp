#include "study/review.hpp"

#include <algorithm>

namespace ductledger::study {

using review::Judgement;
using review::Verdict;

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
    const review::Case subject{.layout = &result.check.layout,
                               .catalogue = &catalogue,
                               .run = &result.check.run,
                               .house = result.check.layout.house ? &result.check.house : nullptr,
                               .speeds = result.check.speeds,
                               .headline = result.check.headline};
    result.judgements = review::judge(*result.sets, subject);
    result.arithmetic = review::recalculate(subject);
    return result;
  });
}

std::size_t count(const ReviewResult& result, Verdict verdict) {
  return static_cast<std::size_t>(
      std::count_if(result.judgements.begin(), result.judgements.end(), [&](const Judgement& one) {
        return one.verdict == verdict;
      }));
}

std::optional<review::Level> worst(const ReviewResult& result) {
  std::optional<review::Level> level;
  const auto raise = [&](review::Level to) { level = level ? std::max(*level, to) : to; };
  for (const Judgement& one : result.judgements) {
    if (one.verdict != Verdict::met && one.verdict != Verdict::not_applicable) {
      raise(review::level(one));
    }
  }
  for (const review::Record& record : result.arithmetic) {
    for (const review::Refigured& figure : record.figures) {
      if (figure.agreement != review::Agreement::agrees) {
        raise(figure.agreement == review::Agreement::beyond_band ||
                      figure.agreement == review::Agreement::differs
                  ? review::Level::warn
                  : review::Level::note);
      }
    }
  }
  return level;
}

}  // namespace ductledger::study
