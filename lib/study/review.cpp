#include "study/review.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

#include "study/branches.hpp"
#include "study/case.hpp"

namespace ductledger::study {

using rules::Judgement;
using rules::Verdict;

std::vector<std::string> default_rule_sets() {
  return {"irc-2021", "combustion-safety", "common-practice"};
}

namespace {

bool same_limits(const rules::Rule& a, const rules::Rule& b) {
  const auto same = [](const std::vector<rules::Limit>& x, const std::vector<rules::Limit>& y) {
    return std::ranges::equal(x, y, [](const rules::Limit& p, const rules::Limit& q) {
      return p.fact == q.fact && p.op == q.op && p.value_si == q.value_si && p.words == q.words &&
             p.bound_by == q.bound_by;
    });
  };
  return same(a.when, b.when) && same(a.limits, b.limits) && same(a.unless, b.unless) &&
         same(a.open_when, b.open_when) && a.check == b.check && a.numbers == b.numbers &&
         a.words == b.words && a.applies_to == b.applies_to;
}

std::vector<RuleChange> changes(const rules::RuleSet& base, const rules::RuleSet& own) {
  std::vector<RuleChange> list;
  for (const rules::Rule& rule : base.rules) {
    const auto found = std::ranges::find(own.rules, rule.id, &rules::Rule::id);
    if (found != own.rules.end() && same_limits(rule, *found)) {
      continue;
    }
    RuleChange change{.set = own.id,
                      .rule = rule.id,
                      .by_default = rules::requirement_words(rule).text(units::System::ip),
                      .requested = {},
                      .bounds = rules::bound_words(rule),
                      .requested_bounds = {}};
    if (found != own.rules.end()) {
      change.requested = rules::requirement_words(*found).text(units::System::ip);
      change.requested_bounds = rules::bound_words(*found);
    }
    list.push_back(std::move(change));
  }
  return list;
}

}  // namespace

ReviewAsked with_requested(const std::vector<rules::RuleSet>& defaults,
                           const std::vector<rules::RuleSet>& requested) {
  ReviewAsked asked;
  std::vector<rules::RuleSet> all = defaults;
  for (const rules::RuleSet& own : requested) {
    asked.requested.push_back(own.id);
    if (std::ranges::find(defaults, own.id, &rules::RuleSet::id) != defaults.end()) {
      continue;
    }
    for (const rules::RuleSet& base : defaults) {
      if (std::ranges::find(own.extends, base.id) != own.extends.end()) {
        std::ranges::move(changes(base, own), std::back_inserter(asked.changes));
      }
    }
    all.push_back(own);
  }
  asked.sets = std::make_shared<const std::vector<rules::RuleSet>>(std::move(all));
  return asked;
}

base::Checked<ReviewResult> review(layout::Layout layout,
                                   const fitting::Catalogue& catalogue,
                                   const ReviewAsked& asked) {
  if (!layout.branches.empty()) {
    return check_network(std::move(layout), catalogue).transform([&](const NetworkResult& network) {
      // Stated figures and arithmetic handed in speak of one run: none are compared here.
      return ReviewResult{.check = as_single(network),
                          .sets = asked.sets,
                          .sets_by_default = asked.sets_by_default,
                          .requested = asked.requested,
                          .changes = asked.changes,
                          .judgements = judge_network(*asked.sets, network, catalogue),
                          .arithmetic = {},
                          .overrides = {}};
    });
  }
  return check(std::move(layout), catalogue).transform([&](CheckResult calculated) {
    ReviewResult result{.check = std::move(calculated),
                        .sets = asked.sets,
                        .sets_by_default = asked.sets_by_default,
                        .requested = asked.requested,
                        .changes = asked.changes,
                        .judgements = {},
                        .arithmetic = {},
                        .overrides = {}};
    const result::Case subject = as_case(result.check, catalogue);
    result.judgements = rules::judge(*result.sets, subject);
    result.arithmetic = rules::recalculate(subject);
    result.overrides = rules::overrides(subject);
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
    if (!record.off_curve.empty()) {
      raise(findings::Level::warn);
    }
    for (const rules::Refigured& figure : record.figures) {
      if (figure.agreement != rules::Agreement::agrees) {
        raise(rules::differs(figure) ? findings::Level::warn : findings::Level::note);
      }
    }
  }
  for (const rules::Override& one : result.overrides) {
    raise(one.level);
  }
  return level;
}

}  // namespace ductledger::study
