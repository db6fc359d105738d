#include <array>

#include "findings/finding_internal.hpp"
#include "rules/judge_internal.hpp"

// The ventilation rate of the dwelling as a whole, by floor area and bedrooms. This appliance alone
// may meet it; where it does not, other fans or credits may, which a run does not show.
namespace ductledger::rules {
namespace {

void judge_whole_dwelling_rate(const result::Case& subject, Judgement& judgement) {
  const std::optional<double> area_m2 = quantity("floor-area", subject);
  const std::optional<double> bedrooms = quantity("dwelling.bedrooms", subject);
  const auto delivered = fact_value("delivered-airflow", subject);
  if (!area_m2 || !bedrooms || !delivered) {
    judgement.verdict = Verdict::not_shown;
    judgement.said = {"floor area, bedrooms and the delivered airflow are needed", {}};
    if (!area_m2) {
      ask_for("floor-area", judgement);
    }
    if (!bedrooms) {
      ask_for("dwelling.bedrooms", judgement);
    }
    if (!delivered) {
      ask_for("delivered-airflow", judgement);
    }
    return;
  }
  const auto& numbers = judgement.rule->numbers;
  const double rate_m3_s = numbers.at("by_area") / numbers.at("per_area") * *area_m2 +
                           numbers.at("by_bedroom") * (*bedrooms + 1.0);
  const double asked_m3_s = rate_m3_s * (1.0 - 1e-9);
  const double low_m3_s = delivered->band ? delivered->band->low : delivered->si;
  const double high_m3_s = delivered->band ? delivered->band->high : delivered->si;
  judgement.span = delivered->span;
  judgement.observed = {{"delivered_airflow_m3_s", delivered->si},
                        {"floor_area_m2", *area_m2},
                        {"bedrooms", *bedrooms}};
  judgement.limit = {{"whole_dwelling_m3_s", rate_m3_s}};
  judgement.said = {"delivered {}; asked for of the dwelling: at least {}",
                    {findings::airflow(delivered->si), findings::airflow(rate_m3_s)}};
  if (low_m3_s >= asked_m3_s) {
    judgement.verdict = Verdict::met;
  } else if (high_m3_s >= asked_m3_s) {
    judgement.verdict = Verdict::not_shown;
    findings::append(judgement.said, {", which lies inside the band", {}});
  } else {
    judgement.verdict = Verdict::authority;
    judgement.remarks.push_back(
        {"this appliance alone does not bring it: whether other fans or a credit for leakage make "
         "up the rest is for the authority to say",
         {}});
  }
}

constexpr std::array<RuleCheckParameter, 3> kWholeDwellingRateParameters{{
    {"by_area", FactKind::quantity, units::Dimension::airflow, ""},
    {"per_area", FactKind::quantity, units::Dimension::area, ""},
    {"by_bedroom", FactKind::quantity, units::Dimension::airflow, ""},
}};

}  // namespace

const RuleCheck kWholeDwellingRate{
    .name = "whole-dwelling-rate",
    .what =
        "the delivered airflow against a rate by floor area, and by bedrooms and one more; without "
        "credit for leakage",
    .parameters = kWholeDwellingRateParameters,
    .judge = judge_whole_dwelling_rate,
};

}  // namespace ductledger::rules
