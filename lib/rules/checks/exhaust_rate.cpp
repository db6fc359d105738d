#include <array>

#include "findings/finding_internal.hpp"
#include "rules/judge_internal.hpp"

// A rate for a fan that runs on demand and a lower one for a fan that runs all the time, both of
// air that arrives outdoors. The band of the delivered airflow decides what is shown.
namespace ductledger::rules {
namespace {

struct Rate {
  double airflow_m3_s = 0.0;
};

Truth at_least(const FactValue& delivered, const Rate& rate) {
  const double asked_m3_s = rate.airflow_m3_s * (1.0 - 1e-9);
  const double low_m3_s = delivered.band ? delivered.band->low : delivered.si;
  const double high_m3_s = delivered.band ? delivered.band->high : delivered.si;
  if (low_m3_s >= asked_m3_s) {
    return Truth::yes;
  }
  return high_m3_s < asked_m3_s ? Truth::no : Truth::unknown;
}

void judge_exhaust_rate(const result::Case& subject, Judgement& judgement) {
  const Rate on_demand{judgement.rule->numbers.at("intermittent")};
  const Rate always{judgement.rule->numbers.at("continuous")};
  judgement.limit = {{"intermittent_m3_s", on_demand.airflow_m3_s},
                     {"continuous_m3_s", always.airflow_m3_s}};
  const auto delivered = fact_value("delivered-airflow", subject);
  const std::string operation = fact_word("appliance.operation", subject);
  if (!delivered) {
    judgement.verdict = Verdict::not_shown;
    judgement.said = {
        "the delivered airflow is not known; required: at least {} on demand, or {} continuous",
        {findings::airflow(on_demand.airflow_m3_s), findings::airflow(always.airflow_m3_s)}};
    ask_for("delivered-airflow", judgement);
    return;
  }
  judgement.span = delivered->span;
  judgement.observed = {{"delivered_airflow_m3_s", delivered->si}};
  judgement.said = {"delivered ", {}};
  findings::append(judgement.said, quantity_words(*delivered, units::Dimension::airflow));
  const bool continuous = operation == "continuous";
  const Rate rate = continuous ? always : on_demand;
  Truth truth = at_least(*delivered, rate);
  const bool assumed = delivered->basis == Basis::assumed;
  if (assumed && truth == Truth::yes) {
    truth = Truth::unknown;
  }
  findings::append(
      judgement.said,
      {continuous ? "; required: at least {} continuous" : "; required: at least {} on demand",
       {findings::airflow(rate.airflow_m3_s)}});
  if (truth == Truth::yes) {
    judgement.verdict = Verdict::met;
  } else if (operation.empty() && at_least(*delivered, always) != Truth::no) {
    // Enough for a fan that runs all the time, and the file does not say that it does.
    judgement.verdict = Verdict::not_shown;
    findings::append(judgement.said,
                     {", or {} continuous", {findings::airflow(always.airflow_m3_s)}});
    ask_for("appliance.operation", judgement);
  } else if (truth == Truth::unknown) {
    judgement.verdict = Verdict::not_shown;
    findings::append(
        judgement.said,
        {assumed ? ", and the fan's shape is assumed" : ", which lies inside the band", {}});
  } else {
    judgement.verdict = Verdict::not_met;
  }
}

constexpr std::array<RuleCheckParameter, 2> kExhaustRateParameters{{
    {"intermittent", FactKind::quantity, units::Dimension::airflow, ""},
    {"continuous", FactKind::quantity, units::Dimension::airflow, ""},
}};

}  // namespace

const RuleCheck kExhaustRate{
    .name = "exhaust-rate",
    .what = "the delivered airflow against a rate on demand, and one for a fan that never pauses",
    .parameters = kExhaustRateParameters,
    .judge = judge_exhaust_rate,
};

}  // namespace ductledger::rules
