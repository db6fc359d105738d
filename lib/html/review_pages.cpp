#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "base/text.hpp"
#include "document/review.hpp"
#include "document/verdict.hpp"
#include "html/review.hpp"
#include "html/sections.hpp"
#include "html/shell.hpp"
#include "picture/svg.hpp"
#include "words/review.hpp"
#include "words/words.hpp"

namespace ductledger::html {
namespace {

using rules::Judgement;

ReportJson document_of(const study::ReviewResult& result, const ReviewPageOptions& options) {
  ReportJson review = document::review_document(result, options.record);
  if (options.changes != nullptr) {
    review["against"] = document::against_object(*options.before, *options.changes);
  }
  return {{"format", "ductledger.report/1"},
          {"tool_version", options.record.tool_version},
          {"reviews", ReportJson::array({std::move(review)})}};
}

/// What the pages of one review share.
class ReviewPage : public HtmlPage {
 public:
  ReviewPage(const study::ReviewResult& result, const ReviewPageOptions& options, Shell shell)
      : HtmlPage(document_of(result, options), options.system),
        result_(result),
        options_(options),
        shell_(std::move(shell)) {
    append(shell_begin(shell_));
  }

  [[nodiscard]] std::string done() {
    append(shell_end(shell_, document()));
    return take();
  }

  void verdict_line() {
    const document::Verdict verdict = document::verdict(result_.check);
    if (verdict.standing >= document::Standing::not_met) {
      line(fmt::format("<p class=\"verdict {}\"><strong>{}</strong> {}</p>",
                       word(verdict.standing),
                       verdict.mark(),
                       escaped(verdict.text(system()))));
    }
  }

  void answer() {
    const study::CheckResult& check = result_.check;
    if (check.headline) {
      paragraph(words::answer(check.speeds[*check.headline], system()));
    }
  }

  [[nodiscard]] const study::ReviewResult& result() const { return result_; }
  [[nodiscard]] const ReviewPageOptions& options() const { return options_; }

  /// `<p>` with a quiet line of citation beneath.
  [[nodiscard]] std::string cited(const Judgement& one) const {
    return fmt::format("<p class=\"where\">{}{}</p>",
                       escaped(rules::cited(*one.set, *one.rule)),
                       one.span.line > 0 ? fmt::format("; line {}", one.span.line) : std::string());
  }

 private:
  const study::ReviewResult& result_;
  const ReviewPageOptions& options_;
  Shell shell_;
};

Shell shell_of(const study::ReviewResult& result,
               const ReviewPageOptions& options,
               const std::string& kind) {
  const layout::Layout& of = result.check.layout;
  return {.title = of.title.empty() ? of.file : of.title,
          .kind = kind,
          .footer = file_and_hash(of),
          .tool_version = options.record.tool_version,
          .system = options.system,
          .skip = "the review"};
}

class AgainstPart {
 public:
  explicit AgainstPart(ReviewPage& page) : page_(page) {}

  void write() {
    const study::ReviewResult& before = *page_.options().before;
    const study::ReviewChanges& changes = *page_.options().changes;
    page_.heading(0, "Against " + before.check.layout.file, "against-heading");
    page_.paragraph(words::changes(changes));
    page_.paragraph(fmt::format(
        "Before, sha256 {}: {}", before.check.layout.sha256.substr(0, 16), words::counts(before)));
    for (const study::Became kind :
         {study::Became::added, study::Became::changed, study::Became::cleared}) {
      table(kind, changes);
    }
    page_.paragraph("Cleared means that the file no longer shows the fault, and no more.");
  }

 private:
  void table(study::Became kind, const study::ReviewChanges& changes) {
    const auto is = [&](const auto& change) { return change.kind == kind; };
    if (std::ranges::none_of(changes.rules, is) && std::ranges::none_of(changes.remarks, is)) {
      return;
    }
    page_.table_begin(kind == study::Became::added     ? "New"
                      : kind == study::Became::changed ? "Changed"
                                                       : "Cleared",
                      {{"rule", false}, {"verdict", false}, {"before", false}, {"now", false}});
    for (const study::JudgementChange& change : changes.rules) {
      if (!is(change)) {
        continue;
      }
      const Judgement& shown = change.now != nullptr ? *change.now : *change.before;
      page_.row_begin();
      page_.row_head(fmt::format("{} <span class=\"under\">{}</span>",
                                 escaped(shown.rule->title),
                                 escaped(rules::cited(*shown.set, *shown.rule))));
      page_.cell("verdict", escaped(words::verdicts(change)));
      page_.cell("before", change.before != nullptr ? said(*change.before) : "");
      page_.cell("now", change.now != nullptr ? said(*change.now) : "");
      page_.row_end();
    }
    for (const study::RemarkChange& change : changes.remarks) {
      if (!is(change)) {
        continue;
      }
      page_.row_begin();
      page_.row_head(escaped(change.code));
      page_.cell("verdict", word(change.kind));
      const std::string text = escaped(change.said.text(page_.system()));
      page_.cell("before", kind == study::Became::cleared ? text : "");
      page_.cell("now", kind == study::Became::cleared ? "" : text);
      page_.row_end();
    }
    page_.table_end();
  }

  [[nodiscard]] std::string said(const Judgement& one) const {
    return escaped(one.said.text(page_.system()));
  }

  ReviewPage& page_;
};

class LetterPart {
 public:
  explicit LetterPart(ReviewPage& page) : page_(page) {}

  void write() {
    const study::ReviewResult& result = page_.result();
    page_.line("<dl class=\"fields\">");
    for (const char* name : {"Permit", "Date", "Address", "Applicant"}) {
      page_.line(fmt::format("<dt>{}</dt><dd></dd>", name));
    }
    page_.line("</dl>");
    page_.paragraph(fmt::format("File {}, sha256 {}; reviewed by {}.",
                                result.check.layout.file,
                                result.check.layout.sha256,
                                words::set_names(result)));
    page_.verdict_line();
    const std::vector<study::LetterCode> codes = study::letter(result);
    page_.paragraph(codes.empty()
                        ? "No point of these rules was found not met or not shown by this file."
                        : words::letter_preface());
    for (const study::LetterCode& code : codes) {
      page_.heading(0, code.title + (code.advice ? ", advice" : ""));
      for (const Judgement* point : code.points) {
        one(*point);
      }
    }
    figures();
    page_.paragraph(words::letter_end());
    page_.line(
        "<dl class=\"fields sign\"><dt>Reviewed by</dt><dd></dd><dt>Signature</dt><dd></dd>"
        "<dt>Date</dt><dd></dd></dl>");
  }

 private:
  void one(const Judgement& point) {
    const std::string& section = point.rule->section;
    page_.line(fmt::format("<section class=\"finding {}\">", word(rules::level(point))));
    page_.line(fmt::format("<p><strong>{}. {}{}: {}</strong></p>",
                           ++number_,
                           escaped(section.empty() ? std::string() : section + ", "),
                           escaped(point.rule->title),
                           word(point.verdict)));
    page_.line(fmt::format("<p>{}</p>", escaped(point.said.text(page_.system()))));
    for (const units::Message& remark : point.remarks) {
      page_.line(fmt::format("<p>{}</p>", escaped(remark.text(page_.system()))));
    }
    page_.line(fmt::format("<p>To do: {}</p>", escaped(words::to_do(point))));
    page_.line(page_.cited(point) + "</section>");
  }

  void figures() {
    const study::ReviewResult& result = page_.result();
    bool first = true;
    const auto ask = [&](const std::string& text) {
      if (first) {
        page_.heading(0, "Figures to account for");
      }
      first = false;
      page_.line(fmt::format("<section class=\"finding\"><p><strong>{}.</strong> {}</p></section>",
                             ++number_,
                             escaped(text)));
    };
    for (const rules::Record& record : result.arithmetic) {
      for (const rules::Refigured& one : record.figures) {
        if (rules::differs(one)) {
          ask(fmt::format("{}, {} {} handed in; calculated {}",
                          record.speed,
                          one.what,
                          page_.show(one.submitted, one.dimension),
                          words::calculated(one, page_.system())));
        }
      }
      if (!record.off_curve.empty()) {
        ask(record.off_curve.text(page_.system()));
      }
    }
    for (const rules::Override& stated : result.overrides) {
      ask(stated.said.text(page_.system()));
    }
  }

  ReviewPage& page_;
  int number_ = 0;
};

}  // namespace

std::string review_html(const study::ReviewResult& result, const ReviewPageOptions& options) {
  ReviewPage page(result, options, shell_of(result, options, "Review of an exhaust duct layout"));
  page.verdict_line();
  page.answer();
  if (options.changes != nullptr) {
    AgainstPart(page).write();
  }
  review_section(page, result);
  return page.done();
}

std::string letter_html(const study::ReviewResult& result, const ReviewPageOptions& options) {
  ReviewPage page(result, options, shell_of(result, options, "Review letter"));
  LetterPart(page).write();
  return page.done();
}

}  // namespace ductledger::html
