#include "text/explain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "findings/finding.hpp"
#include "rules/judge.hpp"
#include "text/page.hpp"

namespace ductledger::text {
namespace {

using rules::Limit;
using rules::Op;
using rules::Rule;
using rules::RuleSet;

std::string amount(const Limit& limit, units::System system) {
  return units::display(limit.value_si, rules::facts()[limit.fact].dimension, system);
}

std::string said(const Limit& limit, units::System system) {
  const rules::Fact& fact = rules::facts()[limit.fact];
  const std::string noun = fact.spoken;
  switch (limit.op) {
    case Op::min:
      return noun + " at least " + amount(limit, system);
    case Op::max:
      return noun + " at most " + amount(limit, system);
    case Op::above:
      return noun + " more than " + amount(limit, system);
    case Op::below:
      return noun + " less than " + amount(limit, system);
    case Op::equals:
      return limit.words.empty() ? noun + " " + amount(limit, system)
                                 : noun + " " + base::joined(limit.words);
    case Op::one_of:
      return noun + " " + base::joined(limit.words);
    case Op::required:
      return noun + ": yes";
    case Op::forbidden:
      break;
  }
  return limit.words.empty() ? noun + ": no" : noun + " not " + base::joined(limit.words);
}

std::string said(const std::vector<Limit>& limits, units::System system, std::string_view last) {
  std::vector<std::string> words;
  for (const Limit& limit : limits) {
    words.push_back(said(limit, system));
  }
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    text += i == 0 ? "" : i + 1 == words.size() ? fmt::format(" {} ", last) : "; ";
    text += words[i];
  }
  return text;
}

/// A rule as one or several sets have it.
struct Held {
  const RuleSet* set = nullptr;
  const Rule* rule = nullptr;
};

std::vector<Held> held_by(std::string_view id, std::span<const RuleSet> sets) {
  std::vector<Held> all;
  for (const RuleSet& set : sets) {
    for (const Rule& rule : set.rules) {
      if (rule.id == id) {
        all.push_back({&set, &rule});
      }
    }
  }
  return all;
}

std::string basis(const Held& held) {
  std::string text = fmt::format("{}: {}", held.set->id, rules::citation(*held.set, *held.rule));
  if (held.rule->status == rules::SourceStatus::memory) {
    text += "; recalled; number in this edition not verified";
  } else if (held.rule->status == rules::SourceStatus::seen) {
    const auto& sources = rules::rule_sources();
    const auto source =
        std::find_if(sources.begin(), sources.end(), [&](const rules::RuleSource& one) {
          return one.key == held.rule->source;
        });
    if (source != sources.end()) {
      text += fmt::format("; read in {} ({})", source->title, source->page);
    }
    text += held.rule->section_recalled ? "; number in this edition not verified" : "";
  }
  if (!held.rule->note.empty()) {
    text += "; " + held.rule->note;
  }
  return text;
}

std::string asks(const Rule& rule, units::System system) {
  std::string text = said(rule.limits, system, "and");
  if (const rules::RuleCheck* check = rules::find_rule_check(rule.check)) {
    text = check->what;
    for (const rules::RuleCheckParameter& parameter : check->parameters) {
      const auto number = rule.numbers.find(parameter.name);
      const auto word = rule.words.find(parameter.name);
      if (number != rule.numbers.end()) {
        text += fmt::format(
            "; {} {}", parameter.name, units::display(number->second, parameter.dimension, system));
      } else if (word != rule.words.end()) {
        text += fmt::format("; {} {}", parameter.name, word->second);
      }
    }
  }
  if (text.empty()) {
    return "nothing that a file could show: it is for the authority";
  }
  if (!rule.unless.empty()) {
    text += "; lifted by " + said(rule.unless, system, "or");
  }
  return text;
}

std::vector<std::string> keys_of(const std::vector<Held>& all) {
  std::vector<std::string> keys;
  const auto add = [&](const std::vector<Limit>& limits) {
    for (const Limit& limit : limits) {
      const rules::Fact& fact = rules::facts()[limit.fact];
      const std::string text =
          fact.key.empty() ? fact.name : fmt::format("`{}` ({})", fact.key, fact.meaning);
      if (std::find(keys.begin(), keys.end(), text) == keys.end()) {
        keys.push_back(text);
      }
    }
  };
  for (const Held& held : all) {
    add(held.rule->when);
    add(held.rule->limits);
    add(held.rule->unless);
  }
  return keys;
}

class Explanation : public Page {
 public:
  explicit Explanation(const TextOptions& options) : Page(options) {}

  std::string rule(const std::vector<Held>& all) {
    const Rule& first = *all.front().rule;
    title({first.title, first.id});
    paragraph(rules::requirement_words(first).text(options().system));
    if (!first.when.empty()) {
      heading("Applies where");
      paragraph(said(first.when, options().system, "and"));
    }
    heading("What is looked at");
    std::vector<std::string> seen;
    for (const Held& held : all) {
      const std::string text = asks(*held.rule, options().system);
      if (std::find(seen.begin(), seen.end(), text) == seen.end()) {
        seen.push_back(text);
        bullet((all.size() > 1 ? held.set->id + " on: " : std::string()) + text);
      }
    }
    list("What the file has to show", keys_of(all));
    list("Exceptions that no key shows", first.exceptions);
    list("For the authority to decide", first.authority);
    if (!first.mend.empty()) {
      heading("How to fix it");
      paragraph(base::escaped(first.mend));
    }
    if (!first.on_site.empty()) {
      heading("On site");
      paragraph(base::escaped(first.on_site));
    }
    heading("Where it stands");
    for (const Held& held : all) {
      bullet(base::escaped(basis(held)));
    }
    for (const Held& held : all) {
      chain(held);
    }
    return take();
  }

  std::string finding(const findings::Check& check) {
    title({check.title, check.code});
    paragraph(std::string("Said of ") + check.what + ".");
    heading("Why it matters");
    paragraph(check.why);
    heading("How to fix it");
    paragraph(check.instead);
    heading("Where it stands");
    paragraph(check.source);
    return take();
  }

  std::string set(const RuleSet& set) {
    title({set.title, set.id});
    if (!set.note.empty()) {
      paragraph(base::escaped(set.note));
    }
    for (const Rule& rule : set.rules) {
      marked({.word = base::escaped(rule.section.empty() ? "-" : rule.section),
              .ink = Ink::dim,
              .text_column = 24},
             base::escaped(rule.title + " [" + rule.id + "]"));
    }
    return take();
  }

 private:
  /// How its bounds came about: the base, then each set that changed them.
  void chain(const Held& held) {
    const Rule& rule = *held.rule;
    if (rule.earlier.empty()) {
      return;
    }
    const auto asked = [&](const units::Message& bounds, const std::string& requirement) {
      return bounds.empty() ? base::escaped(requirement) : bounds.text(options().system);
    };
    heading(fmt::format("How {} came to it", held.set->id));
    for (const rules::Earlier& earlier : rule.earlier) {
      bullet(fmt::format("{}: {} [{}]",
                         base::escaped(earlier.set),
                         asked(earlier.bounds, earlier.requirement),
                         base::escaped(earlier.cited)));
    }
    bullet(fmt::format(
        "{} changed it: {} [{}{}]",
        base::escaped(rule.from.empty() ? held.set->id : rule.from),
        asked(rules::bound_words(rule), rule.requirement),
        base::escaped(rules::cited(*held.set, rule)),
        rule.file && rule.span.line > 0
            ? fmt::format("; {}, line {}", base::escaped(rule.file->name()), rule.span.line)
            : std::string()));
  }

  void list(std::string_view words, const std::vector<std::string>& items) {
    if (items.empty()) {
      return;
    }
    heading(words);
    for (const std::string& item : items) {
      bullet(base::escaped(item));
    }
  }
};

base::Diagnostic unknown(std::string_view name, std::span<const RuleSet> sets) {
  std::vector<std::string> names;
  for (const RuleSet& set : sets) {
    names.push_back(set.id);
    for (const Rule& rule : set.rules) {
      names.push_back(rule.id);
    }
  }
  for (const findings::Check& check : findings::checks()) {
    names.emplace_back(check.code);
  }
  const auto near = base::nearest(name, names);
  return base::fault("unknown-rule",
                     fmt::format("no rule, finding or rule set is named {}", base::shown(name)),
                     near ? fmt::format("did you mean `{}`?", *near)
                          : "`ductledger explain irc-2021` lists the rules of a set");
}

std::string cell(std::string text) {
  std::size_t at = 0;
  while ((at = text.find('|', at)) != std::string::npos) {
    text.insert(at, "\\");
    at += 2;
  }
  return text;
}

// --- the page of all rules -----------------------------------------------------------------------

std::string sets_table(std::span<const RuleSet> sets) {
  std::string out = "| set | title | rules |\n|---|---|---|\n";
  for (const RuleSet& set : sets) {
    out += fmt::format("| `{}` | {}{} | {} |\n",
                       set.id,
                       set.title,
                       set.note.empty() ? "" : "; " + set.note,
                       set.rules.size());
  }
  return out;
}

std::string table_row(const Held& held) {
  std::string when = said(held.rule->when, units::System::ip, "and");
  when = when.empty() ? "" : "where " + when + ": ";
  return fmt::format(
      "| `{}` | {} | {} | {}{} |\n",
      held.set->id,
      cell(held.rule->section + (held.rule->section_recalled ? " (number not verified)" : "")),
      cell(when + asks(*held.rule, units::System::ip)),
      held.rule->status == rules::SourceStatus::memory ? "recalled"
      : held.rule->source.empty()                      ? word(held.rule->status)
                                                       : "`" + held.rule->source + "`",
      held.rule->note.empty() ? "" : "; " + cell(held.rule->note));
}

std::string rule_section(const Rule& rule, std::span<const RuleSet> sets) {
  std::string out = fmt::format("\n### `{}`\n\n{}\n\n", rule.id, rule.requirement);
  out += "| set | section | what is looked at | source |\n|---|---|---|---|\n";
  for (const Held& held : held_by(rule.id, sets)) {
    out += table_row(held);
  }
  for (const std::string& exception : rule.exceptions) {
    out += fmt::format("\nException, not shown by a file: {}.\n", exception);
  }
  for (const std::string& open : rule.authority) {
    out += fmt::format("\nFor the authority: {}.\n", open);
  }
  if (!rule.mend.empty()) {
    out += fmt::format("\nTo fix it: {}.\n", rule.mend);
  }
  return out;
}

/// Each rule once, where the first set that holds it has it.
std::string rule_sections(std::span<const RuleSet> sets) {
  std::string out;
  std::vector<std::string> done;
  for (const RuleSet& set : sets) {
    for (const Rule& rule : set.rules) {
      if (std::ranges::find(done, rule.id) == done.end()) {
        done.push_back(rule.id);
        out += rule_section(rule, sets);
      }
    }
  }
  return out;
}

std::string findings_table() {
  std::string out = "| finding | said of | to fix it | source |\n|---|---|---|---|\n";
  for (const findings::Check& check : findings::checks()) {
    out += fmt::format("| `{}` | {} | {} | {} |\n",
                       check.code,
                       cell(check.what),
                       cell(check.instead),
                       cell(check.source));
  }
  return out;
}

std::string sources_table() {
  std::string out = "| key | what | page |\n|---|---|---|\n";
  for (const rules::RuleSource& source : rules::rule_sources()) {
    out += fmt::format("| `{}` | {} | {} |\n", source.key, cell(source.title), cell(source.page));
  }
  return out;
}

}  // namespace

base::Checked<std::string> explain(std::string_view name,
                                   std::span<const RuleSet> sets,
                                   const TextOptions& options) {
  const std::string wanted = base::canonical_word(name);
  Explanation page(options);
  const std::vector<Held> held = held_by(wanted, sets);
  if (!held.empty()) {
    return page.rule(held);
  }
  for (const findings::Check& check : findings::checks()) {
    if (wanted == check.code) {
      return page.finding(check);
    }
  }
  for (const RuleSet& set : sets) {
    if (wanted == set.id) {
      return page.set(set);
    }
  }
  return unknown(name, sets);
}

std::string rules_page() {
  const std::vector<RuleSet>& sets = rules::built_in_rule_sets();
  return "# Rules\n\n"
         "Written from the rule files in `lib/rules/data/` and the findings in "
         "`lib/findings/checks/`; `tests/accept`\nwrites it anew. What a rule file may hold: "
         "[rules-format.md](rules-format.md).\n\n"
         "Requirements are in our own words; the adopted code text governs, and the authority "
         "having jurisdiction decides.\n`recalled` marks what is not yet checked against its "
         "source.\n\n## Sets\n\n" +
         sets_table(sets) + "\n## Rules\n" + rule_sections(sets) + "\n## Findings of `check`\n\n" +
         findings_table() + "\n## Where the rules were read\n\n" + sources_table();
}

}  // namespace ductledger::text
