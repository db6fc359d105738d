#include <algorithm>
#include <array>
#include <functional>
#include <vector>

#include "findings/finding_internal.hpp"
#include "rules/judge_internal.hpp"

// The two largest exhausts of the dwelling together, by floor area.
namespace ductledger::rules {
namespace {

void judge_net_exhaust(const result::Case& subject, Judgement& judgement) {
  const std::optional<double> area_m2 = quantity("floor-area", subject);
  std::optional<double> own_m3_s = quantity("rated-airflow", subject);
  if (!own_m3_s) {
    own_m3_s = quantity("nameplate-airflow", subject);
  }
  if (!area_m2 || !own_m3_s || !subject.layout->house) {
    judgement.verdict = Verdict::not_shown;
    if (!area_m2) {
      ask_for("floor-area", judgement);
    }
    if (!own_m3_s) {
      ask_for("nameplate-airflow", judgement);
    }
    judgement.said = {
        "floor area, this appliance's airflow and the dwelling's other exhaust are needed", {}};
    return;
  }
  std::vector<double> exhausts_m3_s{*own_m3_s};
  for (const layout::OtherExhaust& other : subject.layout->house->other_exhaust) {
    exhausts_m3_s.push_back(other.airflow_m3_s);
  }
  std::sort(exhausts_m3_s.begin(), exhausts_m3_s.end(), std::greater<>());
  const double two_m3_s = exhausts_m3_s[0] + (exhausts_m3_s.size() > 1 ? exhausts_m3_s[1] : 0.0);
  const double limit_m3_s =
      judgement.rule->numbers.at("airflow") / judgement.rule->numbers.at("per_area") * *area_m2;
  judgement.observed = {{"two_largest_m3_s", two_m3_s}, {"floor_area_m2", *area_m2}};
  judgement.limit = {{"net_exhaust_m3_s", limit_m3_s}};
  judgement.span = subject.layout->house->span;
  judgement.said = {"the two largest exhausts move {}; required: at most {}, or makeup air",
                    {findings::airflow(two_m3_s), findings::airflow(limit_m3_s)}};
  if (two_m3_s <= limit_m3_s * (1.0 + 1e-9)) {
    judgement.verdict = Verdict::met;
  } else if (yes_no("makeup-provided", subject).value_or(false)) {
    judgement.verdict = Verdict::authority;
    judgement.remarks.push_back(
        {"makeup air is stated: whether it compensates is for the authority to say", {}});
  } else {
    judgement.verdict = Verdict::not_met;
  }
}

constexpr std::array<RuleCheckParameter, 2> kNetExhaustParameters{{
    {"airflow", FactKind::quantity, units::Dimension::airflow, ""},
    {"per_area", FactKind::quantity, units::Dimension::area, ""},
}};

}  // namespace

const RuleCheck kNetExhaust{
    .name = "net-exhaust",
    .what = "the two largest exhausts of the dwelling against an airflow by floor area",
    .parameters = kNetExhaustParameters,
    .judge = judge_net_exhaust,
};

}  // namespace ductledger::rules
