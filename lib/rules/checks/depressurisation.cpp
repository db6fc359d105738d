#include <fmt/format.h>

#include <string>

#include "findings/finding_internal.hpp"
#include "rules/judge_internal.hpp"

// How far the exhaust draws the house down, against the limit of the combustion appliance that
// stands it least. A screening figure: whether flue gas spills is found by a test on site.
namespace ductledger::rules {
namespace {

std::string pascal(double pressure_pa) {
  return fmt::format("{:.1f} Pa", pressure_pa == 0.0 ? 0.0 : pressure_pa);
}

Verdict verdict_of(house::Verdict verdict) {
  switch (verdict) {
    case house::Verdict::met:
      return Verdict::met;
    case house::Verdict::not_met:
      return Verdict::not_met;
    default:
      break;
  }
  return Verdict::not_shown;
}

void say_lists(const house::Limit& limit, Judgement& judgement) {
  std::string words;
  for (const house::ListedLimit& one : limit.listed) {
    words += (words.empty() ? "" : "; ") + findings::literal(one.title) +
             fmt::format(": {:g} Pa ({})", one.pressure_pa, one.status);
  }
  if (!words.empty()) {
    judgement.remarks.push_back({"the limit is the strictest of " + words, {}});
  }
}

void say_leakage(const house::SpeedHouse& at, Judgement& judgement) {
  if (at.at_limit && at.at_limit->airtightness_m3_s && *at.at_limit->airtightness_m3_s > 0.0) {
    judgement.remarks.push_back({"the limit is just met in a house that leaks {} at 50 Pa",
                                 {findings::airflow(*at.at_limit->airtightness_m3_s)}});
  }
}

void judge(const result::Case& subject, Judgement& judgement) {
  judgement.remarks.push_back(
      {"whether flue gas spills is found by a test at the worst case; which test, and what it has "
       "to show, is for the authority to say",
       {}});
  const auto& house = subject.layout->house;
  const result::SpeedResult* speed = findings::headline(subject);
  const auto limit = house ? house::limit_of(*house) : std::nullopt;
  judgement.verdict = Verdict::not_shown;
  if (!limit) {
    judgement.said = {"what burns inside the air barrier is not stated", {}};
    ask_for("fuel-burning-inside", judgement);
    return;
  }
  judgement.span = limit->span;
  judgement.limit = {{"depressurisation_pa", limit->pressure_pa}};
  const std::string bound =
      "; asked for: at most " + pascal(limit->pressure_pa) +
      (limit->appliance.empty() ? std::string()
                                : " beside a " + findings::literal(limit->appliance));
  if (speed == nullptr || !speed->house) {
    judgement.said = {"no airflow of the exhaust is known" + bound, {}};
    ask_for("delivered-airflow", judgement);
    return;
  }
  const house::SpeedHouse& at = *speed->house;
  if (!at.coupled || !at.band) {
    judgement.said = {"the airtightness of the house is not stated" + bound, {}};
    ask_for("depressurisation", judgement);
    say_leakage(at, judgement);
    return;
  }
  judgement.verdict = verdict_of(at.verdict);
  judgement.observed = {{"depressurisation_pa", at.judged_depressurisation_pa},
                        {"depressurisation_low_pa", at.band->low_pa},
                        {"depressurisation_high_pa", at.band->high_pa},
                        {"airflow_m3_s", at.judged_airflow_m3_s}};
  const bool rated = at.basis == house::AirflowBasis::rated_airflow;
  judgement.said = {findings::literal(speed->name) + (rated ? " at its rated {}" : " at {}") +
                        " draws the house down by " + pascal(at.judged_depressurisation_pa) +
                        fmt::format(" ({:.1f} to {:.1f})", at.band->low_pa, at.band->high_pa) +
                        bound,
                    {findings::airflow(at.judged_airflow_m3_s)}};
  if (judgement.verdict == Verdict::not_shown) {
    const bool inside =
        at.band->low_pa <= limit->pressure_pa && at.band->high_pa > limit->pressure_pa;
    findings::append(judgement.said,
                     {inside  ? ", which lies inside the band"
                      : rated ? ", and the delivered airflow is not known"
                              : ", and the figure is a bound only",
                      {}});
  }
  if (house->other_exhaust.empty()) {
    judgement.remarks.push_back({"no other exhaust is stated, and none is counted", {}});
  }
  say_lists(*limit, judgement);
}

}  // namespace

const RuleCheck kDepressurisation{
    .name = "depressurisation",
    .what =
        "depressurisation of the house at the highest speed, with its band, against the strictest "
        "published limit for the combustion appliances inside the air barrier",
    .parameters = {},
    .judge = judge,
};

}  // namespace ductledger::rules
