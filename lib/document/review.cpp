#include "document/review.hpp"

#include <cmath>

#include "document/json_internal.hpp"

namespace ductledger::document {
namespace {

using json::Json;

const char* op_word(rules::Op op) { return word(op); }

Json bound(const rules::Limit& limit) {
  const rules::Fact& fact = rules::facts()[limit.fact];
  if (fact.kind == rules::FactKind::quantity) {
    return json::number(limit.value_si);
  }
  if (fact.kind == rules::FactKind::word) {
    return limit.words;
  }
  return limit.op == rules::Op::required;
}

Json observed(const rules::Test& test) {
  const rules::Fact& fact = rules::facts()[test.limit.fact];
  if (!test.value) {
    return nullptr;
  }
  if (fact.kind == rules::FactKind::quantity) {
    return json::number(test.value->si);
  }
  return fact.kind == rules::FactKind::word ? Json(test.value->word) : Json(test.value->yes);
}

Json test_object(const rules::Test& test) {
  const char* holds = test.truth == rules::Truth::yes  ? "yes"
                      : test.truth == rules::Truth::no ? "no"
                                                       : "not-shown";
  Json band = nullptr;
  if (test.value && test.value->band) {
    band = Json::array({json::number(test.value->band->low),
                        std::isinf(test.value->band->high) ? Json(nullptr)
                                                           : json::number(test.value->band->high)});
  }
  Json basis = nullptr;
  Json seen = nullptr;
  if (test.value) {
    basis = word(test.value->basis);
    seen = json::text_or_null(test.value->seen);
  }
  return {{"fact", rules::facts()[test.limit.fact].name},
          {"key", rules::result_key(rules::facts()[test.limit.fact])},
          {"observed", observed(test)},
          {"band", std::move(band)},
          {"bound", op_word(test.limit.op)},
          {"limit", bound(test.limit)},
          {"holds", holds},
          {"within_band", test.within_band},
          {"basis", std::move(basis)},
          {"seen_on_site", std::move(seen)}};
}

std::string verdict_word(rules::Verdict verdict) {
  std::string word = rules::word(verdict);
  for (char& letter : word) {
    letter = letter == ' ' ? '-' : letter;
  }
  return word;
}

Json judgement_object(const rules::Judgement& from) {
  Json tests = Json::array();
  for (const rules::Test& one : from.tests) {
    tests.push_back(test_object(one));
  }
  Json missing = Json::array();
  for (const std::size_t fact : from.missing) {
    missing.push_back({{"fact", rules::facts()[fact].name},
                       {"layout_key", json::text_or_null(rules::facts()[fact].key)}});
  }
  const rules::Rule& rule = *from.rule;
  return {{"verdict", verdict_word(from.verdict)},
          {"level", word(rules::level(from))},
          {"message", from.said.text(units::System::ip)},
          {"remarks", json::texts(from.remarks)},
          {"rule",
           {{"id", rule.id},
            {"set", from.set->id},
            {"title", rule.title},
            {"requirement", rules::requirement_words(rule).text(units::System::ip)},
            {"citation", rules::citation(*from.set, rule)},
            {"not_verified", json::text_or_null(std::string(rules::not_verified(rule)))},
            {"status", word(rule.status)},
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

std::string agreement_word(rules::Agreement agreement) {
  switch (agreement) {
    case rules::Agreement::agrees:
      return "agrees";
    case rules::Agreement::within_band:
      return "within-band";
    case rules::Agreement::beyond_band:
      return "beyond-band";
    case rules::Agreement::differs:
      return "differs";
    case rules::Agreement::not_reproducible:
      break;
  }
  return "not-reproducible";
}

Json record_object(const rules::Record& from) {
  Json figures = Json::array();
  for (const rules::Refigured& one : from.figures) {
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
          {"off_curve", json::text_or_null(from.off_curve.text(units::System::ip))},
          {"line", from.span.line > 0 ? Json(from.span.line) : Json(nullptr)}};
}

Json override_object(const rules::Override& from) {
  return {{"kind", word(from.kind)},
          {"what", from.what},
          {"number", from.number ? Json(*from.number) : Json(nullptr)},
          {"stated", json::number(from.stated)},
          {"catalogue", json::number(from.catalogue)},
          {"level", word(from.level)},
          {"message", from.said.text(units::System::ip)},
          {"line", from.span.line > 0 ? Json(from.span.line) : Json(nullptr)},
          {"column", from.span.line > 0 ? Json(from.span.column) : Json(nullptr)}};
}

Json changed_rule(const study::JudgementChange& change) {
  const rules::Judgement& shown = change.now != nullptr ? *change.now : *change.before;
  const auto side = [](const rules::Judgement* one) {
    return one == nullptr
               ? Json(nullptr)
               : Json{{"verdict", verdict_word(one->verdict)},
                      {"message", one->said.text(units::System::ip)},
                      {"line", one->span.line > 0 ? Json(one->span.line) : Json(nullptr)}};
  };
  return {{"rule", shown.rule->id},
          {"set", shown.set->id},
          {"citation", rules::citation(*shown.set, *shown.rule)},
          {"before", side(change.before)},
          {"now", side(change.now)}};
}

}  // namespace

nlohmann::ordered_json against_object(const study::ReviewResult& before,
                                      const study::ReviewChanges& changes) {
  Json object = {{"layout", json::layout_object(before.check.layout)},
                 {"same_bytes", changes.same_bytes}};
  for (const auto& [kind, kind_word] : study::kBecameWords) {
    Json rules = Json::array();
    for (const study::JudgementChange& change : changes.rules) {
      if (change.kind == kind) {
        rules.push_back(changed_rule(change));
      }
    }
    object[kind_word] = std::move(rules);
  }
  Json remarks = Json::array();
  for (const study::RemarkChange& change : changes.remarks) {
    remarks.push_back({{"change", word(change.kind)},
                       {"code", change.code},
                       {"message", change.said.text(units::System::ip)}});
  }
  object["remarks"] = std::move(remarks);
  return object;
}

nlohmann::ordered_json review_document(const study::ReviewResult& result, const Record& record) {
  Json sets = Json::array();
  for (const rules::RuleSet& set : *result.sets) {
    sets.push_back({{"set", set.id}, {"title", set.title}, {"extends", set.extends}});
  }
  Json counts = Json::object();
  for (const rules::Verdict verdict : {rules::Verdict::not_met,
                                       rules::Verdict::not_shown,
                                       rules::Verdict::authority,
                                       rules::Verdict::met,
                                       rules::Verdict::not_applicable}) {
    counts[verdict_word(verdict)] = study::count(result, verdict);
  }
  Json judgements = Json::array();
  for (const rules::Judgement& one : result.judgements) {
    judgements.push_back(judgement_object(one));
  }
  Json arithmetic = Json::array();
  for (const rules::Record& one : result.arithmetic) {
    arithmetic.push_back(record_object(one));
  }
  Json overrides = Json::array();
  for (const rules::Override& one : result.overrides) {
    overrides.push_back(override_object(one));
  }
  Json changes = Json::array();
  for (const study::RuleChange& change : result.changes) {
    changes.push_back({{"set", change.set},
                       {"rule", change.rule},
                       {"requirement", change.by_default},
                       {"bounds", change.bounds.text(units::System::ip)},
                       {"requested", json::text_or_null(change.requested)},
                       {"requested_bounds", change.requested_bounds.text(units::System::ip)}});
  }
  return {{"format", "ductledger.review/1"},
          {"tool_version", record.tool_version},
          {"layout", json::layout_object(result.check.layout)},
          {"catalogue", {{"hash", result.check.catalogue_hash}}},
          {"options", {{"fail_on", record.fail_on}}},
          {"rule_sets", std::move(sets)},
          {"rule_sets_by_default", result.sets_by_default},
          {"rule_sets_requested", result.requested},
          {"rule_changes_requested", std::move(changes)},
          {"counts", std::move(counts)},
          {"judgements", std::move(judgements)},
          {"arithmetic", std::move(arithmetic)},
          {"overrides", std::move(overrides)},
          {"verdict", json::verdict_object(result.check)},
          {"cautions", result.check.cautions}};
}

}  // namespace ductledger::document
