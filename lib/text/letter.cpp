#include "text/letter.hpp"

#include <fmt/format.h>

#include "base/text.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/review.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using rules::Judgement;
using rules::Verdict;

std::string place(const base::Span& span) {
  return span.line > 0 ? fmt::format(", line {}", span.line) : std::string();
}

class Letter : public Page {
 public:
  Letter(const study::ReviewResult& result, std::string_view by, const TextOptions& options)
      : Page(options), result_(result), by_(by) {}

  std::string text() {
    const layout::Layout& of = result_.check.layout;
    title({"Review: " + of.title, of.file});
    line("  Permit:    ______________________   Date: ____________________");
    line("  Address:   _____________________________________________________");
    line("  Applicant: _____________________________________________________");
    blank();
    paragraph(fmt::format("File {}, sha256 {}; reviewed with {}, by {}.",
                          base::escaped(of.file),
                          of.sha256,
                          base::escaped(by_),
                          words::set_names(result_)));
    blank();
    if (is_bad(result_.check)) {
      write_verdict(*this, result_.check);
      blank();
    }
    const std::vector<study::LetterCode> codes = study::letter(result_);
    if (codes.empty()) {
      paragraph("No point of these rules was found not met or not shown by this file.");
    } else {
      paragraph(words::letter_preface());
    }
    int number = 0;
    for (const study::LetterCode& code : codes) {
      heading(code.title + (code.advice ? ", advice" : ""));
      for (const Judgement* point : code.points) {
        one(++number, *point);
      }
    }
    figures(number);
    blank();
    paragraph(words::letter_end());
    blank();
    line("  Reviewed by: ___________________________________________________");
    blank();
    line("  Signature:   ______________________   Date: ____________________");
    return take();
  }

 private:
  void one(int number, const Judgement& point) {
    const std::string& section = point.rule->section;
    marked({.word = fmt::format("{}.", number), .ink = Ink::bold},
           fmt::format("{}{}: {}",
                       base::escaped(section.empty() ? std::string() : section + ", "),
                       base::escaped(point.rule->title),
                       word(point.verdict)));
    under(point.said.text(options().system) + place(point.span));
    for (const units::Message& remark : point.remarks) {
      under(remark.text(options().system));
    }
    under(base::escaped(words::to_do(point)), "To do: ");
    under_dim("[" + base::escaped(rules::cited(*point.set, *point.rule)) + "]");
  }

  /// Figures that the applicant has to account for.
  void figures(int number) {
    bool first = true;
    const auto ask = [&](const std::string& text) {
      if (first) {
        heading("Figures to account for");
      }
      first = false;
      marked({.word = fmt::format("{}.", ++number), .ink = Ink::bold}, text);
    };
    for (const rules::Record& record : result_.arithmetic) {
      for (const rules::Refigured& handed_in : record.figures) {
        if (rules::differs(handed_in)) {
          ask(fmt::format("{}, {} {} handed in; calculated {}{}",
                          words::spoken_speed(record.speed),
                          handed_in.what,
                          show(handed_in.submitted, handed_in.dimension),
                          words::calculated(handed_in, options().system),
                          place(record.span)));
        }
      }
      if (!record.off_curve.empty()) {
        ask(record.off_curve.text(options().system) + place(record.span));
      }
    }
    for (const rules::Override& stated : result_.overrides) {
      ask(stated.said.text(options().system) + place(stated.span));
    }
  }

  const study::ReviewResult& result_;
  std::string_view by_;
};

class Against : public Page {
 public:
  Against(const TwoReviews& reviews, const TextOptions& options)
      : Page(options), reviews_(reviews) {}

  std::string text() {
    const layout::Layout& now = reviews_.now.check.layout;
    const layout::Layout& before = reviews_.before.check.layout;
    title({now.title, now.file});
    write_verdict_if_bad(*this, reviews_.now.check);
    strong_paragraph(words::changes(reviews_.changes));
    paragraph(fmt::format("Now {}", words::counts(reviews_.now)));
    paragraph(fmt::format("Against {}, sha256 {}: {}",
                          base::escaped(before.file),
                          before.sha256.substr(0, 16),
                          words::counts(reviews_.before)));
    for (const study::Became kind :
         {study::Became::added, study::Became::changed, study::Became::cleared}) {
      rules_of(kind);
      remarks_of(kind);
    }
    blank();
    paragraph(
        "Cleared means that the file no longer shows the fault, and no more. The authority having "
        "jurisdiction decides; this is no certificate.");
    return take();
  }

 private:
  void begin(study::Became kind, bool& first) {
    if (first) {
      heading(kind == study::Became::added     ? "New"
              : kind == study::Became::changed ? "Changed"
                                               : "Cleared");
    }
    first = false;
  }

  void rules_of(study::Became kind) {
    bool first = true;
    for (const study::JudgementChange& change : reviews_.changes.rules) {
      if (change.kind != kind) {
        continue;
      }
      begin(kind, first);
      const Judgement& shown = change.now != nullptr ? *change.now : *change.before;
      bullet(fmt::format("{}: {}", base::escaped(shown.rule->title), words::verdicts(change)));
      if (change.now != nullptr && change.before != nullptr &&
          change.before->said != change.now->said) {
        below(change.before->said, "before: ");
      }
      below(shown.said, change.now != nullptr ? "now: " : "before: ");
      line("    " + ink(wrapped(fmt::format("[{}{}]",
                                            base::escaped(rules::cited(*shown.set, *shown.rule)),
                                            change.now != nullptr ? place(shown.span) : ""),
                                {4, 4, width()}),
                        Ink::dim));
    }
    began_ = !first;
  }

  void remarks_of(study::Became kind) {
    bool first = !began_;
    for (const study::RemarkChange& change : reviews_.changes.remarks) {
      if (change.kind == kind) {
        begin(kind, first);
        bullet(fmt::format("{} [{}]", change.said.text(options().system), change.code));
      }
    }
  }

  void below(const units::Message& said, std::string_view lead) {
    if (!said.empty()) {
      line("    " + std::string(lead) +
           wrapped(said.text(options().system), {4 + lead.size(), 4, width()}));
    }
  }

  const TwoReviews& reviews_;
  bool began_ = false;
};

}  // namespace

std::string review_letter(const study::ReviewResult& result,
                          std::string_view by,
                          const TextOptions& options) {
  TextOptions plain = options;
  plain.paint = base::Paint::plain;
  plain.width = TextOptions{}.width;  // for paper
  return Letter(result, by, plain).text();
}

std::string review_against(const TwoReviews& reviews, const TextOptions& options) {
  return Against(reviews, options).text();
}

}  // namespace ductledger::text
