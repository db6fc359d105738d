#include <cmath>

#include "report/json_internal.hpp"
#include "report/review_text.hpp"

namespace ductledger::report {
namespace {

using json::Json;

const char* op_word(review::Op op) { return review::word(op); }

Json bound(const review::Limit& limit) {
  const review::Fact& fact = review::facts()[limit.fact];
  if (fact.kind == review::FactKind::quantity) {
    return json::number(limit.value_si);
  }
  if (fact.kind == review::FactKind::word) {
    return limit.words;
  }
  return limit.op == review::Op::required;
}

Json observed(const review::Test& test) {
  const review::Fact& fact = review::facts()[test.limit.fact];
  if (!test.value) {
    return nullptr;
  }
  if (fact.kind == review::FactKind::quantity) {
    return json::number(test.value->si);
  }
  return fact.kind == review::FactKind::word ? Json(test.value->word) : Json(test.value->yes);
}

Json test_object(const review::Test& test) {
  const char* holds = test.truth == review::Truth::yes  ? "yes"
                      : test.truth == review::Truth::no ? "no"
                                                        : "not-shown";
  Json band = nullptr;
  if (test.value && test.value->band) {
    band = Json::array({json::number(test.value->band->low),
                        std::isinf(test.value->band->high) ? Json(nullptr)
                                                           : json::number(test.value->band->high)});
  }
  return {{"fact", review::facts()[test.limit.fact].name},
          {"key", review::result_key(review::facts()[test.limit.fact])},
          {"observed", observed(test)},
          {"band", std::move(band)},
          {"bound", op_word(test.limit.op)},
          {"limit", bound(test.limit)},
          {"holds", holds},
          {"within_band", test.within_band}};
}

std::string verdict_word(review::Verdict verdict) {
  std::string word = review::word(verdict);
  for (char& letter : word) {
    letter = letter == ' ' ? '-' : letter;
  }
  return word;
}

Json judgement_object(const review::Judgement& from) {
  Json tests = Json::array();
  for (const review::Test& one : from.tests) {
    tests.push_back(test_object(one));
  }
  Json remarks = Json::array();
  for (const units::Message& one : from.remarks) {
    remarks.push_back(one.text(units::System::ip));
  }
  Json missing = Json::array();
  for (const std::size_t fact : from.missing) {
    missing.push_back({{"fact", review::facts()[fact].name},
                       {"layout_key", json::text_or_null(review::facts()[fact].key)}});
  }
  const review::Rule& rule = *from.rule;
  return {{"verdict", verdict_word(from.verdict)},
          {"level", review::word(review::level(from))},
          {"message", from.said.text(units::System::ip)},
          {"remarks", std::move(remarks)},
          {"rule",
           {{"id", rule.id},
            {"set", from.set->id},
            {"title", rule.title},
            {"requirement", rule.requirement},
            {"citation", review::citation(*from.set, rule)},
            {"status", review::word(rule.status)},
            {"source", json::text_or_null(rule.source)},
            {"exceptions", rule.exceptions},
            {"authority", rule.authority}}},
          {"tests", std::move(tests)},
          {"observed", json::named_values(from.observed)},
          {"limit", json::named_values(from.limit)},
          {"missing", std::move(missing)},
          {"line", from.span.line > 0 ? Json(from.span.line) : Json(nullptr)},
          {"column", from.span.line > 0 ? Json(from.span.column) : Json(nullptr)},
          {"remedy", json::text_or_null(rule.mend)}};
}

std::string agreement_word(review::Agreement agreement) {
  switch (agreement) {
    case review::Agreement::agrees:
      return "agrees";
    case review::Agreement::within_band:
      return "within-band";
    case review::Agreement::beyond_band:
      return "beyond-band";
    case review::Agreement::differs:
      return "differs";
    case review::Agreement::not_reproducible:
      break;
  }
  return "not-reproducible";
}

Json record_object(const review::Record& from) {
  Json figures = Json::array();
  for (const review::Refigured& one : from.figures) {
    figures.push_back({{"what", one.key},
                       {"submitted", json::number(one.submitted)},
                       {"calculated", json::number(one.ours)},
                       {"band", json::band(one.band)},
                       {"agreement", agreement_word(one.agreement)},
                       {"why_not", json::text_or_null(one.why_not)}});
  }
  return {{"speed", from.speed},
          {"figures", std::move(figures)},
          {"first_step", json::text_or_null(from.first_step.text(units::System::ip))},
          {"line", from.span.line > 0 ? Json(from.span.line) : Json(nullptr)}};
}

}  // namespace

nlohmann::ordered_json review_document(const study::ReviewResult& result, const Record& record) {
  Json sets = Json::array();
  for (const review::RuleSet& set : *result.sets) {
    sets.push_back({{"set", set.id}, {"title", set.title}, {"extends", set.extends}});
  }
  Json counts = Json::object();
  for (const review::Verdict verdict : {review::Verdict::not_met,
                                        review::Verdict::not_shown,
                                        review::Verdict::authority,
                                        review::Verdict::met,
                                        review::Verdict::not_applicable}) {
    counts[verdict_word(verdict)] = study::count(result, verdict);
  }
  Json judgements = Json::array();
  for (const review::Judgement& one : result.judgements) {
    judgements.push_back(judgement_object(one));
  }
  Json arithmetic = Json::array();
  for (const review::Record& one : result.arithmetic) {
    arithmetic.push_back(record_object(one));
  }
  return {{"format", "ductledger.review/1"},
          {"tool_version", record.tool_version},
          {"layout", json::layout_object(result.check.layout)},
          {"catalogue", {{"hash", result.check.catalogue_hash}}},
          {"options", {{"fail_on", record.fail_on}}},
          {"rule_sets", std::move(sets)},
          {"rule_sets_by_default", result.sets_by_default},
          {"counts", std::move(counts)},
          {"judgements", std::move(judgements)},
          {"arithmetic", std::move(arithmetic)},
          {"cautions", result.check.cautions}};
}

}  // namespace ductledger::report
