#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "html/sections.hpp"
#include "picture/svg.hpp"
#include "words/words.hpp"

namespace ductledger::html {
namespace {

using rules::Judgement;
using rules::Verdict;
using units::Dimension;

/// What the ending of a key says of its unit.
struct KeyUnit {
  std::string_view ending;
  Dimension dimension;
};
constexpr std::array kKeyUnits{KeyUnit{"_kg_m3", Dimension::density},
                               KeyUnit{"_m3_s", Dimension::airflow},
                               KeyUnit{"_m_s", Dimension::velocity},
                               KeyUnit{"_pa", Dimension::pressure},
                               KeyUnit{"_m2", Dimension::area},
                               KeyUnit{"_rad", Dimension::angle},
                               KeyUnit{"_k", Dimension::temperature},
                               KeyUnit{"_m", Dimension::length}};

std::pair<std::string, Dimension> read_key(std::string key) {
  Dimension dimension = Dimension::number;
  for (const KeyUnit& unit : kKeyUnits) {
    if (key.size() > unit.ending.size() &&
        key.compare(key.size() - unit.ending.size(), unit.ending.size(), unit.ending) == 0) {
      key.resize(key.size() - unit.ending.size());
      dimension = unit.dimension;
      break;
    }
  }
  std::replace(key.begin(), key.end(), '_', ' ');
  return {std::move(key), dimension};
}

constexpr std::array kShown{Verdict::not_met, Verdict::not_shown, Verdict::authority, Verdict::met};

class ReviewSection {
 public:
  ReviewSection(HtmlPage& page, const study::ReviewResult& result) : page_(page), result_(result) {}

  void write() {
    page_.heading(0, "Inspection sheet", page_.id("review-heading"));
    counts();
    page_.paragraph(
        "A rule is met as far as this file shows it, and no further. The authority having "
        "jurisdiction decides; this is no certificate.");
    for (const Verdict verdict : kShown) {
      table(verdict);
    }
    arithmetic();
    overrides();
  }

 private:
  /// A band of a column that holds several quantities: each end with its unit.
  [[nodiscard]] std::string figured_band(const std::string& pointer,
                                         const rules::Refigured& one) const {
    const auto end = [&](const char* place) {
      return page_.figure(pointer + place, one.dimension);
    };
    if (std::isinf(one.band->low)) {
      return std::isinf(one.band->high) ? "not known" : "at most " + end("/1");
    }
    return std::isinf(one.band->high) ? "at least " + end("/0") : end("/0") + " to " + end("/1");
  }

  [[nodiscard]] std::string at(std::string_view rest) const {
    return fmt::format("/reviews/{}{}", page_.index(), rest);
  }

  void counts() {
    std::vector<std::string> sets;
    for (const rules::RuleSet& set : *result_.sets) {
      sets.push_back(set.id);
    }
    const auto number = [&](Verdict verdict, std::string key) {
      return page_.tagged(at("/counts/" + key), fmt::format("{}", study::count(result_, verdict))) +
             " " + word(verdict);
    };
    page_.line(
        fmt::format("<p>Judged by {}{}: {}, {}, {}, {}, {}.</p>",
                    picture::xml_escaped(base::joined(sets, "and")),
                    result_.sets_by_default ? ", as neither the file nor the call names a set" : "",
                    number(Verdict::not_met, "not-met"),
                    number(Verdict::not_shown, "not-shown"),
                    number(Verdict::authority, "for-the-authority"),
                    number(Verdict::met, "met"),
                    number(Verdict::not_applicable, "not-applicable")));
    const std::size_t differing = rules::count_differing(result_.arithmetic);
    if (differing > 0) {
      page_.paragraph(fmt::format(
          "{} {} the band.",
          differing,
          differing == 1 ? "figure handed in differs beyond" : "figures handed in differ beyond"));
    }
    requested();
  }

  /// What the file asks for adds to the rules and takes none away.
  void requested() {
    if (result_.requested.empty()) {
      return;
    }
    page_.paragraph(
        fmt::format("The file asks to be judged by {}: a request, judged beside the default sets, "
                    "which stay.",
                    base::joined(result_.requested, "and")));
    if (result_.changes.empty()) {
      return;
    }
    page_.table_begin("What the request would change of the default rules",
                      {{"rule", false}, {"by default", false}, {"requested", false}});
    for (const study::RuleChange& change : result_.changes) {
      const std::string bounds = change.bounds.text(page_.system());
      const std::string own = change.requested_bounds.text(page_.system());
      page_.row_begin();
      page_.row_head(picture::xml_escaped(change.rule + " in " + change.set));
      page_.cell("by default", picture::xml_escaped(bounds.empty() ? change.by_default : bounds));
      page_.cell("requested",
                 change.requested.empty()
                     ? "withdrawn"
                     : picture::xml_escaped(own.empty() ? change.requested : own));
      page_.row_end();
    }
    page_.table_end();
  }

  [[nodiscard]] static std::string caption(Verdict verdict) {
    switch (verdict) {
      case Verdict::not_met:
        return "Not met";
      case Verdict::not_shown:
        return "Not shown by the file";
      case Verdict::authority:
        return "For the authority";
      case Verdict::met:
        return "Met, as far as the file shows";
      case Verdict::not_applicable:
        break;
    }
    return "Not applicable";
  }

  void table(Verdict verdict) {
    if (study::count(result_, verdict) == 0) {
      return;
    }
    page_.table_begin(caption(verdict),
                      {{"rule", false},
                       {"observed", false},
                       {"limit", false},
                       {"citation", false},
                       {"line", true}});
    for (std::size_t i = 0; i < result_.judgements.size(); ++i) {
      if (result_.judgements[i].verdict == verdict) {
        row(i);
      }
    }
    page_.table_end();
  }

  void row(std::size_t i) {
    const Judgement& judgement = result_.judgements[i];
    const rules::Rule& rule = *judgement.rule;
    const std::string here = at(fmt::format("/judgements/{}", i));
    const bool by_code = !judgement.observed.empty() || !judgement.limit.empty();
    const std::string seen =
        by_code ? named(judgement.observed, here + "/observed/") : observed(judgement, here);
    page_.row_begin();
    page_.row_head(picture::xml_escaped(rule.title));
    page_.cell("observed",
               seen.empty() ? picture::xml_escaped(judgement.said.text(page_.system())) : seen);
    page_.cell("limit",
               by_code ? named(judgement.limit, here + "/limit/") : limit(judgement, here));
    page_.cell("citation",
               fmt::format("{} <span class=\"under\">{}</span>",
                           picture::xml_escaped(rules::cited(*judgement.set, rule)),
                           picture::xml_escaped(rule.id)));
    page_.number_cell("line",
                      judgement.span.line > 0
                          ? page_.tagged(here + "/line", fmt::format("{}", judgement.span.line))
                          : "");
    page_.row_end();
    notes(judgement);
  }

  /// Remarks and remedy stand beneath the row, over its whole width.
  void notes(const Judgement& judgement) {
    std::string text;
    const auto note = [&](const std::string& words) {
      text += fmt::format("<span class=\"under\">{}</span>", picture::xml_escaped(words));
    };
    for (const units::Message& remark : judgement.remarks) {
      note(remark.text(page_.system()));
    }
    if (judgement.verdict == Verdict::not_met && !judgement.rule->mend.empty()) {
      note("Remedy: " + judgement.rule->mend);
    }
    if (!text.empty()) {
      page_.row_begin("notes");
      page_.line(fmt::format("<td colspan=\"5\">{}</td>", text));
      page_.row_end();
    }
  }

  [[nodiscard]] std::string named(const std::vector<findings::NamedValue>& values,
                                  const std::string& here) const {
    std::string text;
    for (const findings::NamedValue& value : values) {
      const auto [name, dimension] = read_key(value.key);
      const bool house_pressure = value.key.find("depressurisation") != std::string::npos ||
                                  value.key.find("suction") != std::string::npos;
      text += fmt::format("{}{} {}",
                          text.empty() ? "" : ", ",
                          picture::xml_escaped(name),
                          house_pressure ? page_.pascal(here + value.key)
                                         : page_.figure(here + value.key, dimension));
    }
    return text;
  }

  /// Tests stand in the order conditions, limits, what lifts the limits. A condition that holds is
  /// why the rule applies, and no more.
  [[nodiscard]] static bool is_condition(const Judgement& judgement, std::size_t test) {
    return test < judgement.rule->when.size() && judgement.tests[test].truth == rules::Truth::yes &&
           judgement.tests.size() > 1;
  }

  [[nodiscard]] std::string observed(const Judgement& judgement, const std::string& here) const {
    std::string text;
    for (std::size_t i = 0; i < judgement.tests.size(); ++i) {
      const rules::Test& test = judgement.tests[i];
      if (is_condition(judgement, i)) {
        continue;
      }
      const rules::Fact& fact = rules::facts()[test.limit.fact];
      std::string value = "not stated";
      if (test.value && fact.kind == rules::FactKind::quantity) {
        value = page_.figure(fmt::format("{}/tests/{}/observed", here, i), fact.dimension) +
                page_.band(fmt::format("{}/tests/{}/band", here, i), fact.dimension);
      } else if (test.value) {
        value = fact.kind == rules::FactKind::word ? picture::xml_escaped(test.value->word)
                : test.value->yes                  ? "yes"
                                                   : "no";
      }
      if (test.value && test.value->basis != rules::Basis::worked_out) {
        value += " (" + picture::xml_escaped(rules::basis_words(*test.value)) + ")";
      }
      text += fmt::format(
          "{}{}: {}", text.empty() ? "" : "; ", picture::xml_escaped(fact.spoken), value);
    }
    return text;
  }

  [[nodiscard]] std::string limit(const Judgement& judgement, const std::string& here) const {
    std::string text;
    for (std::size_t i = 0; i < judgement.tests.size(); ++i) {
      const rules::Limit& limit = judgement.tests[i].limit;
      if (is_condition(judgement, i)) {
        continue;
      }
      const rules::Fact& fact = rules::facts()[limit.fact];
      std::string bound;
      if (fact.kind == rules::FactKind::quantity) {
        bound = std::string(words(limit.op)) +
                page_.figure(fmt::format("{}/tests/{}/limit", here, i), fact.dimension);
      } else if (fact.kind == rules::FactKind::word) {
        bound = (limit.op == rules::Op::forbidden ? "not " : "") +
                picture::xml_escaped(base::joined(limit.words, "or"));
      } else {
        bound = limit.op == rules::Op::forbidden ? "no" : "yes";
      }
      const bool lifts = i >= judgement.rule->when.size() + judgement.rule->limits.size();
      text += (text.empty() ? "" : "; ") + (lifts ? "or " + bound : bound);
    }
    return text;
  }

  [[nodiscard]] static const char* words(rules::Op op) {
    switch (op) {
      case rules::Op::min:
        return "at least ";
      case rules::Op::max:
        return "at most ";
      case rules::Op::above:
        return "more than ";
      case rules::Op::below:
        return "less than ";
      case rules::Op::equals:
      case rules::Op::one_of:
      case rules::Op::required:
      case rules::Op::forbidden:
        break;
    }
    return "";
  }

  void arithmetic() {
    if (result_.arithmetic.empty()) {
      return;
    }
    page_.table_begin("The arithmetic handed in, done again",
                      {{"figure", false},
                       {"handed in", true},
                       {"calculated", true},
                       {"band", false},
                       {"agreement", false},
                       {"line", true}});
    for (std::size_t i = 0; i < result_.arithmetic.size(); ++i) {
      const rules::Record& record = result_.arithmetic[i];
      for (std::size_t k = 0; k < record.figures.size(); ++k) {
        const rules::Refigured& one = record.figures[k];
        const std::string here = at(fmt::format("/arithmetic/{}/figures/{}/", i, k));
        page_.row_begin();
        page_.row_head(picture::xml_escaped(words::spoken_speed(record.speed) + ", " + one.what));
        page_.number_cell("handed in", page_.figure(here + "submitted", one.dimension));
        page_.number_cell("calculated", page_.figure(here + "calculated", one.dimension));
        page_.cell("band", one.band ? figured_band(here + "band", one) : "");
        page_.cell("agreement",
                   one.agreement != rules::Agreement::not_reproducible
                       ? picture::xml_escaped(word(one.agreement))
                       : "not reproducible, " + picture::xml_escaped(one.why_not));
        page_.number_cell("line",
                          record.span.line > 0
                              ? page_.tagged(at(fmt::format("/arithmetic/{}/line", i)),
                                             fmt::format("{}", record.span.line))
                              : "");
        page_.row_end();
      }
    }
    page_.table_end();
    for (const rules::Record& record : result_.arithmetic) {
      if (!record.off_curve.empty()) {
        page_.paragraph(record.off_curve.text(page_.system()) + ".");
      }
      if (!record.first_step.empty()) {
        page_.paragraph(fmt::format(
            "{} first parts in {}.", record.speed, record.first_step.text(page_.system())));
      }
    }
  }

  void overrides() {
    if (result_.overrides.empty()) {
      return;
    }
    page_.table_begin(
        "Stated in place of the catalogue",
        {{"what", false}, {"stated", true}, {"catalogue", true}, {"level", false}, {"line", true}});
    for (std::size_t i = 0; i < result_.overrides.size(); ++i) {
      const rules::Override& one = result_.overrides[i];
      const std::string here = at(fmt::format("/overrides/{}/", i));
      page_.row_begin();
      page_.row_head(fmt::format("{} <span class=\"under\">{}</span>",
                                 picture::xml_escaped(one.what),
                                 picture::xml_escaped(one.said.text(page_.system()))));
      page_.number_cell("stated", page_.figure(here + "stated", Dimension::number));
      page_.number_cell("catalogue", page_.figure(here + "catalogue", Dimension::number));
      page_.cell("level", word(one.level));
      page_.number_cell(
          "line",
          one.span.line > 0 ? page_.tagged(here + "line", fmt::format("{}", one.span.line)) : "");
      page_.row_end();
    }
    page_.table_end();
  }

  HtmlPage& page_;
  const study::ReviewResult& result_;
};

}  // namespace

void review_section(HtmlPage& page, const study::ReviewResult& result) {
  ReviewSection(page, result).write();
}

}  // namespace ductledger::html
