#include "words/review.hpp"

#include <fmt/format.h>

#include <vector>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"

namespace ductledger::words {

using rules::Verdict;

std::string counts(const study::ReviewResult& result) {
  const auto number = [&](Verdict verdict) { return study::count(result, verdict); };
  std::size_t rules = 0;
  for (const rules::RuleSet& set : *result.sets) {
    rules += set.rules.size();
  }
  // A handful of rules, or none that applies, is no review: said before any count.
  constexpr std::size_t kFewRules = 10;
  const bool judged = number(Verdict::not_applicable) < result.judgements.size();
  std::string few;
  if (!judged) {
    few = "Nothing was judged: no rule of these sets applies. ";
  } else if (rules < kFewRules) {
    few = fmt::format("Only {} rules were judged, no whole code. ", rules);
  }
  const std::size_t differing = rules::count_differing(result.arithmetic);
  return few +
         fmt::format("{} not met, {} not shown, {} for the authority, {} met, {} not applicable{}.",
                     number(Verdict::not_met),
                     number(Verdict::not_shown),
                     number(Verdict::authority),
                     number(Verdict::met),
                     number(Verdict::not_applicable),
                     differing == 0 ? std::string()
                     : differing == 1
                         ? "; 1 figure handed in differs beyond the band"
                         : fmt::format("; {} figures handed in differ beyond the band", differing));
}

std::string calculated(const rules::Refigured& figure, units::System system) {
  if (figure.ours) {
    return units::display(*figure.ours, figure.dimension, system);
  }
  return figure.band ? findings::band_words(*figure.band, figure.dimension).text(system)
                     : std::string();
}

std::string set_names(const study::ReviewResult& result) {
  std::vector<std::string> names;
  for (const rules::RuleSet& set : *result.sets) {
    names.push_back(set.id);
  }
  return base::escaped(base::joined(names, "and"));
}

std::string to_do(const rules::Judgement& point) {
  std::vector<std::string> keys;
  for (const std::size_t fact : point.missing) {
    const rules::Fact& asked = rules::facts()[fact];
    keys.push_back("`" + (asked.key.empty() ? asked.name : asked.key) + "`");
  }
  std::string state = keys.empty() ? std::string() : "state " + base::joined(keys, "and");
  if (point.verdict == Verdict::not_shown && !state.empty()) {
    return state;
  }
  const std::string& mend = point.rule->mend;
  if (point.verdict == Verdict::not_shown) {
    return mend.empty() ? "show it" : "show it, or " + mend;
  }
  return mend.empty() ? "change the layout" : mend;
}

const char* letter_preface() noexcept {
  return "By the file named here the points below are not met or not shown. They stand code by "
         "code, in the order in which a layout is mended: where the duct goes and ends first, then "
         "the duct, then the airflow and what it asks for.";
}

const char* letter_end() noexcept {
  return "What this letter does not list was not found to be at fault by this file, and is not "
         "approved by that. The adopted code text governs; the authority having jurisdiction "
         "decides. This is no permit and no certificate.";
}

std::string changes(const study::ReviewChanges& changes) {
  if (changes.same_bytes) {
    return "Both files hold the same.";
  }
  return fmt::format("{} new, {} changed, {} cleared.",
                     changes.count(study::Became::added),
                     changes.count(study::Became::changed),
                     changes.count(study::Became::cleared));
}

std::string verdicts(const study::JudgementChange& change) {
  const std::string was =
      change.before != nullptr ? word(change.before->verdict) : std::string("not judged");
  if (change.now == nullptr) {
    return "was " + was + ", is judged no more";
  }
  return was == word(change.now->verdict) ? "still " + was
                                          : "was " + was + ", is " + word(change.now->verdict);
}

}  // namespace ductledger::words
