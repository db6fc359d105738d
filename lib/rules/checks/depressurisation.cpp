#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "findings/finding_internal.hpp"
#include "findings/worst_speed_internal.hpp"
#include "rules/judge_internal.hpp"

// How far the exhaust draws the house down, against the limit of the combustion appliance that
// stands it least. A screening figure: whether flue gas spills is found by a test on site.
namespace ductledger::rules {
namespace {

std::string pascal(double pressure_pa) {
  return fmt::format("{:.1f} Pa", pressure_pa == 0.0 ? 0.0 : pressure_pa);
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

/// What the figure counts and what it leaves out.
void say_scope(const layout::House& house, Judgement& judgement) {
  judgement.remarks.push_back(
      {"a screening figure (k = 2), without the stack of the house: whether flue gas spills is "
       "found by a test at the worst case, with every exhaust running; which test, and what it "
       "has to show, is for the authority to say",
       {}});
  if (house.other_exhaust.empty()) {
    judgement.remarks.push_back({"no other exhaust is stated, and none is counted", {}});
    return;
  }
  std::vector<std::string> names;
  for (const layout::OtherExhaust& other : house.other_exhaust) {
    names.push_back(findings::literal(other.name));
  }
  judgement.remarks.push_back({"counted besides: " + findings::listed(names), {}});
}

std::string bound_words(const house::Limit& limit) {
  return "; required: at most " + pascal(limit.pressure_pa) +
         (limit.appliance.empty() ? std::string()
                                  : " beside a " + findings::literal(limit.appliance));
}

/// A test on site says more than any calculation.
void judge_test(const layout::HouseTest& tested, const house::Limit& limit, Judgement& judgement) {
  const std::string when =
      tested.date.empty() ? std::string() : ", " + findings::literal(tested.date);
  judgement.span = tested.span;
  judgement.verdict = Verdict::authority;
  units::Message words{"seen on site" + when + ": ", {}};
  if (tested.suction_pa) {
    judgement.observed.push_back({"tested_suction_pa", *tested.suction_pa});
    findings::append(words, {"suction " + pascal(*tested.suction_pa) + bound_words(limit), {}});
    if (*tested.suction_pa > limit.pressure_pa * (1.0 + 1e-9)) {
      judgement.verdict = Verdict::not_met;
    }
  }
  if (tested.spillage) {
    findings::append(words,
                     {std::string(tested.suction_pa ? "; " : "") +
                          "flue gas spillage: " + (*tested.spillage ? "yes" : "no"),
                      {}});
    if (*tested.spillage) {
      judgement.verdict = Verdict::not_met;
    }
  }
  if (!judgement.said.empty()) {
    findings::append(words, {". Calculated: ", {}});
  }
  findings::append(words, judgement.said);
  judgement.said = std::move(words);
  judgement.remarks.push_back(
      {"the test is judged instead of the calculation; whether it is accepted is for the "
       "authority to say",
       {}});
}

std::vector<std::string> speeds_not_known(const result::Case& subject) {
  std::vector<std::string> names;
  for (const result::SpeedResult& speed : subject.speeds) {
    const bool known = speed.house && speed.house->coupled && speed.house->band;
    if (!speed.locked_out && (!known || speed.house->basis == house::AirflowBasis::rated_airflow)) {
      names.push_back(findings::spoken(speed));
    }
  }
  return names;
}

void judge_figure(const result::Case& subject, const house::Limit& limit, Judgement& judgement) {
  const std::string bound = bound_words(limit);
  const result::SpeedResult* speed = findings::worst_speed(subject);
  if (speed == nullptr) {
    const bool any_house = std::any_of(subject.speeds.begin(),
                                       subject.speeds.end(),
                                       [](const auto& one) { return one.house.has_value(); });
    judgement.said = {(any_house ? "the airtightness of the house is not stated"
                                 : "no airflow of the exhaust is known") +
                          bound,
                      {}};
    ask_for(any_house ? "depressurisation" : "delivered-airflow", judgement);
    if (any_house && findings::headline(subject)->house) {
      say_leakage(*findings::headline(subject)->house, judgement);
    }
    return;
  }
  const house::SpeedHouse& at = *speed->house;
  judgement.observed = {{"depressurisation_pa", at.judged_depressurisation_pa},
                        {"depressurisation_low_pa", at.band->low_pa},
                        {"depressurisation_high_pa", at.band->high_pa},
                        {"airflow_m3_s", at.judged_airflow_m3_s}};
  const bool rated = at.basis == house::AirflowBasis::rated_airflow;
  judgement.said = {findings::literal(speed->name) +
                        (rated                                     ? " at its rated {}"
                         : at.basis == house::AirflowBasis::bounds ? " at {} at most"
                                                                   : " at {}") +
                        " depressurizes the house by " + pascal(at.judged_depressurisation_pa) +
                        fmt::format(" ({:.1f} to {:.1f})", at.band->low_pa, at.band->high_pa) +
                        bound,
                    {findings::airflow(at.judged_airflow_m3_s)}};
  if (at.verdict == house::Verdict::not_met) {
    judgement.verdict = Verdict::not_met;
  } else if (at.verdict == house::Verdict::met) {
    judgement.verdict = Verdict::authority;
    findings::append(judgement.said, {"; within the screening limit, for the authority", {}});
  } else {
    const bool inside =
        at.band->low_pa <= limit.pressure_pa && at.band->high_pa > limit.pressure_pa;
    findings::append(judgement.said,
                     {inside  ? ", which lies inside the band"
                      : rated ? ", and the delivered airflow is not known"
                              : ", and the figure is a bound only",
                      {}});
  }
  const std::vector<std::string> unknown = speeds_not_known(subject);
  if (!unknown.empty()) {
    judgement.remarks.push_back(
        {"not known at " + findings::listed(unknown) + ": no airflow was found there", {}});
    if (judgement.verdict == Verdict::authority) {
      judgement.verdict = Verdict::not_shown;
    }
  }
}

void judge_depressurisation(const result::Case& subject, Judgement& judgement) {
  const auto& house = subject.layout->house;
  const auto limit = house ? house::limit_of(*house) : std::nullopt;
  judgement.verdict = Verdict::not_shown;
  if (!limit) {
    judgement.said = {"fuel-burning appliances inside the air barrier are not stated", {}};
    ask_for("fuel-burning-inside", judgement);
    if (house) {
      say_scope(*house, judgement);
    }
    return;
  }
  judgement.span = limit->span;
  judgement.limit = {{"depressurisation_pa", limit->pressure_pa}};
  judge_figure(subject, *limit, judgement);
  if (house->tested) {
    judgement.missing.clear();
    judge_test(*house->tested, *limit, judgement);
  }
  say_scope(*house, judgement);
  say_lists(*limit, judgement);
}

}  // namespace

const RuleCheck kDepressurisation{
    .name = "depressurisation",
    .what =
        "depressurisation of the house at the worst speed that can run, with its band, against the "
        "strictest published limit for the combustion appliances inside the air barrier; a test "
        "stated under `house.tested` is judged instead. Never met: within the limit is for the "
        "authority",
    .parameters = {},
    .judge = judge_depressurisation,
};

}  // namespace ductledger::rules
