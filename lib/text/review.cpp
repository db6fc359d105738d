#include "text/review.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <functional>
#include <tuple>

#include "base/text.hpp"
#include "document/verdict.hpp"
#include "findings/finding_internal.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/review.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using rules::Agreement;
using rules::Judgement;
using rules::Verdict;
using units::Dimension;

constexpr const char* kWords =
    "A rule is met as far as this file shows it, and no further. The authority having "
    "jurisdiction decides; this is no certificate.";

Ink ink_of(findings::Level level) {
  switch (level) {
    case findings::Level::fail:
      return Ink::red;
    case findings::Level::warn:
      return Ink::yellow;
    case findings::Level::note:
      break;
  }
  return Ink::cyan;
}

std::string place(const base::Span& span) {
  return span.line > 0 ? fmt::format(", line {}", span.line) : std::string();
}

std::string cited(const Judgement& judgement) {
  return rules::cited(*judgement.set, *judgement.rule);
}

/// `delivered 412 cfm, nameplate 600 cfm`.
std::string figure(const rules::Refigured& one, const Page& page) {
  std::string text = fmt::format("{} {}: ", one.what, page.show(one.submitted, one.dimension));
  if (one.agreement == Agreement::not_reproducible) {
    return text + fmt::format("not reproducible, {}", one.why_not);
  }
  text += fmt::format(
      "{}; calculated {}", word(one.agreement), words::calculated(one, page.options().system));
  if (one.ours && one.band) {
    text += fmt::format(" ({})",
                        findings::band_words(*one.band, one.dimension).text(page.options().system));
  } else if (one.agreement == Agreement::differs) {
    text += ", no band known";
  }
  return text;
}

class ReviewText : public Page {
 public:
  ReviewText(const study::ReviewResult& result, const TextOptions& options)
      : Page(options), result_(result) {}

  std::string text() {
    title({result_.check.layout.title, result_.check.layout.file});
    write_verdict_if_bad(*this, result_.check);
    strong_paragraph(words::counts(result_));
    paragraph(fmt::format(
        "Judged by {}{}.",
        words::set_names(result_),
        result_.sets_by_default ? ", as neither the file nor the call names a set" : ""));
    requested();
    if (result_.check.headline) {
      paragraph(words::answer(result_.check.speeds[*result_.check.headline], options().system));
    }
    verdict(Verdict::not_met, "Not met");
    arithmetic();
    overrides();
    if (options().detail != Detail::brief) {
      verdict(Verdict::not_shown, "Not shown by the file");
      short_ones();
      verdict(Verdict::authority, "For the authority");
      met();
    }
    if (options().detail == Detail::verbose) {
      verdict(Verdict::not_applicable, "Not applicable");
    }
    blank();
    paragraph(kWords);
    if (study::count(result_, Verdict::not_shown) > 0 && options().detail != Detail::brief) {
      paragraph("`--request` lists what to ask the applicant for, `--sheet` what to look at.");
    }
    if (options().detail != Detail::brief) {
      cautions(result_.check.cautions);
    }
    return take();
  }

 private:
  /// What the file asks for adds to the rules and takes none away.
  void requested() {
    if (result_.requested.empty()) {
      return;
    }
    paragraph(
        fmt::format("The file asks to be judged by {}: a request, judged beside the default "
                    "sets, which stay.",
                    base::escaped(base::joined(result_.requested, "and"))));
    for (const study::RuleChange& change : result_.changes) {
      const std::string bounds = change.bounds.text(options().system);
      const std::string asked = change.requested_bounds.text(options().system);
      bullet(fmt::format(
          "{} in {}: {}{}",
          base::escaped(change.rule),
          base::escaped(change.set),
          change.requested.empty() ? "withdrawn" : "stated otherwise",
          bounds.empty() && asked.empty()
              ? std::string()
              : fmt::format("; by default {}; requested {}",
                            base::escaped(bounds.empty() ? "a calculated check" : bounds),
                            base::escaped(asked.empty() ? "nothing" : asked))));
    }
  }

  void one(const Judgement& judgement) {
    const bool advice = judgement.set->advice && judgement.verdict == Verdict::not_met;
    marked({.word = advice ? "note" : word(rules::level(judgement)),
            .ink = ink_of(rules::level(judgement))},
           base::escaped(judgement.rule->title));
    under(judgement.said.text(options().system));
    if (options().detail == Detail::brief) {
      return;
    }
    for (const units::Message& remark : judgement.remarks) {
      under(remark.text(options().system));
    }
    if (judgement.verdict == Verdict::not_met && !judgement.rule->mend.empty()) {
      under(base::escaped(judgement.rule->mend), "Remedy: ");
    }
    if (options().detail == Detail::verbose) {
      for (const std::string& open : judgement.rule->authority) {
        under(base::escaped(open), "For the authority: ");
      }
      if (!judgement.rule->note.empty()) {
        under(base::escaped(judgement.rule->note), "Source: ");
      }
    }
    under_dim("[" + base::escaped(judgement.rule->id) + "; " + base::escaped(cited(judgement)) +
              place(judgement.span) + "]");
  }

  /// Nothing but facts that the file leaves out: a line is enough.
  [[nodiscard]] bool is_short(const Judgement& judgement) const {
    return judgement.verdict == Verdict::not_shown && judgement.remarks.empty() &&
           judgement.observed.empty() && !judgement.missing.empty() && judgement.span.line == 0 &&
           options().detail != Detail::verbose;
  }

  void short_ones() {
    bool first = true;
    for (const Judgement& judgement : result_.judgements) {
      if (!is_short(judgement)) {
        continue;
      }
      if (first) {
        blank();
        paragraph("The file leaves out what these ask for:");
      }
      first = false;
      bullet(fmt::format("{}: {} [{}]",
                         base::escaped(judgement.rule->title),
                         judgement.said.text(options().system),
                         base::escaped(cited(judgement))));
    }
  }

  void verdict(Verdict wanted, std::string_view heading_text) {
    bool first = true;
    for (const Judgement& judgement : result_.judgements) {
      if (judgement.verdict != wanted || is_short(judgement)) {
        continue;
      }
      if (first) {
        heading(heading_text);
      } else if (options().detail != Detail::brief) {
        blank();
      }
      first = false;
      one(judgement);
    }
  }

  void met() {
    bool first = true;
    for (const Judgement& judgement : result_.judgements) {
      if (judgement.verdict != Verdict::met) {
        continue;
      }
      if (first) {
        heading("Met, as far as the file shows");
      }
      first = false;
      bullet(fmt::format("{}: {} [{}{}]",
                         base::escaped(judgement.rule->title),
                         judgement.said.text(options().system),
                         base::escaped(cited(judgement)),
                         place(judgement.span)));
      for (const units::Message& remark : judgement.remarks) {
        line("    " + wrapped(remark.text(options().system), {4, 4, width()}));
      }
    }
  }

  void arithmetic() {
    if (result_.arithmetic.empty()) {
      return;
    }
    heading("The arithmetic handed in");
    for (const rules::Record& record : result_.arithmetic) {
      for (const rules::Refigured& handed_in : record.figures) {
        const findings::Level level =
            rules::differs(handed_in) ? findings::Level::warn : findings::Level::note;
        const bool agrees = handed_in.agreement == Agreement::agrees;
        marked({.word = agrees ? "-" : word(level), .ink = agrees ? Ink::dim : ink_of(level)},
               words::spoken_speed(record.speed) + ", " + figure(handed_in, *this) +
                   place(record.span));
      }
      if (!record.off_curve.empty()) {
        marked({.word = "warn", .ink = Ink::yellow},
               record.off_curve.text(options().system) + place(record.span));
      }
      if (!record.first_step.empty()) {
        under("First parts in " + record.first_step.text(options().system));
      }
    }
  }

  /// What the applicant puts in place of published figures; the questionable ones stay in every
  /// detail.
  void overrides() {
    bool first = true;
    for (const rules::Override& one : result_.overrides) {
      if (options().detail == Detail::brief && one.level == findings::Level::note) {
        continue;
      }
      if (first) {
        heading("Stated in place of the catalogue");
      }
      first = false;
      marked({.word = word(one.level), .ink = ink_of(one.level)},
             one.said.text(options().system) + place(one.span));
    }
  }

  const study::ReviewResult& result_;
};

/// A tree of keys, for the request.
struct Keys {
  std::string name;
  std::vector<std::string> comments;
  std::vector<Keys> below;

  Keys& at(const std::string& key) {
    const auto found = std::ranges::find(below, key, &Keys::name);
    return found != below.end() ? *found : below.emplace_back(Keys{key, {}, {}});
  }
};

/// Lines of a comment at an indent.
std::string commented(std::string_view text, std::size_t indent) {
  const std::string lead = std::string(indent, ' ') + "# ";
  std::string out = lead + wrapped(text, {lead.size(), lead.size(), 80}) + '\n';
  for (std::size_t at = 0; (at = out.find('\n', at)) + 1 < out.size(); at += lead.size()) {
    out.replace(++at, lead.size(), lead);  // a comment that runs on stays a comment
  }
  return out;
}

/// The values stay blank: an example left standing must not read as an answer.
void write_keys(const Keys& keys, std::size_t indent, std::string& out) {
  for (const Keys& one : keys.below) {
    for (const std::string& comment : one.comments) {
      out += commented(comment, indent);
    }
    out += std::string(indent, ' ') + one.name + ":\n";
    write_keys(one, indent + 2, out);
  }
}

std::vector<std::string> split(const std::string& path) {
  std::vector<std::string> parts;
  std::size_t at = 0;
  while (at <= path.size()) {
    const std::size_t dot = std::min(path.find('.', at), path.size());
    parts.push_back(path.substr(at, dot - at));
    at = dot + 1;
  }
  return parts;
}

/// A missing fact and the judgements that ask for it.
struct Wanted {
  std::size_t fact = 0;
  std::vector<const Judgement*> by;
};

std::vector<Wanted> wanted_facts(const study::ReviewResult& result) {
  std::vector<Wanted> all;
  for (const Judgement& judgement : result.judgements) {
    for (const std::size_t fact : judgement.missing) {
      auto found =
          std::find_if(all.begin(), all.end(), [&](const Wanted& one) { return one.fact == fact; });
      if (found == all.end()) {
        all.push_back({fact, {}});
        found = all.end() - 1;
      }
      if (std::find(found->by.begin(), found->by.end(), &judgement) == found->by.end()) {
        found->by.push_back(&judgement);
      }
    }
  }
  return all;
}

/// `To the property line: how much, with its unit?`
std::string question(const rules::Fact& fact) {
  std::string text = fact.meaning;
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  switch (fact.kind) {
    case rules::FactKind::yes_no:
      return text + ": yes or no?";
    case rules::FactKind::quantity:
      return text + ": how much, with its unit?";
    case rules::FactKind::word:
      break;
  }
  return text + (fact.words.empty() ? ": which?" : ": " + base::joined(fact.words) + "?");
}

/// What is asked, why and by which edition and section, and how an answer looks.
std::vector<std::string> asked(const Wanted& one, units::System system) {
  const rules::Fact& fact = rules::facts()[one.fact];
  std::vector<std::string> lines{question(fact)};
  for (const Judgement* judgement : one.by) {
    lines.push_back(fmt::format("why: {} [{}]",
                                rules::requirement_words(*judgement->rule).text(system),
                                cited(*judgement)));
  }
  if (!fact.example.empty()) {
    lines.push_back("an answer looks like: " + fact.example);
  }
  return lines;
}

}  // namespace

std::string review_text(const study::ReviewResult& result, const TextOptions& options) {
  return ReviewText(result, options).text();
}

std::string review_request(const study::ReviewResult& result, const TextOptions& options) {
  const std::vector<Wanted> wanted = wanted_facts(result);
  std::string out = fmt::format(
      "# {}: facts to ask for.\n"
      "# Write what is true behind each key; one that stays blank states nothing.\n",
      base::escaped(result.check.layout.file));
  if (wanted.empty()) {
    return out + "# Nothing is missing for the rules asked.\n";
  }
  Keys root;
  std::string elsewhere;
  for (const Wanted& one : wanted) {
    const rules::Fact& fact = rules::facts()[one.fact];
    const bool in_pieces = fact.key.empty() || fact.key.find(':') != std::string::npos ||
                           fact.key.rfind("run.pieces", 0) == 0;
    if (in_pieces) {
      elsewhere += commented("`" + (fact.key.empty() ? fact.name : fact.key) + "`", 0);
      for (const std::string& line : asked(one, options.system)) {
        elsewhere += commented(line, 2);
      }
      continue;
    }
    Keys* at = &root;
    for (const std::string& part : split(fact.key)) {
      at = &at->at(part);
    }
    at->comments = asked(one, options.system);
  }
  write_keys(root, 0, out);
  return out + elsewhere;
}

std::string review_sheet(const study::ReviewResult& result, const TextOptions& options) {
  TextOptions plain = options;
  plain.paint = base::Paint::plain;
  plain.width = TextOptions{}.width;  // for paper
  Page page(plain);
  page.title({result.check.layout.title, result.check.layout.file});
  write_verdict_if_bad(page, result.check);
  page.paragraph(words::counts(result));
  page.paragraph(fmt::format("Judged by {}.", words::set_names(result)));
  if (result.check.headline) {
    page.paragraph(words::answer(result.check.speeds[*result.check.headline], options.system));
  }
  static constexpr std::array<std::pair<Verdict, const char*>, 4> kParts{{
      {Verdict::not_met, "Not met by the file"},
      {Verdict::not_shown, "Not shown by the file"},
      {Verdict::authority, "For the authority to decide"},
      {Verdict::met, "Shown by the file, to be seen on site"},
  }};
  for (const auto& [verdict, words] : kParts) {
    bool first = true;
    for (const Judgement& judgement : result.judgements) {
      const rules::Rule& rule = *judgement.rule;
      if (judgement.verdict != verdict || (verdict == Verdict::met && rule.on_site.empty())) {
        continue;
      }
      if (first) {
        page.heading(words);
      }
      first = false;
      page.line(std::string("  [ ] ") + wrapped(base::escaped(rule.title), {6, 6, page.width()}));
      const auto below = [&](const std::string& text) {
        page.line("      " + wrapped(text, {6, 6, page.width()}));
      };
      below(judgement.said.text(options.system));
      for (const units::Message& remark : judgement.remarks) {
        below(remark.text(options.system));
      }
      if (!rule.on_site.empty()) {
        below("On site: " + base::escaped(rule.on_site));
      }
      below("(" + base::escaped(cited(judgement)) + ")");
      const std::size_t room = page.width() - 6;
      const auto blank = [](std::size_t columns) { return std::string(columns, '_'); };
      page.line("      seen on site: " + blank(std::min<std::size_t>(38, room - 14)) +
                (room < 74 ? "\n      date: " : "  date: ") + blank(14));
    }
  }
  page.heading("Before any cover is opened");
  for (const std::string& caution : result.check.cautions) {
    page.bullet(caution);
  }
  page.blank();
  page.paragraph(kWords);
  return page.take();
}

std::string review_summary(std::span<const ReviewRow> rows, const TextOptions& options) {
  Page page(options);
  Table table({{"file", "", Align::left},
               {"not met", "", Align::right},
               {"not shown", "", Align::right},
               {"authority", "", Align::right},
               {"met", "", Align::right},
               {"figures", "that differ", Align::right, 1}});
  // The worst first: what could not be calculated, then by what is not met and not shown.
  std::vector<ReviewRow> ordered(rows.begin(), rows.end());
  std::ranges::stable_sort(ordered, std::greater{}, [](const ReviewRow& row) {
    const auto number = [&](Verdict verdict) {
      return row.result == nullptr ? std::size_t{0} : study::count(*row.result, verdict);
    };
    return std::make_tuple(
        row.result == nullptr, number(Verdict::not_met), number(Verdict::not_shown));
  });
  for (const ReviewRow& row : ordered) {
    if (row.result == nullptr) {
      table.row({base::escaped(row.file), "could not be calculated", "", "", "", ""});
      continue;
    }
    const std::size_t differ = rules::count_differing(row.result->arithmetic);
    const auto number = [&](Verdict verdict) {
      return fmt::format("{}", study::count(*row.result, verdict));
    };
    table.row({base::escaped(row.file),
               number(Verdict::not_met),
               number(Verdict::not_shown),
               number(Verdict::authority),
               number(Verdict::met),
               fmt::format("{}", differ)});
  }
  page.table(table);
  return page.take();
}

}  // namespace ductledger::text
