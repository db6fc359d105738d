#include "text/advice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "layout/piece_number.hpp"
#include "text/table.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using study::AdviceRow;
using study::Change;
using units::Dimension;

/// An equivalent length is no length to be cut: whole feet, or tenths of a metre.
std::string whole_length(double length_m, const Page& page) {
  return page.options().system == units::System::ip
             ? fmt::format("{:.0f} ft", length_m / units::kMetresPerFoot)
             : fmt::format("{:.1f} m", length_m);
}

/// The speed that the answer speaks of.
const std::optional<solve::EquivalentLength>* shown_length(const study::CheckResult& result) {
  if (result.ledger_speed && *result.ledger_speed < result.equivalent_lengths.size()) {
    return &result.equivalent_lengths[*result.ledger_speed];
  }
  return result.speeds.empty() ? &result.required_length : nullptr;
}

void equivalent_length(Page& page, const study::CheckResult& result) {
  const auto* shown = shown_length(result);
  if (shown == nullptr || !*shown) {
    return;
  }
  const solve::EquivalentLength& length = **shown;
  page.paragraph(fmt::format("Equivalent length at {}: {} of {}{} ({} actual duct).",
                             page.show(length.airflow_m3_s, Dimension::airflow),
                             whole_length(length.total_m, page),
                             duct::to_text(length.section, page.options().system),
                             length.material.empty() ? "" : " " + length.material,
                             whole_length(length.duct_m, page)));
}

void nominal(Page& page, const study::CheckResult& result) {
  if (!result.nominal || !result.headline) {
    return;
  }
  const auto& speed = result.nominal->speeds[*result.headline];
  if (!speed) {
    return;
  }
  const std::string route = fmt::format("Nominal route ({}, two elbows, one cap)",
                                        page.show(study::kNominalLengthM, Dimension::length));
  const std::string airflow = page.show(speed->airflow_m3_s, Dimension::airflow);
  if (!speed->difference_m3_s) {
    const bool beyond = speed->status == solve::Status::beyond_curve;
    if (beyond || speed->status == solve::Status::found) {
      page.paragraph(fmt::format("{}: {}{}.", route, beyond ? "at least " : "", airflow));
    }
    return;
  }
  const double difference = *speed->difference_m3_s;
  const std::string amount = page.show(std::abs(difference), Dimension::airflow);
  const std::string ratio =
      speed->difference_ratio
          ? fmt::format(" ({})", page.show(std::abs(*speed->difference_ratio), Dimension::ratio))
          : "";
  const char* const word = difference < 0.0 ? "worse" : "better";
  if (amount == page.show(0.0, Dimension::airflow)) {
    page.paragraph(fmt::format("{}: {}; this one is as good.", route, airflow));
  } else {
    page.paragraph(
        fmt::format("{}: {}; this one is {}{} {}.", route, airflow, amount, ratio, word));
  }
}

void dryer(Page& page, const study::CheckResult& result) {
  if (!result.dryer) {
    return;
  }
  const solve::DryerRun& run = *result.dryer;
  std::string text = fmt::format(
      "By the code's table: {} of duct and {} for elbows, {} where {} is the most{}.",
      page.show(run.duct_m, Dimension::length),
      page.show(run.elbows_m, Dimension::length),
      page.show(run.total_m, Dimension::length),
      page.show(run.greatest_length_m, Dimension::length),
      run.other_size
          ? "; it is made for " +
                duct::to_text(solve::dryer_table_section(), page.options().system) + " duct"
          : "");
  if (std::any_of(run.elbows.begin(), run.elbows.end(), [](const auto& e) { return !e.listed; })) {
    text += " An elbow that it does not list counts as the mitered one.";
  }
  page.paragraph(text);
}

class AdviceWriter {
 public:
  AdviceWriter(Page& page, const study::CheckResult& result)
      : page_(page), result_(result), advice_(*result.advice) {}

  void write() {
    page_.heading("What would help most");
    if (!advice_.why_not.empty()) {
      page_.paragraph("Not compared: " + advice_.why_not + ".");
      return;
    }
    if (advice_.rows.empty()) {
      page_.paragraph(fmt::format(
          "None of the {} changes tried gains anything: the run is as good as they make it.",
          advice_.tried));
      return;
    }
    Table table = columns();
    for (const AdviceRow& row : advice_.rows) {
      add(table, row, row.changes.front());
    }
    page_.table(table);
    if (advice_.best_pair) {
      pair();
    }
    if (beyond_) {
      page_.paragraph("> at least: the fan curve ends there");
    }
    if (unsure_) {
      page_.paragraph("? gain may be zero");
    }
    page_.paragraph(
        fmt::format("Each of {} changes was solved again by itself; {} without gain {} left out.",
                    advice_.tried,
                    advice_.tried - advice_.rows.size(),
                    advice_.tried - advice_.rows.size() == 1 ? "is" : "are"));
    for (std::size_t i = 0; i < notes_.size(); ++i) {
      page_.marked({.word = mark(i), .ink = Ink::bold, .text_column = 6}, notes_[i]);
    }
  }

 private:
  [[nodiscard]] bool by_pressure() const { return advice_.airflow_m3_s.has_value(); }

  [[nodiscard]] std::string speed_name(std::size_t index) const {
    return shortened(base::escaped(result_.speeds[index].name), 8);
  }

  [[nodiscard]] Table columns() const {
    std::vector<Column> columns{{"change", "", Align::left}, {"piece", "", Align::left}};
    if (by_pressure()) {
      const std::string pressure = page_.unit(Dimension::pressure);
      columns.push_back({"needed", pressure, Align::right});
      columns.push_back({"saved", pressure, Align::right});
    } else {
      const std::string airflow = page_.unit(Dimension::airflow);
      columns.push_back({speed_name(advice_.speeds.front()), airflow, Align::right});
      columns.push_back({"gain", airflow, Align::right});
      if (advice_.speeds.size() > 1) {
        columns.push_back({"gain at", speed_name(advice_.speeds.back()), Align::right});
      }
    }
    columns.push_back({"parts", "", Align::right});
    columns.push_back({"more", "room", Align::right});
    return Table(std::move(columns));
  }

  [[nodiscard]] std::string gain(const study::ChangedSpeed& speed) {
    const std::string sign = speed.gain_m3_s < 0.0 ? "" : "+";
    const bool bound = speed.status == solve::Status::beyond_curve && !speed.estimated;
    beyond_ = beyond_ || bound;
    const auto& band = speed.gain_band_m3_s;
    const bool unsure = band && band->low <= 0.0 && band->high >= 0.0;
    unsure_ = unsure_ || unsure;
    return (bound ? ">" : "") + sign + page_.bare(speed.gain_m3_s, Dimension::airflow) +
           (unsure ? " ?" : "");
  }

  [[nodiscard]] static std::string parts(const Change& change) {
    if (change.parts_new > 0) {
      return fmt::format("{} new", change.parts_new);
    }
    return change.parts_out > 0 ? fmt::format("{} out", change.parts_out) : "-";
  }

  void add(Table& table, const AdviceRow& row, const Change& change) {
    std::string words = change.words.text(page_.options().system);
    for (const std::string& note : notes_of(row)) {
      words += ' ' + mark(noted(note));
    }
    std::vector<std::string> cells{std::move(words), pieces_in_table(change)};
    if (by_pressure()) {
      cells.push_back(page_.bare(row.pressure_pa, Dimension::pressure));
      cells.push_back(page_.bare(row.pressure_saved_pa, Dimension::pressure));
    } else {
      cells.push_back(page_.bare(row.speeds.front().airflow_m3_s, Dimension::airflow));
      for (const study::ChangedSpeed& speed : row.speeds) {
        cells.push_back(gain(speed));
      }
    }
    cells.push_back(parts(change));
    cells.push_back(change.room_m > 0.0 ? page_.show(change.room_m, Dimension::length) : "-");
    table.row(std::move(cells));
  }

  [[nodiscard]] static std::string pieces(const Change& change) {
    if (change.pieces.empty()) {
      return "all";
    }
    const std::size_t first = change.pieces.front();
    const std::size_t last = change.pieces.back();
    if (change.pieces.size() > 2 && last - first + 1 == change.pieces.size()) {
      return fmt::format("{} to {}", first + 1, last + 1);
    }
    std::string text;
    for (const std::size_t piece : change.pieces) {
      text += fmt::format("{}{}", text.empty() ? "" : ", ", layout::piece_number(piece));
    }
    return text;
  }

  /// A long list would take the room of the change's words.
  [[nodiscard]] static std::string pieces_in_table(const Change& change) {
    std::string text = pieces(change);
    constexpr std::size_t kLongest = 12;
    if (text.size() > kLongest && change.pieces.size() > 3) {
      text = fmt::format("{}, {} ... {}",
                         layout::piece_number(change.pieces[0]),
                         layout::piece_number(change.pieces[1]),
                         layout::piece_number(change.pieces.back()));
    }
    return text;
  }

  [[nodiscard]] std::vector<std::string> notes_of(const AdviceRow& row) const {
    std::vector<std::string> notes;
    for (const Change& change : row.changes) {
      if (!change.condition.empty()) {
        notes.push_back(change.condition.text(page_.options().system));
      }
    }
    for (const findings::Finding& finding : row.brings) {
      notes.push_back("causes: " + words::finding_title(finding.code));
    }
    for (const std::string& code : row.mends) {
      notes.push_back("fixes: " + words::finding_title(code));
    }
    return notes;
  }

  std::size_t noted(const std::string& note) {
    const auto found = std::find(notes_.begin(), notes_.end(), note);
    if (found != notes_.end()) {
      return static_cast<std::size_t>(found - notes_.begin());
    }
    notes_.push_back(note);
    return notes_.size() - 1;
  }

  [[nodiscard]] static std::string mark(std::size_t index) {
    return fmt::format("({})", static_cast<char>('a' + static_cast<int>(index % 26)));
  }

  void pair() {
    const AdviceRow& row = *advice_.best_pair;
    std::vector<std::string> words;
    for (const Change& change : row.changes) {
      const std::string word = change.pieces.size() > 1 ? " (pieces " : " (piece ";
      const std::string where = change.pieces.empty() ? "" : word + pieces(change) + ")";
      words.push_back(change.words.text(page_.options().system) + where);
    }
    std::string text = "Best pair: " + base::joined(words, "with");
    if (by_pressure()) {
      text += fmt::format(": {} needed, {} saved",
                          page_.show(row.pressure_pa, Dimension::pressure),
                          page_.show(row.pressure_saved_pa, Dimension::pressure));
    } else {
      for (std::size_t i = 0; i < row.speeds.size(); ++i) {
        text += fmt::format("{} {} {}{} ({})",
                            i == 0 ? ":" : ",",
                            speed_name(advice_.speeds[i]),
                            row.speeds[i].estimated                               ? "about "
                            : row.speeds[i].status == solve::Status::beyond_curve ? "at least "
                                                                                  : "",
                            page_.show(row.speeds[i].airflow_m3_s, Dimension::airflow),
                            gain(row.speeds[i]));
      }
    }
    std::vector<std::size_t> marks;
    for (const std::string& note : notes_of(row)) {
      marks.push_back(noted(note));
    }
    std::sort(marks.begin(), marks.end());
    for (const std::size_t each : marks) {
      text += ' ' + mark(each);
    }
    page_.paragraph(text + '.');
  }

  Page& page_;
  const study::CheckResult& result_;
  const study::Advice& advice_;
  std::vector<std::string> notes_;
  bool beyond_ = false;
  bool unsure_ = false;
};

}  // namespace

/// A room that gives way takes part of the airflow: how much, where nobody says.
void house_would_leave(Page& page, const study::CheckResult& result) {
  if (!result.house_would_leave) {
    return;
  }
  const study::HouseWouldLeave& left = *result.house_would_leave;
  page.paragraph(
      fmt::format("No house is stated: a tight one would leave {} of it, an old leaky one {} ({} "
                  "and {} at 50 Pa).",
                  page.bare(left.tight_m3_s, Dimension::airflow),
                  page.show(left.old_m3_s, Dimension::airflow),
                  page.bare(left.tight_test_airflow_m3_s, Dimension::airflow),
                  page.show(left.old_test_airflow_m3_s, Dimension::airflow)));
}

void write_comparisons(Page& page, const study::CheckResult& result) {
  house_would_leave(page, result);
  equivalent_length(page, result);
  nominal(page, result);
  dryer(page, result);
}

void write_advice(Page& page, const study::CheckResult& result) {
  if (result.advice) {
    AdviceWriter(page, result).write();
  }
}

}  // namespace ductledger::text
