#pragma once

#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/checked.hpp"
#include "base/words.hpp"
#include "findings/finding.hpp"
#include "layout/layout.hpp"

/// Published requirements as data: one YAML file a rule in `rules/`, with a row for each code and
/// edition that holds it. docs/rules-format.md explains the files.
namespace ductledger::rules {

enum class Op { min, max, above, below, equals, one_of, required, forbidden };
inline constexpr auto kOpWords = base::words<Op>({{Op::min, "min"},
                                                  {Op::max, "max"},
                                                  {Op::above, "above"},
                                                  {Op::below, "below"},
                                                  {Op::equals, "equals"},
                                                  {Op::one_of, "one_of"},
                                                  {Op::required, "required"},
                                                  {Op::forbidden, "forbidden"}});
[[nodiscard]] constexpr const char* word(Op op) { return kOpWords.of(op); }

/// A bound on one fact.
struct Limit {
  std::size_t fact = 0;  ///< in `facts()`
  Op op = Op::min;
  double value_si = 0.0;                ///< min, max, above, below, equals of a quantity
  std::vector<std::string> words;       ///< one_of, equals, forbidden of a word
  std::optional<std::size_t> bound_by;  ///< the bound is what this fact states, in `facts()`
  base::Span span;                      ///< in the rule's file
};

/// How a source was read; `memory` is always told in a result.
enum class SourceStatus { seen, memory, stated, common_practice };
inline constexpr auto kSourceStatusWords =
    base::words<SourceStatus>({{SourceStatus::seen, "seen"},
                               {SourceStatus::memory, "memory"},
                               {SourceStatus::stated, "stated"},
                               {SourceStatus::common_practice, "common practice"}});
[[nodiscard]] constexpr const char* word(SourceStatus status) {
  return kSourceStatusWords.of(status);
}

/// A rule as an earlier set had it, before another changed it.
struct Earlier {
  std::string set;
  std::string cited;
  std::string requirement;
  units::Message bounds;
};

/// A requirement as one edition has it.
struct Rule {
  std::string id;
  std::string title;
  std::string topic;
  std::string requirement;
  std::vector<layout::ApplianceKind> applies_to;  ///< empty: every appliance
  std::vector<Limit> when;                        ///< all must hold, or the rule does not apply
  std::vector<Limit> limits;                      ///< all must hold
  std::vector<Limit> unless;                      ///< any one lifts the limits
  std::vector<Limit> open_when;  ///< where no limit is broken, any one leaves it to the authority
  std::string check;             ///< a check in code, by name; may be empty
  std::map<std::string, double, std::less<>> numbers;     ///< what the check is given, SI
  std::map<std::string, std::string, std::less<>> words;  ///< the same, words
  std::vector<std::string> exceptions;                    ///< that no fact shows, in words
  std::vector<std::string> authority;                     ///< what only the authority can decide
  std::string mend;
  std::string on_site;           ///< what to look at on site; may be empty
  std::string code_title;        ///< of the set it was taken over from; empty: the set's own
  std::string from;              ///< id of that set; empty: the set's own
  std::vector<Earlier> earlier;  ///< what it replaces, the oldest first
  bool bound_changed = false;    ///< its bounds are its own, its sentence is that of the base
  std::string section;
  bool section_recalled = false;  ///< the rule was seen, its number in this edition was not
  SourceStatus status = SourceStatus::seen;
  std::string source;  ///< key of a source, or empty
  std::string note;
  base::SourcePtr file;
  base::Span span;
};

/// Rules that are judged together, under one name.
struct RuleSet {
  std::string id;     ///< `irc-2021`
  std::string code;   ///< `International Residential Code`
  std::string title;  ///< `International Residential Code 2021`
  std::string note;
  bool advice = false;  ///< trade practice: what is not met is a note, never more
  std::vector<std::string> extends;
  std::vector<Rule> rules;
};

struct RuleSource {
  std::string key;
  std::string title;
  std::string page;
};

/// Everything that a rule asks: its bounds, or what its check is given.
[[nodiscard]] units::Message bound_words(const Rule& rule);
/// Its sentence; of a rule whose bounds another set changed, those bounds.
[[nodiscard]] units::Message requirement_words(const Rule& rule);

/// `International Residential Code 2021, M1504.3`.
[[nodiscard]] std::string citation(const RuleSet& set, const Rule& rule);
/// The citation with what is not verified of it, as every line of every view has it.
[[nodiscard]] std::string cited(const RuleSet& set, const Rule& rule);
/// What a recalled rule or number adds to its citation; empty where both were seen.
[[nodiscard]] std::string_view not_verified(const Rule& rule) noexcept;

/// The sets compiled into the program, read once.
[[nodiscard]] const std::vector<RuleSet>& built_in_rule_sets();
[[nodiscard]] const std::vector<RuleSource>& rule_sources();
[[nodiscard]] const RuleSet* find_built_in(std::string_view id);

/// Hands out the text of a user's rule file, by the name that the layout, the command line or
/// another rule file gives it. @param from the file that names it; empty: the command line
struct RuleFileAsked {
  std::string name;
  std::string from;
};
using RuleFileLoader = std::function<base::Checked<base::SourcePtr>(const RuleFileAsked&)>;

/// A name of a rule set and where it was written.
struct RuleSetName {
  std::string name;
  base::SourcePtr source;  ///< null: the command line
  base::Span span;
};

/// The sets by these names: built-in ids, or files that end in `.yaml` or `.yml`. A file that
/// extends a set of the list takes that set's place. All independent faults in one pass.
[[nodiscard]] base::Checked<std::vector<RuleSet>> select_rule_sets(
    std::span<const RuleSetName> names, const RuleFileLoader& load);

/// One user's file, with what it extends.
[[nodiscard]] base::Checked<RuleSet> read_rule_set(const base::SourcePtr& text,
                                                   const RuleFileLoader& load);

}  // namespace ductledger::rules
