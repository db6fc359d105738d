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
#include "words/whole_length.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using study::AdviceRow;
using study::Change;
using units::Dimension;

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
                             words::whole_length(length.total_m, page.options().system),
                             duct::to_text(length.section, page.options().system),
                             length.material.empty() ? "" : " " + length.material,
                             words::whole_length(length.duct_m, page.options().system)));
}

void sentence(Page& page, const std::string& text) {
  if (!text.empty()) {
    page.paragraph(text);
  }
}

class AdviceWriter {
 public:
  AdviceWriter(Page& page, const study::CheckResult& result)
      : page_(page), result_(result), advice_(*result.advice) {}

  void write() {
    page_.heading("What would help most");
    if (advice_.rows.empty()) {
      page_.paragraph(words::advice_summary(advice_));
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
    if (by_house()) {
      std::string limit = advice_.limit_pa ? fmt::format("; limit {:g} Pa", *advice_.limit_pa) : "";
      page_.paragraph(fmt::format("house: its depressurization, {:.1f} Pa as drawn{}{}",
                                  *advice_.depressurisation_pa,
                                  limit,
                                  over_limit_ ? "; ! over it" : ""));
    }
    page_.paragraph(words::advice_summary(advice_));
    for (std::size_t i = 0; i < notes_.size(); ++i) {
      page_.marked({.word = mark(i), .ink = Ink::bold, .text_column = 7}, notes_[i]);
    }
  }

 private:
  [[nodiscard]] bool by_pressure() const { return advice_.airflow_m3_s.has_value(); }

  /// Whether the rows tell what each change does to the house.
  [[nodiscard]] bool by_house() const { return advice_.depressurisation_pa.has_value(); }

  // House pressures are in pascal in either unit system, as blower doors and limits are.
  [[nodiscard]] std::string house(const AdviceRow& row) {
    if (!row.depressurisation_pa) {
      return "-";
    }
    over_limit_ = over_limit_ || row.over_limit;
    return fmt::format("{:.1f}{}", *row.depressurisation_pa, row.over_limit ? " !" : "");
  }

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
    if (by_house()) {
      columns.push_back({"house", "Pa", Align::right});
    }
    columns.push_back({"parts", "", Align::right});
    columns.push_back({"more", "room", Align::right});
    return Table(std::move(columns));
  }

  [[nodiscard]] std::string gain(const study::ChangedSpeed& speed) {
    const std::string sign = speed.gain_m3_s < 0.0 ? "" : "+";
    const bool bound = speed.status == solve::Status::beyond_curve && !speed.estimated;
    beyond_ = beyond_ || bound;
    const bool unsure = words::is_unsure(speed);
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
    std::string text = change.words.text(page_.options().system);
    for (const std::string& note : words::advice_notes(row, page_.options().system)) {
      text += ' ' + mark(noted(note));
    }
    std::vector<std::string> cells{std::move(text), pieces_in_table(change)};
    if (by_pressure()) {
      cells.push_back(page_.bare(row.pressure_pa, Dimension::pressure));
      cells.push_back(page_.bare(row.pressure_saved_pa, Dimension::pressure));
    } else {
      cells.push_back(page_.bare(row.speeds.front().airflow_m3_s, Dimension::airflow));
      for (const study::ChangedSpeed& speed : row.speeds) {
        cells.push_back(gain(speed));
      }
    }
    if (by_house()) {
      cells.push_back(house(row));
    }
    cells.push_back(parts(change));
    cells.push_back(change.room_m > 0.0 ? page_.show(change.room_m, Dimension::length) : "-");
    table.row(std::move(cells));
  }

  /// A long list would take the room of the change's words.
  [[nodiscard]] static std::string pieces_in_table(const Change& change) {
    std::string text = words::pieces_changed(change);
    constexpr std::size_t kLongest = 12;
    if (text.size() > kLongest && change.pieces.size() > 3) {
      text = fmt::format("{}, {} ... {}",
                         layout::piece_number(change.pieces[0]),
                         layout::piece_number(change.pieces[1]),
                         layout::piece_number(change.pieces.back()));
    }
    return text;
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
    std::string text = words::best_pair_sentence(result_, TextFigures(page_));
    std::vector<std::size_t> marks;
    for (const std::string& note :
         words::advice_notes(*advice_.best_pair, page_.options().system)) {
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
  bool over_limit_ = false;
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
  sentence(page, words::nominal_sentence(result, TextFigures(page)));
  sentence(page, words::dryer_sentence(result, TextFigures(page)));
}

void write_advice(Page& page, const study::CheckResult& result) {
  if (result.advice) {
    AdviceWriter(page, result).write();
  }
}

}  // namespace ductledger::text
