#include "study/review_change.hpp"

#include <algorithm>
#include <tuple>

namespace ductledger::study {
namespace {

using rules::Judgement;
using rules::Verdict;

bool objects(const Judgement* one) {
  return one != nullptr && (one->verdict == Verdict::not_met || one->verdict == Verdict::not_shown);
}

bool settled(const Judgement* one) {
  return one != nullptr &&
         (one->verdict == Verdict::met || one->verdict == Verdict::not_applicable);
}

bool same_set(const rules::RuleSet& a, const rules::RuleSet& b) {
  const auto extends = [](const rules::RuleSet& own, const std::string& id) {
    return std::ranges::find(own.extends, id) != own.extends.end();
  };
  return a.id == b.id || extends(a, b.id) || extends(b, a.id);
}

const Judgement* partner(const Judgement& of, const ReviewResult& other) {
  const Judgement* near = nullptr;
  for (const Judgement& one : other.judgements) {
    if (one.rule->id != of.rule->id) {
      continue;
    }
    if (one.set->id == of.set->id) {
      return &one;
    }
    near = near == nullptr && same_set(*one.set, *of.set) ? &one : near;
  }
  return near;
}

bool same_words(const Judgement& a, const Judgement& b) {
  return a.said == b.said && a.remarks == b.remarks;
}

std::optional<Became> kind_of(const Judgement* before, const Judgement* now) {
  if (before != nullptr && now != nullptr && before->verdict == now->verdict) {
    const bool other_facts = now->verdict != Verdict::not_applicable && !same_words(*before, *now);
    return other_facts ? std::optional(Became::changed) : std::nullopt;
  }
  if (objects(now) && !objects(before)) {
    return Became::added;
  }
  if (objects(before) && settled(now)) {
    return Became::cleared;
  }
  const bool silent = (before == nullptr && settled(now)) || (now == nullptr && settled(before)) ||
                      (settled(before) && settled(now));
  return silent ? std::nullopt : std::optional(Became::changed);
}

struct Told {
  std::string code;
  units::Message said;
};

/// What stands beside the rules and is more than a note.
std::vector<Told> told(const ReviewResult& result) {
  std::vector<Told> all;
  for (const findings::Finding& one : result.check.findings) {
    if (one.level != findings::Level::note) {
      all.push_back({one.code, one.message});
    }
  }
  for (const rules::Override& one : result.overrides) {
    all.push_back({"stated", one.said});
  }
  for (const rules::Record& record : result.arithmetic) {
    for (const rules::Refigured& figure : record.figures) {
      if (rules::differs(figure)) {
        all.push_back({"handed-in",
                       {std::string(figure.what) + " handed in: {}, beyond the band",
                        {{figure.submitted, figure.dimension}}}});
      }
    }
    if (!record.off_curve.empty()) {
      all.push_back({"handed-in", record.off_curve});
    }
  }
  return all;
}

/// A finding is the same while its code is told as often; the figures in its words may move.
void add_remarks(const std::vector<Told>& from,
                 const std::vector<Told>& against,
                 Became kind,
                 std::vector<RemarkChange>& into) {
  for (const Told& one : from) {
    const bool known = std::ranges::any_of(against, [&](const Told& other) {
      const bool by_code = one.code != "stated" && one.code != "handed-in";
      return other.code == one.code && (by_code || other.said == one.said);
    });
    if (!known) {
      into.push_back({.kind = kind, .code = one.code, .said = one.said});
    }
  }
}

}  // namespace

std::size_t ReviewChanges::count(Became kind) const {
  return static_cast<std::size_t>(std::ranges::count(rules, kind, &JudgementChange::kind));
}

ReviewChanges review_changes(const ReviewResult& before, const ReviewResult& now) {
  ReviewChanges all;
  all.same_bytes =
      !now.check.layout.sha256.empty() && now.check.layout.sha256 == before.check.layout.sha256;
  for (const Judgement& one : now.judgements) {
    const Judgement* was = partner(one, before);
    if (const auto kind = kind_of(was, &one)) {
      all.rules.push_back({.kind = *kind, .before = was, .now = &one});
    }
  }
  for (const Judgement& one : before.judgements) {
    if (partner(one, now) == nullptr) {
      if (const auto kind = kind_of(&one, nullptr)) {
        all.rules.push_back({.kind = *kind, .before = &one, .now = nullptr});
      }
    }
  }
  std::ranges::stable_sort(all.rules, {}, [](const JudgementChange& one) {
    const Judgement& shown = one.now != nullptr ? *one.now : *one.before;
    return std::make_tuple(one.kind, shown.verdict);
  });
  const std::vector<Told> earlier = told(before);
  const std::vector<Told> later = told(now);
  add_remarks(later, earlier, Became::added, all.remarks);
  add_remarks(earlier, later, Became::cleared, all.remarks);
  return all;
}

}  // namespace ductledger::study
