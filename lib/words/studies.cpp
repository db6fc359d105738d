#include "words/studies.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.hpp"
#include "layout/piece_number.hpp"
#include "layout/spoken_speed.hpp"
#include "words/words.hpp"

namespace ductledger::words {

using units::Dimension;

std::string doubt_sentence(const study::CheckResult& result, const FigureWriter& writer) {
  if (!result.headline || !result.speeds[*result.headline].band) {
    return {};
  }
  const solve::AirflowBand& band = *result.speeds[*result.headline].band;
  std::string text;
  for (std::size_t i = 0; i < std::min<std::size_t>(2, band.first_order.effects.size()); ++i) {
    const solve::SourceEffect& effect = band.first_order.effects[i];
    if (effect.share < kNamedShare) {
      break;
    }
    text += fmt::format(
        "{}{}, {}",
        text.empty() ? "Main uncertainty: " : "; ",
        writer.of_layout(band.sources[effect.source].name(writer.system())),
        writer.show(
            fmt::format("/speeds/{}/uncertainty/sources/{}/variance_share", *result.headline, i),
            effect.share,
            Dimension::ratio));
  }
  return text.empty() ? text : text + '.';
}

std::string nominal_sentence(const study::CheckResult& result, const FigureWriter& writer) {
  if (!result.nominal || !result.headline || !result.nominal->speeds[*result.headline]) {
    return {};
  }
  const study::NominalSpeed& speed = *result.nominal->speeds[*result.headline];
  const bool beyond = speed.status == solve::Status::beyond_curve;
  if (!speed.difference_m3_s && !beyond && speed.status != solve::Status::found) {
    return {};
  }
  const std::string at = fmt::format("/speeds/{}/nominal_route/", *result.headline);
  const std::string text =
      fmt::format("Nominal route ({}, two elbows, one cap): {}{}",
                  writer.show("/nominal_route/length_m", study::kNominalLengthM, Dimension::length),
                  beyond ? "at least " : "",
                  writer.show(at + "airflow_m3_s", speed.airflow_m3_s, Dimension::airflow));
  if (!speed.difference_m3_s) {
    return text + ".";
  }
  const double difference_m3_s = std::abs(*speed.difference_m3_s);
  const units::System system = writer.system();
  if (units::display(difference_m3_s, Dimension::airflow, system) ==
      units::display(0.0, Dimension::airflow, system)) {
    return text + "; this one is as good.";
  }
  return fmt::format("{}; this one is {}{} {}.",
                     text,
                     writer.show(at + "difference_m3_s", difference_m3_s, Dimension::airflow),
                     speed.difference_ratio
                         ? fmt::format(" ({})",
                                       writer.show(at + "difference_ratio",
                                                   std::abs(*speed.difference_ratio),
                                                   Dimension::ratio))
                         : "",
                     *speed.difference_m3_s < 0.0 ? "worse" : "better");
}

std::string dryer_sentence(const study::CheckResult& result, const FigureWriter& writer) {
  if (!result.dryer) {
    return {};
  }
  const solve::DryerRun& run = *result.dryer;
  const auto length = [&](const char* key, double si) {
    return writer.show(fmt::format("/dryer_length/{}", key), si, Dimension::length);
  };
  const bool unlisted =
      std::ranges::any_of(run.elbows, [](const auto& one) { return !one.listed; });
  return fmt::format(
      "By the code's table: {} of duct and {} for elbows, {} where {} is the most{}.{}",
      length("duct_m", run.duct_m),
      length("elbows_m", run.elbows_m),
      length("total_m", run.total_m),
      length("greatest_length_m", run.greatest_length_m),
      run.other_size ? "; it is made for " +
                           duct::to_text(solve::dryer_table_section(), writer.system()) + " duct"
                     : "",
      writer.plain(unlisted ? " An elbow that it does not list counts as the mitered one." : ""));
}

namespace {
std::string left_out(std::size_t count, const char* what) {
  return fmt::format("; {} {} {} left out", count, what, count == 1 ? "is" : "are");
}
}  // namespace

std::string advice_summary(const study::NetworkAdvice& advice, std::string_view inlet) {
  const std::size_t without = advice.tried - advice.rows.size();
  return fmt::format(
      "Gains of {}. Each of {} changes was solved again by itself over the whole network{}{}.",
      inlet,
      advice.tried,
      without == 0 ? "" : left_out(without, "without gain"),
      advice.left_out == 0
          ? ""
          : fmt::format(
                "; {} more {} not tried", advice.left_out, advice.left_out == 1 ? "was" : "were"));
}

std::string advice_summary(const study::Advice& advice) {
  if (!advice.why_not.empty()) {
    return "Not compared: " + advice.why_not + ".";
  }
  if (advice.rows.empty()) {
    return fmt::format(
        "None of the {} changes tried gains anything: the run is as good as they make it.",
        advice.tried);
  }
  const std::size_t without = advice.tried - advice.rows.size() - advice.smaller;
  return fmt::format(
      "Each of {} changes was solved again by itself{}{}{}.",
      advice.tried,
      without == 0 ? "; each gains something" : left_out(without, "without gain"),
      advice.smaller == 0 ? "" : left_out(advice.smaller, "of smaller gain"),
      advice.pairs_left_out
          ? fmt::format("; pairs are tried in runs of {} pieces at most", study::kMostPiecesPaired)
          : std::string());
}

std::string pieces_changed(const study::Change& change) {
  if (change.pieces.empty()) {
    return "all";
  }
  const std::size_t first = change.pieces.front();
  const std::size_t last = change.pieces.back();
  if (change.pieces.size() > 2 && last - first + 1 == change.pieces.size()) {
    return fmt::format("{} to {}", layout::piece_number(first), layout::piece_number(last));
  }
  std::string text;
  for (const std::size_t piece : change.pieces) {
    text += fmt::format("{}{}", text.empty() ? "" : ", ", layout::piece_number(piece));
  }
  return text;
}

std::vector<std::string> advice_notes(const study::AdviceRow& row, units::System system) {
  std::vector<std::string> notes;
  for (const study::Change& change : row.changes) {
    if (!change.condition.empty()) {
      notes.push_back(change.condition.text(system));
    }
  }
  for (const findings::Finding& finding : row.brings) {
    notes.push_back("causes: " + finding_title(finding.code));
  }
  for (const std::string& code : row.mends) {
    notes.push_back("fixes: " + finding_title(code));
  }
  return notes;
}

bool is_unsure(const study::ChangedSpeed& speed) {
  const auto& band = speed.gain_band_m3_s;
  return band && band->low <= 0.0 && band->high >= 0.0;
}

std::string best_pair_sentence(const study::CheckResult& result, const FigureWriter& writer) {
  const study::Advice& advice = *result.advice;
  const study::AdviceRow& row = *advice.best_pair;
  const std::string at = "/advice_pair/";
  std::vector<std::string> changes;
  for (const study::Change& change : row.changes) {
    changes.push_back(writer.plain(change.words.text(writer.system())) +
                      (change.pieces.empty()
                           ? ""
                           : fmt::format(" ({} {})",
                                         change.pieces.size() > 1 ? "pieces" : "piece",
                                         pieces_changed(change))));
  }
  std::string text = "Best pair: " + base::joined(changes, "with");
  if (advice.airflow_m3_s) {
    return text +
           fmt::format(
               ": {} needed, {} saved",
               writer.show(at + "total_pressure_pa", row.pressure_pa, Dimension::pressure),
               writer.show(at + "pressure_saved_pa", row.pressure_saved_pa, Dimension::pressure));
  }
  for (std::size_t i = 0; i < row.speeds.size(); ++i) {
    const study::ChangedSpeed& speed = row.speeds[i];
    const std::string of_speed = at + fmt::format("speeds/{}/", i);
    text +=
        fmt::format("{} {} {}{} ({}{}{})",
                    i == 0 ? ":" : ",",
                    writer.of_layout(layout::spoken_speed(result.speeds[advice.speeds[i]].name)),
                    speed.estimated                               ? "about "
                    : speed.status == solve::Status::beyond_curve ? "at least "
                                                                  : "",
                    writer.show(of_speed + "airflow_m3_s", speed.airflow_m3_s, Dimension::airflow),
                    speed.gain_m3_s > 0.0 ? "+" : "",
                    writer.show(of_speed + "gain_m3_s", speed.gain_m3_s, Dimension::airflow),
                    is_unsure(speed) ? ", maybe none" : "");
  }
  if (row.depressurisation_pa) {
    text += fmt::format(", house {}{}",
                        writer.figure(at + "depressurisation_pa", pascal(*row.depressurisation_pa)),
                        row.over_limit ? ", over its limit" : "");
  }
  return text;
}

std::string pascal(double pressure_pa) {
  const double shown = std::round(pressure_pa * 10.0) / 10.0;
  return fmt::format("{:.1f} Pa", shown == 0.0 ? 0.0 : shown);
}

std::string makeup_text(const study::CheckResult& result, units::System system) {
  const layout::Makeup& from = result.layout.house->makeup;
  const std::string interlock = from.interlocked ? ", interlocked" : ", not interlocked";
  switch (from.kind) {
    case layout::MakeupKind::none:
      return "none";
    case layout::MakeupKind::passive_opening:
      return "by an opening of " + units::display(from.free_area_m2, Dimension::area, system);
    case layout::MakeupKind::powered:
      return "powered, " + units::display(from.airflow_m3_s, Dimension::airflow, system) +
             interlock;
    case layout::MakeupKind::duct:
      return result.house.with_makeup ? "by a duct" + interlock : "by a duct";
  }
  return "none";
}

namespace {

/// The headline speed's answer on the limit, where it is not within it.
const house::AtLimit* at_limit(const study::CheckResult& result) {
  if (!result.headline) {
    return nullptr;
  }
  const auto& at = result.speeds[*result.headline].house;
  return at && at->at_limit && at->verdict != house::Verdict::met ? &*at->at_limit : nullptr;
}

std::string of_house(const study::CheckResult& result, std::string_view key) {
  return fmt::format("/speeds/{}/house/at_limit/{}", *result.headline, key);
}

}  // namespace

std::string house_sentence(const study::CheckResult& result, const FigureWriter& writer) {
  const layout::House& house = *result.layout.house;
  std::string text = "The house's leakage is not stated";
  if (house.leakage) {
    const layout::Leakage& leakage = *house.leakage;
    const std::string at = "/house/leakage/";
    text =
        fmt::format("The house leaks {} at {} (exponent {})",
                    writer.show(at + "airflow_m3_s", leakage.airflow_m3_s, Dimension::airflow),
                    writer.figure(at + "pressure_pa", fmt::format("{:g} Pa", leakage.pressure_pa)),
                    writer.figure(at + "exponent", fmt::format("{:g}", leakage.exponent)));
    if (leakage.at_standard) {
      text += ", as reported for air of 20 degC and 1.204 kg/m3";
    }
    if (!leakage.tightness.empty()) {
      text += ", taken from its class " + writer.of_layout(leakage.tightness);
    }
  }
  for (std::size_t i = 0; i < house.other_exhaust.size(); ++i) {
    const layout::OtherExhaust& exhaust = house.other_exhaust[i];
    text += fmt::format(", {} {}",
                        exhaust.name.empty() ? "other exhaust" : writer.of_layout(exhaust.name),
                        units::display(exhaust.airflow_m3_s, Dimension::airflow, writer.system()));
  }
  return fmt::format(
      "{}, makeup air {}.", text, writer.plain(makeup_text(result, writer.system())));
}

std::string opening_sentence(const study::CheckResult& result, const FigureWriter& writer) {
  const house::AtLimit* limit = at_limit(result);
  if (limit == nullptr || !limit->opening) {
    return {};
  }
  // A proposed opening takes the place of a stated one, and stands beside other makeup air.
  const layout::MakeupKind kind = result.layout.house->makeup.kind;
  const char* const beside = kind == layout::MakeupKind::none ? "an"
                             : kind == layout::MakeupKind::passive_opening
                                 ? "in place of the stated one an"
                                 : "a further";
  return fmt::format(
      "Staying within the limit needs {} of makeup air: {} opening of {} free area, {} round.",
      writer.show(
          of_house(result, "missing_airflow_m3_s"), limit->missing_m3_s, Dimension::airflow),
      beside,
      writer.show(
          of_house(result, "opening/free_area_m2"), limit->opening->free_area_m2, Dimension::area),
      writer.show(of_house(result, "opening/round_diameter_m"),
                  limit->opening->round_diameter_m,
                  Dimension::length));
}

std::string airtightness_sentence(const study::CheckResult& result, const FigureWriter& writer) {
  const house::AtLimit* limit = at_limit(result);
  if (limit == nullptr || !limit->airtightness_m3_s || *limit->airtightness_m3_s <= 0.0) {
    return {};
  }
  return fmt::format("The house needs at least {} leakage at 50 Pa.",
                     writer.show(of_house(result, "airtightness_50_pa_m3_s"),
                                 *limit->airtightness_m3_s,
                                 Dimension::airflow));
}

}  // namespace ductledger::words
