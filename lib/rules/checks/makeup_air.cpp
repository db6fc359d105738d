#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <utility>
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
  std::optional<result::Band> bounds = {};  ///< only these are known of it

  [[nodiscard]] double high_m3_s() const { return bounds ? bounds->high : airflow_m3_s; }
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
    const std::optional<result::Band> bounds = result::bounds_of(speed);
    std::optional<double> moved_m3_s = findings::greatest_airflow_m3_s(speed);
    if (!moved_m3_s && bounds) {
      moved_m3_s = bounds->low;
    }
    if (speed.locked_out || !moved_m3_s) {
      continue;
    }
    Airflow moved{.key = "delivered_airflow_m3_s",
                  .noun = "delivered",
                  .airflow_m3_s = *moved_m3_s,
                  .side = side_of(bounds ? bounds->low : *moved_m3_s, threshold),
                  .at_least = speed.point.status == solve::Status::beyond_curve,
                  .bounds = bounds};
    const std::optional<result::Band> band = result::band_of(speed);
    if (band && side_of(band->low, threshold) != side_of(band->high, threshold)) {
      moved.side = Side::open;
    } else if (!band && moved.at_least && moved.side == Side::below) {
      moved.side = Side::open;
    }
    // The worst: by the side of the threshold, then by what it moves at most.
    if (!greatest || std::pair(moved.side, moved.high_m3_s()) >
                         std::pair(greatest->side, greatest->high_m3_s())) {
      greatest = moved;
    }
  }
  return greatest;
}

/// What a speed moves, at the high end of its bounds where only they are known; nothing where no
/// figure is.
std::optional<double> most_m3_s(const result::SpeedResult& speed) {
  const std::optional<result::Band> bounds = result::bounds_of(speed);
  return bounds && std::isfinite(bounds->high) ? bounds->high
                                               : findings::greatest_airflow_m3_s(speed);
}

std::optional<double> locked_out_airflow_m3_s(const result::Case& subject) {
  std::optional<double> greatest;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.locked_out) {
      greatest = std::max({greatest.value_or(0.0),
                           speed.rated ? speed.rated->airflow_m3_s : 0.0,
                           most_m3_s(speed).value_or(0.0)});
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

/// The ends that are closed, as `<what>_low_m3_s` and `<what>_high_m3_s`.
void observe_bounds(const result::Band& bounds, const std::string& what, Judgement& judgement) {
  if (std::isfinite(bounds.low)) {
    judgement.observed.push_back({what + "_low_m3_s", bounds.low});
  }
  if (std::isfinite(bounds.high)) {
    judgement.observed.push_back({what + "_high_m3_s", bounds.high});
  }
}

void say_airflows(const std::vector<Airflow>& all, Judgement& judgement) {
  for (const Airflow& one : all) {
    if (one.bounds) {
      findings::append(judgement.said,
                       {std::string(judgement.said.empty() ? "" : ", ") + one.noun + ' ', {}});
      findings::append(judgement.said,
                       findings::band_words(*one.bounds, units::Dimension::airflow));
      observe_bounds(*one.bounds, "delivered_airflow", judgement);
      continue;
    }
    findings::append(judgement.said,
                     {std::string(judgement.said.empty() ? "" : ", ") + one.noun +
                          (one.at_least ? " at least {}" : " {}"),
                      {findings::airflow(one.airflow_m3_s)}});
    judgement.observed.push_back({one.key, one.airflow_m3_s});
  }
}

double number_or(const Judgement& judgement, std::string_view name, double otherwise) {
  const auto found = judgement.rule->numbers.find(name);
  return found == judgement.rule->numbers.end() ? otherwise : found->second;
}

std::string word_or(const Judgement& judgement, std::string_view name, const char* otherwise) {
  const auto found = judgement.rule->words.find(name);
  return found == judgement.rule->words.end() ? otherwise : found->second;
}

/// The speed that can run and moves most air.
const result::SpeedResult* strongest(const result::Case& subject) {
  const result::SpeedResult* found = nullptr;
  double greatest_m3_s = 0.0;
  for (const result::SpeedResult& speed : subject.speeds) {
    const std::optional<double> moved_m3_s = most_m3_s(speed);
    if (!speed.locked_out && moved_m3_s && *moved_m3_s > greatest_m3_s) {
      found = &speed;
      greatest_m3_s = *moved_m3_s;
    }
  }
  return found;
}

/// What goes out at most and what comes in, while the makeup air system works.
struct Exchange {
  double exhaust_m3_s = 0.0;
  std::optional<double> exhaust_least_m3_s;  ///< where only bounds are known
  double makeup_m3_s = 0.0;
  std::optional<double> depressurisation_pa;  ///< where it follows from the house
};

/// What a fan brings in, or what the suction of the house draws in through an opening or a duct;
/// the exhaust at the top of its band.
std::optional<Exchange> exchange(const result::Case& subject, const result::SpeedResult& speed) {
  const double middle_m3_s = most_m3_s(speed).value_or(0.0);
  const std::optional<result::Band> band = result::band_of(speed);
  const double top_m3_s =
      band && std::isfinite(band->high) ? std::max(band->high, middle_m3_s) : middle_m3_s;
  const std::optional<result::Band> bounds = result::bounds_of(speed);
  const std::optional<double> least_m3_s =
      bounds && std::isfinite(bounds->low) ? std::optional(bounds->low) : std::nullopt;
  const layout::Makeup& makeup = subject.layout->house->makeup;
  if (makeup.kind == layout::MakeupKind::powered) {
    return Exchange{top_m3_s, least_m3_s, makeup.airflow_m3_s, {}};
  }
  if (!speed.house || !speed.house->coupled) {
    return std::nullopt;
  }
  const auto& with = speed.house->with_makeup;
  const house::Balance& balance = with ? with->balance : speed.house->balance;
  return Exchange{top_m3_s, least_m3_s, balance.makeup_airflow_m3_s, balance.depressurisation_pa};
}

/// A speed that can run and whose airflow nobody knows.
const result::SpeedResult* undetermined(const result::Case& subject) {
  const auto found =
      std::find_if(subject.speeds.begin(), subject.speeds.end(), [](const auto& speed) {
        return !speed.locked_out && !most_m3_s(speed);
      });
  return found == subject.speeds.end() ? nullptr : &*found;
}

/// Shares of the exhaust that makeup air may have, and how many that were compared lie within.
class Shares {
 public:
  Shares(const Exchange& air, Judgement& judgement)
      : air_(air),
        judgement_(judgement),
        least_(number_or(judgement, "least_share", 0.8)),
        greatest_(number_or(judgement, "greatest_share", 1.2)),
        words_{"makeup air {}", {findings::airflow(air.makeup_m3_s)}} {
    judgement.observed.push_back({"makeup_airflow_m3_s", air.makeup_m3_s});
    if (air.depressurisation_pa) {
      judgement.observed.push_back({"depressurisation_pa", *air.depressurisation_pa});
      findings::append(
          words_,
          {fmt::format(" with a house depressurization of {:.1f} Pa", *air.depressurisation_pa),
           {}});
    }
  }

  void against_exhaust() {
    if (air_.exhaust_m3_s <= 0.0) {
      return;
    }
    if (air_.exhaust_least_m3_s) {
      against_bounds();
      return;
    }
    judgement_.observed.push_back({"exhaust_airflow_m3_s", air_.exhaust_m3_s});
    against(air_.exhaust_m3_s, "exhaust at the top of its band,");
  }
  void against(double exhaust_m3_s, const char* noun) {
    const double share = air_.makeup_m3_s / exhaust_m3_s;
    findings::append(
        words_,
        {std::string(inside_ + outside_ == 0 ? ", " : " and ") + "{} of the " + noun + " {}",
         {findings::ratio(share), findings::airflow(exhaust_m3_s)}});
    ++(reaches(share) && stays_below(share) ? inside_ : outside_);
  }

  /// Says what was compared. @return what the shares alone say
  Verdict verdict() {
    findings::append(
        words_,
        {"; required: {} to {} of it", {findings::ratio(least_), findings::ratio(greatest_)}});
    say(words_, judgement_);
    if (open_) {
      judgement_.remarks.push_back({"the exhaust is known by bounds only", {}});
      return Verdict::not_shown;
    }
    if (inside_ > 0 && outside_ > 0) {
      judgement_.remarks.push_back(
          {"the nameplate and the airflow delivered say different things: which of them counts is "
           "for the authority to say",
           {}});
      return Verdict::authority;
    }
    return outside_ == 0 ? Verdict::met : Verdict::not_met;
  }

 private:
  [[nodiscard]] bool reaches(double share) const { return share >= least_ - 1e-9; }
  [[nodiscard]] bool stays_below(double share) const { return share <= greatest_ + 1e-9; }

  /// Off where both ends are off to one side.
  void against_bounds() {
    judgement_.observed.push_back({"exhaust_airflow_low_m3_s", *air_.exhaust_least_m3_s});
    judgement_.observed.push_back({"exhaust_airflow_high_m3_s", air_.exhaust_m3_s});
    const double at_high = air_.makeup_m3_s / air_.exhaust_m3_s;
    findings::append(words_,
                     {", {} of the exhaust at most ({})",
                      {findings::ratio(at_high), findings::airflow(air_.exhaust_m3_s)}});
    double at_low = std::numeric_limits<double>::infinity();
    if (*air_.exhaust_least_m3_s > 0.0) {
      at_low = air_.makeup_m3_s / *air_.exhaust_least_m3_s;
      findings::append(words_,
                       {", {} at least ({})",
                        {findings::ratio(at_low), findings::airflow(*air_.exhaust_least_m3_s)}});
    }
    open_ = reaches(at_low) && stays_below(at_high);
    outside_ += open_ ? 0 : 1;
  }

  const Exchange& air_;
  Judgement& judgement_;
  double least_;     ///< [1]
  double greatest_;  ///< [1]
  units::Message words_;
  int inside_ = 0;
  int outside_ = 0;
  bool open_ = false;
};

/// What comes in and goes out; nothing, and the judgement asks for what is missing.
std::optional<Exchange> exchange_known(const result::Case& subject,
                                       const result::SpeedResult* speed,
                                       Judgement& judgement) {
  if (speed != nullptr) {
    std::optional<Exchange> air = exchange(subject, *speed);
    if (!air) {
      say({"what comes in by an opening or a duct follows from the airtightness of the house, "
           "which is not stated",
           {}},
          judgement);
      ask_for("depressurisation", judgement);
    }
    return air;
  }
  const layout::Makeup& makeup = subject.layout->house->makeup;
  if (makeup.kind == layout::MakeupKind::powered && quantity("nameplate-airflow", subject)) {
    return Exchange{0.0, {}, makeup.airflow_m3_s, {}};
  }
  say({"the exhaust airflow is not known", {}}, judgement);
  ask_for("delivered-airflow", judgement);
  return std::nullopt;
}

/// Whether what comes in is about what goes out: at the top of the band and at the nameplate.
/// Codes say "approximately equal" and leave the tolerance to the authority; the range is the
/// rule's, 80 to 120 % where it states none (assumed).
void judge_share(const result::Case& subject, Judgement& judgement) {
  judgement.limit.push_back({"least_share", number_or(judgement, "least_share", 0.8)});
  judgement.limit.push_back({"greatest_share", number_or(judgement, "greatest_share", 1.2)});
  judgement.verdict = Verdict::not_shown;
  const result::SpeedResult* speed = strongest(subject);
  const std::optional<Exchange> air = exchange_known(subject, speed, judgement);
  if (!air) {
    return;
  }
  Shares shares(*air, judgement);
  shares.against_exhaust();
  if (const std::optional<double> label_m3_s = quantity("nameplate-airflow", subject)) {
    shares.against(*label_m3_s, "nameplate");
  }
  judgement.verdict = shares.verdict();
  if (speed != nullptr && speed->point.status == solve::Status::beyond_curve &&
      judgement.verdict == Verdict::met) {
    judgement.verdict = Verdict::not_shown;
    judgement.remarks.push_back({"the exhaust moves at least that, its curve ends there", {}});
  }
  const result::SpeedResult* unknown = undetermined(subject);
  if (speed != nullptr && unknown != nullptr) {
    judgement.remarks.push_back(
        {"not known at " + findings::spoken(*unknown) + ": no airflow was found there", {}});
    if (judgement.verdict != Verdict::not_met) {
      judgement.verdict = Verdict::not_shown;
    }
  }
  judgement.remarks.push_back(
      {"how close \"approximately equal\" has to be is for the authority to say; the range is "
       "assumed",
       {}});
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
  judgement.span = kind->span;
  if (kind->word == "none") {
    judgement.verdict = Verdict::not_met;
    say({"makeup air: none", {}}, judgement);
    return;
  }
  say({"makeup air: " + kind->word, {}}, judgement);
  judge_share(subject, judgement);
}

/// A gas cooktop is a fuel-burning appliance without a flue; a list that is empty forgets it.
bool gas_cooking_beside_empty_list(const result::Case& subject) {
  const auto& house = subject.layout->house;
  return house && house->combustion_stated && house->combustion.empty() &&
         fact_word("cooking-fuel", subject) == "gas";
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

/// The rule asks for makeup air beside a natural-draft appliance alone, and there is none.
void without_draft(const result::Case& subject,
                   const std::vector<Airflow>& all,
                   const Threshold& threshold,
                   Judgement& judgement) {
  const bool over = any(all, Side::above) || any(all, Side::open);
  if (over && gas_cooking_beside_empty_list(subject)) {
    judgement.verdict = Verdict::authority;
    say({"threshold: more than {}", {findings::airflow(threshold.airflow_m3_s)}}, judgement);
    say({"no combustion appliance is listed, and the cooktop burns gas: whether it counts is for "
         "the authority to say",
         {}},
        judgement);
    return;
  }
  judgement.verdict = Verdict::not_applicable;
  say({"no natural-draft appliance inside the air barrier", {}}, judgement);
}

void not_over(const result::Case& subject,
              const std::vector<Airflow>& all,
              const Threshold& threshold,
              Judgement& judgement) {
  const result::SpeedResult* unknown = undetermined(subject);
  const bool rated_too = std::any_of(all.begin(), all.end(), [](const Airflow& one) {
    return std::string_view(one.key) != "delivered_airflow_m3_s";
  });
  if (unknown != nullptr && !rated_too) {
    judgement.verdict = Verdict::not_shown;
    say({"the airflow of " + findings::spoken(*unknown) + " is not known; threshold: more than {}",
         {findings::airflow(threshold.airflow_m3_s)}},
        judgement);
    ask_for("nameplate-airflow", judgement);
    return;
  }
  judgement.verdict = Verdict::not_applicable;
  say({"not over {}", {findings::airflow(threshold.airflow_m3_s)}}, judgement);
  mention_lock_out(subject, all, threshold, judgement);
}

void judge_threshold(const result::Case& subject, Judgement& judgement) {
  const Threshold threshold{judgement.rule->numbers.at("threshold")};
  const bool needs_draft = word_or(judgement, "condition", "none") == "natural-draft-inside";
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
  if (all.empty()) {
    judgement.verdict = Verdict::not_shown;
    ask_for("nameplate-airflow", judgement);
    ask_for("rated-airflow", judgement);
    say({"the file states no airflow that could be judged", {}}, judgement);
    return;
  }
  const std::optional<bool> draft = yes_no("natural-draft-inside", subject);
  if (needs_draft && draft && !*draft) {
    without_draft(subject, all, threshold, judgement);
    return;
  }
  if (!any(all, Side::above) && !any(all, Side::open)) {
    not_over(subject, all, threshold, judgement);
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
  // Which airflow counts may be open; makeup air that is far off is so all the same.
  const bool off = provided && judgement.verdict == Verdict::not_met && any(all, Side::above);
  if (judgement.verdict != Verdict::met && !off && any(all, Side::below)) {
    judgement.verdict = Verdict::authority;
    judgement.remarks.push_back(
        {"the airflows stand on both sides of the threshold: which of them counts is for the "
         "authority to say",
         {}});
  } else if (judgement.verdict != Verdict::met && !off && !any(all, Side::above)) {
    judgement.verdict = Verdict::not_shown;
    judgement.remarks.push_back({"the threshold lies inside the band of the airflow", {}});
  }
  mention_lock_out(subject, all, threshold, judgement);
}

void judge_rate(const result::Case& subject, Judgement& judgement) {
  const Threshold threshold{number_or(judgement, "threshold", 0.0)};
  if (const auto kind = fact_value("makeup-kind", subject)) {
    judgement.span = kind->span;
  }
  const std::vector<Airflow> all = airflows(subject, threshold);
  const bool needs_draft = word_or(judgement, "condition", "none") == "natural-draft-inside";
  const std::optional<bool> draft = yes_no("natural-draft-inside", subject);
  const bool over = any(all, Side::above) || any(all, Side::open);
  if (!over && !all.empty() && undetermined(subject) == nullptr) {
    judgement.verdict = Verdict::not_applicable;
    say({"no airflow is over {}, so no makeup air is asked for",
         {findings::airflow(threshold.airflow_m3_s)}},
        judgement);
    return;
  }
  if (needs_draft && draft && !*draft && !gas_cooking_beside_empty_list(subject)) {
    judgement.verdict = Verdict::not_applicable;
    say({"no natural-draft appliance inside the air barrier, so no makeup air is asked for", {}},
        judgement);
    return;
  }
  judge_share(subject, judgement);
}

constexpr std::array<RuleCheckParameter, 4> kThresholdParameters{{
    {"threshold", FactKind::quantity, units::Dimension::airflow, ""},
    {"condition", FactKind::word, units::Dimension::number, "none natural-draft-inside"},
    {"least_share", FactKind::quantity, units::Dimension::ratio, "", true},
    {"greatest_share", FactKind::quantity, units::Dimension::ratio, "", true},
}};
constexpr std::array<RuleCheckParameter, 4> kRateParameters{{
    {"threshold", FactKind::quantity, units::Dimension::airflow, "", true},
    {"condition", FactKind::word, units::Dimension::number, "none natural-draft-inside", true},
    {"least_share", FactKind::quantity, units::Dimension::ratio, "", true},
    {"greatest_share", FactKind::quantity, units::Dimension::ratio, "", true},
}};

}  // namespace

const RuleCheck kMakeupAirThreshold{
    .name = "makeup-air-threshold",
    .what =
        "nameplate, rated and delivered airflow of the speeds that can run against a threshold; "
        "over it, makeup air that is about what goes out, as `makeup-air-rate` judges it",
    .parameters = kThresholdParameters,
    .judge = judge_threshold,
};

const RuleCheck kMakeupAirRate{
    .name = "makeup-air-rate",
    .what =
        "makeup airflow, of its fan or drawn in by the depressurization of the house, as a share "
        "of the "
        "exhaust at the top of its band and of the nameplate; not applicable where no airflow is "
        "over the threshold",
    .parameters = kRateParameters,
    .judge = judge_rate,
};

}  // namespace ductledger::rules
