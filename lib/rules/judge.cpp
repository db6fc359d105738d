#include "rules/judge.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"
#include "rules/judge_internal.hpp"

namespace ductledger::rules {
namespace {

/// Figures as printed in one unit and read in another are equal within this.
constexpr double kRelativeRounding = 1e-6;

Truth in_bound(const Limit& limit, double value_si) {
  const double slack = kRelativeRounding * std::abs(limit.value_si) + 1e-12;
  bool holds = false;
  switch (limit.op) {
    case Op::min:
      holds = value_si >= limit.value_si - slack;
      break;
    case Op::max:
      holds = value_si <= limit.value_si + slack;
      break;
    case Op::above:
      holds = value_si > limit.value_si + slack;
      break;
    case Op::below:
      holds = value_si < limit.value_si - slack;
      break;
    default:
      holds = std::abs(value_si - limit.value_si) <= slack;
      break;
  }
  return holds ? Truth::yes : Truth::no;
}

Truth truth(const Limit& limit, const FactValue& value, bool& within_band) {
  const Fact& fact = facts()[limit.fact];
  if (fact.kind == FactKind::yes_no) {
    return value.yes == (limit.op == Op::required) ? Truth::yes : Truth::no;
  }
  if (fact.kind == FactKind::word) {
    const bool listed_word =
        std::find(limit.words.begin(), limit.words.end(), value.word) != limit.words.end();
    return listed_word != (limit.op == Op::forbidden) ? Truth::yes : Truth::no;
  }
  const Truth middle = in_bound(limit, value.si);
  if (!value.band || limit.op == Op::equals) {
    return middle;
  }
  // A value is shown to meet a limit only where its whole band does.
  if (in_bound(limit, value.band->low) == middle && in_bound(limit, value.band->high) == middle) {
    return middle;
  }
  within_band = true;
  return Truth::unknown;
}

std::vector<Test> tests(const std::vector<Limit>& limits, const result::Case& subject) {
  std::vector<Test> all;
  all.reserve(limits.size());
  for (const Limit& limit : limits) {
    all.push_back(test(limit, subject));
  }
  return all;
}

/// A limit is never met by what was assumed.
std::vector<Test> shown(std::vector<Test> limits) {
  for (Test& one : limits) {
    if (one.truth == Truth::yes && one.value && one.value->basis == Basis::assumed) {
      one.truth = Truth::unknown;
    }
  }
  return limits;
}

bool any(const std::vector<Test>& all, Truth truth) {
  return std::any_of(all.begin(), all.end(), [&](const Test& one) { return one.truth == truth; });
}

const Test* first(const std::vector<Test>& all, Truth truth) {
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Test& one) { return one.truth == truth; });
  return found == all.end() ? nullptr : &*found;
}

void add_missing(const std::vector<Test>& all, Judgement& judgement) {
  for (const Test& one : all) {
    if (one.truth == Truth::unknown && !one.within_band) {
      ask_for(facts()[one.bound_missing ? *one.limit.bound_by : one.limit.fact].name, judgement);
    }
  }
}

units::Message::Value shown(const Limit& limit, double si) {
  return {si, facts()[limit.fact].dimension};
}

units::Message value_words(const Test& test) {
  const Fact& fact = facts()[test.limit.fact];
  if (!test.value) {
    return {"not stated", {}};
  }
  if (fact.kind == FactKind::yes_no) {
    return {test.value->yes ? "yes" : "no", {}};
  }
  if (fact.kind == FactKind::word) {
    return {findings::literal(test.value->word), {}};
  }
  return quantity_words(*test.value, fact.dimension);
}

units::Message plain_bound_words(const Limit& limit) {
  const std::string or_words = findings::literal(base::joined(limit.words));
  switch (limit.op) {
    case Op::min:
      return {"at least {}", {shown(limit, limit.value_si)}};
    case Op::max:
      return {"at most {}", {shown(limit, limit.value_si)}};
    case Op::above:
      return {"more than {}", {shown(limit, limit.value_si)}};
    case Op::below:
      return {"less than {}", {shown(limit, limit.value_si)}};
    case Op::equals:
      return limit.words.empty() ? units::Message{"{}", {shown(limit, limit.value_si)}}
                                 : units::Message{or_words, {}};
    case Op::one_of:
      return {or_words, {}};
    case Op::required:
      return {"yes", {}};
    case Op::forbidden:
      break;
  }
  return limit.words.empty() ? units::Message{"no", {}} : units::Message{"not " + or_words, {}};
}

units::Message bound_words(const Limit& limit) {
  units::Message words = plain_bound_words(limit);
  if (limit.bound_by) {
    findings::append(words, {", the " + findings::literal(facts()[*limit.bound_by].spoken), {}});
  }
  return words;
}

units::Message sentence(const Test& test) {
  units::Message words{findings::literal(facts()[test.limit.fact].spoken) + ": ", {}};
  findings::append(words, value_words(test));
  if (test.value && test.value->basis != Basis::worked_out) {
    findings::append(words, {" (" + findings::literal(basis_words(*test.value)) + ")", {}});
  }
  findings::append(words, {"; required: ", {}});
  findings::append(words, bound_words(test.limit));
  if (test.within_band) {
    findings::append(words, {", which lies inside the band", {}});
  }
  return words;
}

void place(const std::vector<Test>& all, Judgement& judgement) {
  for (const Test& one : all) {
    if (one.value && one.value->span.line > 0) {
      judgement.span = one.value->span;
      return;
    }
  }
}

void say_all(const std::vector<Test>& all, Judgement& judgement) {
  for (const Test& one : all) {
    findings::append(judgement.said, {judgement.said.empty() ? "" : ". ", {}});
    findings::append(judgement.said, sentence(one));
  }
}

void say_missing(Judgement& judgement) {
  std::vector<std::string> nouns;
  for (const std::size_t fact : judgement.missing) {
    nouns.emplace_back(facts()[fact].spoken);
  }
  findings::append(judgement.said,
                   {std::string(judgement.said.empty() ? "" : ". ") +
                        "not stated: " + findings::literal(findings::listed(nouns)),
                    {}});
}

void say(const Test& one, Judgement& judgement) {
  findings::append(judgement.said, {judgement.said.empty() ? "" : ". ", {}});
  findings::append(judgement.said, sentence(one));
  if (one.value && one.value->span.line > 0) {
    judgement.span = one.value->span;
  }
}

/// Every broken limit: who mends the first alone would come back with the second.
void say_broken(const std::vector<Test>& limits, Judgement& judgement) {
  for (const Test& one : limits) {
    if (one.truth == Truth::no) {
      say(one, judgement);
    }
  }
  if (const Test* worst = first(limits, Truth::no); worst->value && worst->value->span.line > 0) {
    judgement.span = worst->value->span;
  }
}

/// The tests of one rule.
struct Tests {
  std::vector<Test> when;
  std::vector<Test> limits;
  std::vector<Test> unless;
  std::vector<Test> open_when;
};

/// What a person decides: a rule without a limit.
void leave_to_authority(const Tests& tests, Judgement& judgement) {
  judgement.verdict = Verdict::authority;
  add_missing(tests.when, judgement);
  if (!judgement.missing.empty()) {
    std::vector<std::string> nouns;
    for (const std::size_t fact : judgement.missing) {
      nouns.push_back(facts()[fact].spoken);
    }
    judgement.remarks.push_back({"whether it applies is not shown: not stated: " +
                                     findings::literal(findings::listed(nouns)),
                                 {}});
  }
}

/// A broken limit is not met only where all is stated that could lift it, or let the rule rest.
void judge_broken(const Tests& tests, Judgement& judgement) {
  say_broken(tests.limits, judgement);
  add_missing(tests.unless, judgement);
  add_missing(tests.when, judgement);
  if (judgement.missing.empty()) {
    judgement.verdict = Verdict::not_met;
    return;
  }
  judgement.verdict = Verdict::not_shown;
  std::vector<std::string> nouns;
  for (const std::size_t fact : judgement.missing) {
    nouns.emplace_back("`" + facts()[fact].key + "`");
  }
  findings::append(judgement.said,
                   {". Cannot judge until " + findings::literal(findings::listed(nouns)) +
                        (nouns.size() == 1 ? " is stated" : " are stated"),
                    {}});
}

void say_not_shown(const Tests& tests, Judgement& judgement) {
  judgement.verdict = Verdict::not_shown;
  for (const Test& one : tests.limits) {
    if (one.within_band) {
      say(one, judgement);
    }
  }
  add_missing(tests.limits, judgement);
  add_missing(tests.when, judgement);
  if (!judgement.missing.empty()) {
    say_missing(judgement);
  }
}

void judge_limits(const Tests& tests, Judgement& judgement) {
  const std::vector<Test>& limits = tests.limits;
  const Test* open = first(tests.open_when, Truth::yes);
  if (limits.empty() && open == nullptr) {
    leave_to_authority(tests, judgement);
    return;
  }
  place(limits, judgement);
  const Test* lifted = first(tests.unless, Truth::yes);
  const bool broken = any(limits, Truth::no);
  if (open != nullptr && !broken) {
    judgement.verdict = Verdict::authority;
    say(*open, judgement);
    findings::append(judgement.said, {": the text leaves this open", {}});
  } else if (!broken && !any(limits, Truth::unknown)) {
    judgement.verdict = Verdict::met;
    say_all(limits, judgement);
  } else if (lifted != nullptr) {
    judgement.verdict = Verdict::met;
    say(*lifted, judgement);
    findings::append(judgement.said, {", which lifts the limit", {}});
  } else if (broken) {
    judge_broken(tests, judgement);
  } else {
    say_not_shown(tests, judgement);
  }
}

}  // namespace

units::Message quantity_words(const FactValue& value, units::Dimension dimension) {
  if (value.is_bound && value.band) {
    return findings::band_words(*value.band, dimension);
  }
  units::Message words{"{}", {{value.si, dimension}}};
  if (value.band) {
    findings::append(words, {" (", {}});
    findings::append(words, findings::band_words(*value.band, dimension));
    findings::append(words, {")", {}});
  }
  return words;
}

findings::Level level(const Judgement& judgement) noexcept {
  if (judgement.set != nullptr && judgement.set->advice) {
    return findings::Level::note;
  }
  switch (judgement.verdict) {
    case Verdict::not_met:
      return findings::Level::fail;
    case Verdict::not_shown:
      return findings::Level::warn;
    default:
      break;
  }
  return findings::Level::note;
}

units::Message bound_words(const Rule& rule) {
  units::Message words;
  const auto next = [&](const std::string& name) {
    findings::append(words,
                     {std::string(words.empty() ? "" : "; ") + findings::literal(name) + ": ", {}});
  };
  for (const Limit& limit : rule.limits) {
    next(facts()[limit.fact].spoken);
    findings::append(words, bound_words(limit));
  }
  const RuleCheck* check = find_rule_check(rule.check);
  for (std::size_t i = 0; check != nullptr && i < check->parameters.size(); ++i) {
    const RuleCheckParameter& parameter = check->parameters[i];
    const auto number = rule.numbers.find(parameter.name);
    const auto chosen = rule.words.find(parameter.name);
    std::string name = parameter.name;
    std::ranges::replace(name, '_', ' ');
    if (number != rule.numbers.end()) {
      next(name);
      findings::append(words, {"{}", {{number->second, parameter.dimension}}});
    } else if (chosen != rule.words.end()) {
      next(name);
      findings::append(words, {findings::literal(chosen->second), {}});
    }
  }
  for (const Limit& limit : rule.unless) {
    next("lifted by " + facts()[limit.fact].spoken);
    findings::append(words, bound_words(limit));
  }
  return words;
}

units::Message requirement_words(const Rule& rule) {
  if (!rule.bound_changed) {
    return {findings::literal(rule.requirement), {}};
  }
  units::Message words = bound_words(rule);
  if (words.empty()) {
    return {findings::literal(rule.title) + ": nothing that a file could show", {}};
  }
  findings::append(
      words, {", in place of what " + findings::literal(rule.earlier.back().set) + " states", {}});
  return words;
}

void ask_for(std::string_view fact, Judgement& judgement) {
  const std::optional<std::size_t> index = find_fact(fact);
  if (index && std::find(judgement.missing.begin(), judgement.missing.end(), *index) ==
                   judgement.missing.end()) {
    judgement.missing.push_back(*index);
  }
}

Test test(const Limit& asked, const result::Case& subject) {
  Limit limit = asked;
  Test result;
  if (limit.bound_by) {
    const std::vector<FactValue> bound = fact_values(*limit.bound_by, subject);
    result.bound_missing = bound.empty();
    limit.value_si = bound.empty() ? 0.0 : bound.front().si;
  }
  result.limit = limit;
  if (result.bound_missing) {
    return result;
  }
  const std::vector<FactValue> values = fact_values(limit.fact, subject);
  if (values.empty()) {
    return result;
  }
  // Over all pieces the worst value decides, among several names the best.
  const bool best = facts()[limit.fact].over == Over::any && limit.op != Op::forbidden;
  bool first_one = true;
  for (const FactValue& value : values) {
    bool within_band = false;
    const Truth one = truth(limit, value, within_band);
    if (first_one || (best ? one > result.truth : one < result.truth)) {
      result.truth = one;
      result.value = value;
      result.within_band = within_band;
    }
    first_one = false;
  }
  return result;
}

Judgement judge(const RuleSet& set, const Rule& rule, const result::Case& subject) {
  Judgement judgement;
  judgement.set = &set;
  judgement.rule = &rule;
  const layout::ApplianceKind kind = subject.layout->appliance.kind;
  if (!rule.applies_to.empty() &&
      std::find(rule.applies_to.begin(), rule.applies_to.end(), kind) == rule.applies_to.end()) {
    judgement.verdict = Verdict::not_applicable;
    judgement.said = {std::string("not for appliance kind ") + layout::word(kind), {}};
    return judgement;
  }
  const std::vector<Test> when = tests(rule.when, subject);
  judgement.tests = when;
  if (const Test* other = first(when, Truth::no)) {
    judgement.verdict = Verdict::not_applicable;
    say(*other, judgement);
    return judgement;
  }
  if (const RuleCheck* check = find_rule_check(rule.check)) {
    check->judge(subject, judgement);
    if (any(when, Truth::unknown) && judgement.verdict != Verdict::met &&
        judgement.verdict != Verdict::not_applicable) {
      judgement.verdict = Verdict::not_shown;
      add_missing(when, judgement);
    }
  } else {
    const Tests all{when,
                    shown(tests(rule.limits, subject)),
                    tests(rule.unless, subject),
                    tests(rule.open_when, subject)};
    for (const std::vector<Test>* list : {&all.limits, &all.unless, &all.open_when}) {
      judgement.tests.insert(judgement.tests.end(), list->begin(), list->end());
    }
    judge_limits(all, judgement);
  }
  if (judgement.verdict == Verdict::authority && judgement.said.empty()) {
    judgement.said = {findings::literal(base::joined(rule.authority, "and")), {}};
  }
  return judgement;
}

std::vector<Judgement> judge(std::span<const RuleSet> sets, const result::Case& subject) {
  std::vector<Judgement> all;
  for (const RuleSet& set : sets) {
    for (const Rule& rule : set.rules) {
      all.push_back(judge(set, rule, subject));
    }
  }
  return all;
}

}  // namespace ductledger::rules
