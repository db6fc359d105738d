#include <algorithm>
#include <array>
#include <string>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"
#include "rules/judge_internal.hpp"
#include "solve/dryer_run.hpp"

// A dryer duct's length: a fixed maximum less an equivalent length for each elbow, or the
// manufacturer's figure. Beside it stands what the same elbows cost by their coefficients.
namespace ductledger::rules {
namespace {

/// What one code family takes off and allows.
struct Reckoning {
  double length_m = 0.0;    ///< of duct
  double fittings_m = 0.0;  ///< equivalent length of the elbows
  int elbows = 0;
  bool unlisted = false;  ///< an elbow was read in the mitered row
  double by_coefficient_m = 0.0;
};

Reckoning reckon(const result::Case& subject) {
  Reckoning sum;
  const auto run = solve::dryer_run(*subject.layout, *subject.run);
  if (!run) {
    return sum;
  }
  sum.length_m = run->duct_m;
  sum.fittings_m = run->elbows_m;
  sum.elbows = static_cast<int>(run->elbows.size());
  sum.unlisted = std::any_of(
      run->elbows.begin(), run->elbows.end(), [](const auto& elbow) { return !elbow.listed; });
  const result::SpeedResult* speed = findings::headline(subject);
  const double airflow_m3_s =
      speed != nullptr && speed->point.airflow_m3_s > 0.0 ? speed->point.airflow_m3_s : 0.05;
  double elbow_loss_pa = 0.0;
  double duct_loss_pa = 0.0;
  bool transition = true;  // flexible duct before any other piece does not count
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = findings::piece_of(subject, piece);
    if (stated == nullptr) {
      continue;
    }
    transition = transition && stated->kind == layout::PieceKind::flex;
    const double loss_pa = subject.run->loss.of(piece.loss, airflow_m3_s);
    if (stated->kind == layout::PieceKind::elbow) {
      elbow_loss_pa += loss_pa;
    } else if (stated->kind == layout::PieceKind::straight ||
               (stated->kind == layout::PieceKind::flex && !transition)) {
      duct_loss_pa += loss_pa;
    }
  }
  if (duct_loss_pa > 0.0) {
    sum.by_coefficient_m = elbow_loss_pa / duct_loss_pa * sum.length_m;
  }
  return sum;
}

void compare_with_coefficients(const Reckoning& sum, Judgement& judgement) {
  if (sum.elbows > 0 && sum.by_coefficient_m > 0.0) {
    judgement.observed.push_back({"elbows_by_coefficient_m", sum.by_coefficient_m});
    judgement.remarks.push_back(
        {"by their coefficients the elbows cost as much as {} of this duct, by the table {}",
         {findings::length(sum.by_coefficient_m), findings::length(sum.fittings_m)}});
  }
}

/// The maker's figure takes the place of the table's.
bool judge_by_maker(const result::Case& subject, const Reckoning& sum, Judgement& judgement) {
  const std::optional<FactValue> maker = fact_value("appliance.maker.duct_length", subject);
  if (!maker) {
    return false;
  }
  const std::optional<double> each_m = quantity("appliance.maker.elbow_length", subject);
  const double elbows_m = each_m ? *each_m * sum.elbows : sum.fittings_m;
  const double equivalent_m = sum.length_m + elbows_m;
  judgement.span = maker->span;
  judgement.observed.push_back({"equivalent_length_m", equivalent_m});
  judgement.limit.push_back({"maker_length_m", maker->si});
  findings::append(judgement.said,
                   {each_m ? "; by the manufacturer's figures {} of at most {}"
                           : "; with the table's elbows {}, of at most {} by the manufacturer",
                    {findings::length(equivalent_m), findings::length(maker->si)}});
  if (equivalent_m > maker->si * (1.0 + 1e-9)) {
    judgement.verdict = Verdict::not_met;
    return true;
  }
  const std::optional<bool> on_site = yes_no("appliance.instructions_on_site", subject);
  judgement.verdict = on_site.value_or(false) ? Verdict::met : Verdict::not_shown;
  if (!on_site.value_or(false)) {
    judgement.remarks.push_back(
        {"the manufacturer's instructions for this model have to be shown before the duct is "
         "closed in",
         {}});
    ask_for("appliance.instructions_on_site", judgement);
  }
  return true;
}

void judge_dryer_length(const result::Case& subject, Judgement& judgement) {
  const double most_m = judgement.rule->numbers.at("maximum");
  const bool by_table = judgement.rule->words.at("elbows") == "table";
  Reckoning sum = reckon(subject);
  judgement.span = subject.layout->run.span;
  if (!by_table) {
    // Two 90 deg elbows are in the maximum; each further one takes 2 ft.
    sum.fittings_m = std::max(0, sum.elbows - 2) * 2.0 * units::kMetresPerFoot;
    sum.unlisted = false;
  }
  const double equivalent_m = sum.length_m + sum.fittings_m;
  judgement.observed = {{"length_m", sum.length_m},
                        {"elbows_m", sum.fittings_m},
                        {"equivalent_length_m", equivalent_m}};
  judgement.limit = {{"equivalent_length_m", most_m}};
  judgement.said = {
      "{} of duct and {} for " + base::counted(sum.elbows, "elbow") + ": {}; required: at most {}",
      {findings::length(sum.length_m),
       findings::length(sum.fittings_m),
       findings::length(equivalent_m),
       findings::length(most_m)}};
  if (sum.unlisted) {
    judgement.remarks.push_back(
        {"an elbow that the table does not list is read as mitered, the stricter reading", {}});
  }
  if (by_table) {
    compare_with_coefficients(sum, judgement);
  }
  if (equivalent_m <= most_m * (1.0 + 1e-9)) {
    judgement.verdict = Verdict::met;
    return;
  }
  if (judge_by_maker(subject, sum, judgement)) {
    return;
  }
  if (fact_value("run.power_ventilator", subject)) {
    judgement.verdict = Verdict::authority;
    judgement.remarks.push_back(
        {"with a power ventilator its manufacturer's instructions set the length", {}});
    return;
  }
  judgement.verdict = Verdict::not_met;
  judgement.remarks.push_back(
      {"a longer length that the dryer's manufacturer allows would have to be stated", {}});
}

constexpr std::array<RuleCheckParameter, 2> kDryerLengthParameters{{
    {"maximum", FactKind::quantity, units::Dimension::length, ""},
    {"elbows", FactKind::word, units::Dimension::number, "table two-included"},
}};

}  // namespace

std::optional<double> dryer_equivalent_length_m(const result::Case& subject) {
  if (subject.layout->appliance.kind != layout::ApplianceKind::clothes_dryer) {
    return std::nullopt;
  }
  const Reckoning sum = reckon(subject);
  return sum.length_m + sum.fittings_m;
}

const RuleCheck kDryerLength{
    .name = "dryer-length",
    .what =
        "a dryer duct's length with its elbows against a maximum, or against the manufacturer's "
        "figure, "
        "and beside it the elbows by their coefficients",
    .parameters = kDryerLengthParameters,
    .judge = judge_dryer_length,
};

}  // namespace ductledger::rules
