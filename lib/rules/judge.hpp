#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "rules/fact.hpp"
#include "rules/rule.hpp"

/// Judges a calculated layout by rule sets. The words are met, not met, not shown: what a file
/// shows is no approval.
namespace ductledger::rules {

enum class Verdict { not_met, not_shown, authority, met, not_applicable };
inline constexpr auto kVerdictWords =
    base::words<Verdict>({{Verdict::not_met, "not met"},
                          {Verdict::not_shown, "not shown"},
                          {Verdict::authority, "for the authority"},
                          {Verdict::met, "met"},
                          {Verdict::not_applicable, "not applicable"}});
[[nodiscard]] constexpr const char* word(Verdict verdict) { return kVerdictWords.of(verdict); }

enum class Truth { no, unknown, yes };

/// One limit asked of the layout.
struct Test {
  Limit limit;
  Truth truth = Truth::unknown;
  bool within_band = false;        ///< unknown because the limit lies inside the value's band
  bool bound_missing = false;      ///< unknown because the fact that bounds it is not stated
  std::optional<FactValue> value;  ///< the one that decided; none: not stated
};

/// What a rule says of a layout.
struct Judgement {
  const RuleSet* set = nullptr;
  const Rule* rule = nullptr;
  Verdict verdict = Verdict::not_shown;
  units::Message said;  ///< what was seen, against what
  std::vector<units::Message> remarks;
  std::vector<Test> tests;
  std::vector<findings::NamedValue> observed;  ///< of a check in code
  std::vector<findings::NamedValue> limit;
  std::vector<std::size_t> missing;  ///< facts that would settle it
  base::Span span;                   ///< in the layout; line 0: none
};

[[nodiscard]] findings::Level level(const Judgement& judgement) noexcept;

[[nodiscard]] Test test(const Limit& limit, const result::Case& subject);
[[nodiscard]] Judgement judge(const RuleSet& set, const Rule& rule, const result::Case& subject);
/// Every rule of every set, in the order of the sets. @param sets must outlive the result
[[nodiscard]] std::vector<Judgement> judge(std::span<const RuleSet> sets,
                                           const result::Case& subject);

/// A check that a rule file may name: what limits on facts cannot say.
struct RuleCheckParameter {
  const char* name;
  FactKind kind;
  units::Dimension dimension;
  const char* words;      ///< kind word: those there are, blanks between
  bool optional = false;  ///< the check says what holds without it
};
struct RuleCheck {
  const char* name;
  const char* what;
  std::span<const RuleCheckParameter> parameters;
  /// Sets verdict, said, remarks, observed, limit, missing and span; set and rule are there.
  void (*judge)(const result::Case& subject, Judgement& judgement);
};
[[nodiscard]] std::span<const RuleCheck> rule_checks();
[[nodiscard]] const RuleCheck* find_rule_check(std::string_view name);

}  // namespace ductledger::rules
