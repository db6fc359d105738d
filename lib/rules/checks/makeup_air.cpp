#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "findings/finding_internal.hpp"
#include "rules/judge_internal.hpp"

// Codes say "able to move more than so much" and leave open by which airflow that is judged. All
// three that people use are shown; where they fall on both sides of the threshold the authority
// decides.
namespace ductledger::rules {
namespace {

/// Where an airflow stands against the threshold.
enum class Side { below, open, above };

struct Airflow {
  const char* key;
  const char* noun;
  double airflow_m3_s = 0.0;
  Side side = Side::below;
  bool at_least = false;
};

struct Threshold {
  double airflow_m3_s = 0.0;
};

Side side_of(double airflow_m3_s, const Threshold& threshold) {
  // Exactly the threshold is not over it.
  return airflow_m3_s > threshold.airflow_m3_s * (1.0 + 1e-9) ? Side::above : Side::below;
}

std::optional<Airflow> delivered(const result::Case& subject, const Threshold& threshold) {
  std::optional<Airflow> greatest;
  for (const result::SpeedResult& speed : subject.speeds) {
    const std::optional<double> moved_m3_s = findings::greatest_airflow_m3_s(speed);
    if (speed.locked_out || !moved_m3_s || (greatest && *moved_m3_s <= greatest->airflow_m3_s)) {
      continue;
    }
    Airflow moved{"delivered_airflow_m3_s",
                  "delivered",
                  *moved_m3_s,
                  side_of(*moved_m3_s, threshold),
                  speed.point.status == solve::Status::beyond_curve};
    const std::optional<result::Band> band = findings::airflow_band(speed);
    if (band && side_of(band->low, threshold) != side_of(band->high, threshold)) {
      moved.side = Side::open;
    } else if (!band && moved.at_least && moved.side == Side::below) {
      moved.side = Side::open;
    }
    greatest = moved;
  }
  return greatest;
}

std::optional<double> locked_out_airflow_m3_s(const result::Case& subject) {
  std::optional<double> greatest;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.locked_out) {
      greatest = std::max({greatest.value_or(0.0),
                           speed.rated ? speed.rated->airflow_m3_s : 0.0,
                           findings::greatest_airflow_m3_s(speed).value_or(0.0)});
    }
  }
  return greatest;
}

std::vector<Airflow> airflows(const result::Case& subject, const Threshold& threshold) {
  std::vector<Airflow> all;
  if (const auto label = quantity("nameplate-airflow", subject)) {
    all.push_back({"nameplate_airflow_m3_s", "nameplate", *label, side_of(*label, threshold)});
  }
  if (const auto rated = quantity("rated-airflow", subject)) {
    all.push_back({"rated_airflow_m3_s", "rated", *rated, side_of(*rated, threshold)});
  }
  if (const auto moved = delivered(subject, threshold)) {
    all.push_back(*moved);
  }
  return all;
}

bool any(const std::vector<Airflow>& all, Side side) {
  return std::any_of(all.begin(), all.end(), [&](const Airflow& one) { return one.side == side; });
}

void say(const units::Message& words, Judgement& judgement) {
  findings::append(judgement.said, {judgement.said.empty() ? "" : "; ", {}});
  findings::append(judgement.said, words);
}

void say_airflows(const std::vector<Airflow>& all, Judgement& judgement) {
  for (const Airflow& one : all) {
    findings::append(judgement.said,
                     {std::string(judgement.said.empty() ? "" : ", ") + one.noun +
                          (one.at_least ? " at least {}" : " {}"),
                      {findings::airflow(one.airflow_m3_s)}});
    judgement.observed.push_back({one.key, one.airflow_m3_s});
  }
}

/// What the file says of makeup air, once it is asked for.
void judge_provision(const result::Case& subject, Judgement& judgement) {
  const std::optional<FactValue> kind = fact_value("makeup-kind", subject);
  if (!kind) {
    judgement.verdict = Verdict::not_shown;
    ask_for("makeup-kind", judgement);
    say({"the file states no makeup air", {}}, judgement);
    return;
  }
  judgement.verdict = kind->word == "none" ? Verdict::not_met : Verdict::met;
  say({"makeup air: " + kind->word, {}}, judgement);
  judgement.span = kind->span;
}

void mention_lock_out(const result::Case& subject,
                      const std::vector<Airflow>& all,
                      const Threshold& threshold,
                      Judgement& judgement) {
  const std::optional<double> locked_m3_s = locked_out_airflow_m3_s(subject);
  if (!locked_m3_s || side_of(*locked_m3_s, threshold) != Side::above) {
    return;
  }
  judgement.observed.push_back({"locked_out_airflow_m3_s", *locked_m3_s});
  judgement.remarks.push_back(
      {"a speed that is locked out would move {}; whether a speed that cannot run counts is for "
       "the authority to say, in writing",
       {findings::airflow(*locked_m3_s)}});
  if (!any(all, Side::above) && judgement.verdict != Verdict::met) {
    judgement.verdict = Verdict::authority;
  }
}

void judge_threshold(const result::Case& subject, Judgement& judgement) {
  const Threshold threshold{judgement.rule->numbers.at("threshold")};
  const bool needs_draft = judgement.rule->words.at("condition") == "natural-draft-inside";
  const std::vector<Airflow> all = airflows(subject, threshold);
  if (const result::SpeedResult* speed = findings::headline(subject)) {
    judgement.span = subject.layout->fan->speeds[speed->index].span;
  }
  say_airflows(all, judgement);
  judgement.limit = {{"threshold_m3_s", threshold.airflow_m3_s}};
  if (yes_no("appliance.space_cooling_only", subject).value_or(false)) {
    judgement.verdict = Verdict::not_applicable;
    say({"used for space cooling alone", {}}, judgement);
    return;
  }
  const std::optional<bool> draft = yes_no("natural-draft-inside", subject);
  if (needs_draft && draft && !*draft) {
    judgement.verdict = Verdict::not_applicable;
    say({"no natural-draft appliance inside the air barrier", {}}, judgement);
    return;
  }
  if (all.empty()) {
    judgement.verdict = Verdict::not_shown;
    ask_for("nameplate-airflow", judgement);
    ask_for("rated-airflow", judgement);
    say({"the file states no airflow that could be judged", {}}, judgement);
    return;
  }
  if (!any(all, Side::above) && !any(all, Side::open)) {
    judgement.verdict = Verdict::not_applicable;
    say({"not over {}", {findings::airflow(threshold.airflow_m3_s)}}, judgement);
    mention_lock_out(subject, all, threshold, judgement);
    return;
  }
  say({"threshold: more than {}", {findings::airflow(threshold.airflow_m3_s)}}, judgement);
  const bool provided = yes_no("makeup-provided", subject).value_or(false);
  if (needs_draft && !draft && !provided) {
    judgement.verdict = Verdict::not_shown;
    ask_for("natural-draft-inside", judgement);
    say({"whether a natural-draft appliance stands inside the air barrier is not stated", {}},
        judgement);
    return;
  }
  judge_provision(subject, judgement);
  if (judgement.verdict != Verdict::met && any(all, Side::below)) {
    judgement.verdict = Verdict::authority;
    judgement.remarks.push_back(
        {"the airflows stand on both sides of the threshold: which of them counts is for the "
         "authority to say",
         {}});
  } else if (judgement.verdict != Verdict::met && !any(all, Side::above)) {
    judgement.verdict = Verdict::not_shown;
    judgement.remarks.push_back({"the threshold lies inside the band of the airflow", {}});
  }
  mention_lock_out(subject, all, threshold, judgement);
}

/// Both while the makeup air system works.
struct Exchange {
  double exhaust_m3_s = 0.0;
  double makeup_m3_s = 0.0;
  std::optional<double> depressurisation_pa;  ///< where it follows from the house
};

/// What a fan brings in, or what the suction of the house draws in through an opening or a duct.
std::optional<Exchange> exchange(const result::Case& subject, const FactValue& delivered) {
  const layout::Makeup& makeup = subject.layout->house->makeup;
  if (makeup.kind == layout::MakeupKind::powered) {
    return Exchange{delivered.si, makeup.airflow_m3_s, {}};
  }
  const result::SpeedResult* speed = findings::headline(subject);
  if (speed == nullptr || !speed->house || !speed->house->coupled) {
    return std::nullopt;
  }
  if (const auto& with = speed->house->with_makeup) {
    return Exchange{with->point.airflow_m3_s,
                    with->balance.makeup_airflow_m3_s,
                    with->balance.depressurisation_pa};
  }
  return Exchange{delivered.si,
                  speed->house->balance.makeup_airflow_m3_s,
                  speed->house->balance.depressurisation_pa};
}

void judge_rate(const result::Case& subject, Judgement& judgement) {
  const std::optional<FactValue> delivered = fact_value("delivered-airflow", subject);
  if (const auto kind = fact_value("makeup-kind", subject)) {
    judgement.span = kind->span;
  }
  if (!delivered || delivered->si <= 0.0) {
    judgement.verdict = Verdict::not_shown;
    ask_for("delivered-airflow", judgement);
    say({"the exhaust airflow is not known", {}}, judgement);
    return;
  }
  const std::optional<Exchange> air = exchange(subject, *delivered);
  if (!air) {
    judgement.verdict = Verdict::not_shown;
    judgement.observed = {{"delivered_airflow_m3_s", delivered->si}};
    say({"exhaust delivers {}", {findings::airflow(delivered->si)}}, judgement);
    say({"what comes in by an opening or a duct follows from the airtightness of the house, which "
         "is not stated",
         {}},
        judgement);
    ask_for("depressurisation", judgement);
    return;
  }
  judgement.observed = {{"delivered_airflow_m3_s", air->exhaust_m3_s},
                        {"makeup_airflow_m3_s", air->makeup_m3_s}};
  say({"exhaust delivers {}", {findings::airflow(air->exhaust_m3_s)}}, judgement);
  say({"makeup air {}, {} of it",
       {findings::airflow(air->makeup_m3_s),
        findings::ratio(air->makeup_m3_s / air->exhaust_m3_s)}},
      judgement);
  if (air->depressurisation_pa) {
    judgement.observed.push_back({"depressurisation_pa", *air->depressurisation_pa});
    findings::append(
        judgement.said,
        {fmt::format(" with the house drawn down by {:.1f} Pa", *air->depressurisation_pa), {}});
  }
  judgement.verdict =
      air->makeup_m3_s >= air->exhaust_m3_s * (1.0 - 1e-9) ? Verdict::met : Verdict::authority;
}

constexpr std::array<RuleCheckParameter, 2> kThresholdParameters{{
    {"threshold", FactKind::quantity, units::Dimension::airflow, ""},
    {"condition", FactKind::word, units::Dimension::number, "none natural-draft-inside"},
}};

}  // namespace

const RuleCheck kMakeupAirThreshold{
    .name = "makeup-air-threshold",
    .what =
        "nameplate, rated and delivered airflow of the speeds that can run against a threshold; "
        "over it, the file has to state makeup air",
    .parameters = kThresholdParameters,
    .judge = judge_threshold,
};

const RuleCheck kMakeupAirRate{
    .name = "makeup-air-rate",
    .what =
        "makeup airflow, of its fan or as the suction of the house draws it in, against the "
        "airflow "
        "that the exhaust delivers",
    .parameters = {},
    .judge = judge_rate,
};

}  // namespace ductledger::rules
