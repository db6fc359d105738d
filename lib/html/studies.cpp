#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "html/sections.hpp"
#include "layout/piece_number.hpp"
#include "picture/results.hpp"
#include "picture/svg.hpp"
#include "words/parts.hpp"
#include "words/words.hpp"

namespace ductledger::html {
namespace {

using units::Dimension;

// --- what makes the band ---------------------------------------------------------------------

/// Shares below this have no row.
constexpr std::size_t kMostNamed = 6;

std::string error_size(const HtmlPage& page, const std::string& pointer) {
  const ReportJson& source = page.at(pointer);
  const auto unit = source.at("unit").get<std::string>();
  const std::string at = pointer + "/standard_uncertainty";
  if (!page.at(at).is_number()) {
    return "-";
  }
  const auto value = page.at(at).get<double>();
  if (unit == "m") {
    return page.tagged(at,
                       page.system() == units::System::ip
                           ? fmt::format("{:.2g} in", value / units::kMetresPerInch)
                           : fmt::format("{:.2g} mm", 1000.0 * value));
  }
  return page.tagged(at,
                     unit == "coefficient" ? fmt::format("{:.2g}", value)
                                           : fmt::format("{:.3g} %", 100.0 * value));
}

// --- house -----------------------------------------------------------------------------------

class HouseSection {
 public:
  HouseSection(HtmlPage& page, const study::CheckResult& result) : page_(page), result_(result) {}

  void write() {
    page_.heading(0, "House and makeup air", page_.id("house-heading"));
    answer();
    gauge();
    stated();
    if (result_.house.coupled() != nullptr) {
      speeds();
    }
    remedies();
  }

 private:
  void gauge() {
    page_.picture(
        {.name = "house-gauge",
         .title = "Depressurization of the house",
         .caption = picture::house_reading(result_) +
                    " Bars: depressurization at each speed with its band; dashed: the limit."},
        [&](const HtmlPage::PictureSize& size) {
          return picture::house_svg(result_,
                                    {.system = page_.system(),
                                     .width_px = size.width_px,
                                     .use = picture::PictureUse::page},
                                    size.id);
        });
  }

  [[nodiscard]] std::string of_speed(std::size_t speed, std::string_view key) const {
    return page_.speed_at(speed, fmt::format("/house/{}", key));
  }
  [[nodiscard]] const house::SpeedHouse* at_headline() const {
    const auto& headline = result_.headline;
    return headline && result_.speeds[*headline].house ? &*result_.speeds[*headline].house
                                                       : nullptr;
  }

  [[nodiscard]] std::string depressurization(std::size_t speed) const {
    const house::SpeedHouse& at = *result_.speeds[speed].house;
    std::string text = page_.pascal(of_speed(speed, "depressurisation_pa"));
    if (at.band && at.balance.depressurisation_pa == at.judged_depressurisation_pa) {
      text += fmt::format(" ({} to {})",
                          page_.pascal(of_speed(speed, "depressurisation_band_pa/0")),
                          page_.pascal(of_speed(speed, "depressurisation_band_pa/1")));
    }
    return text;
  }

  void answer() {
    const house::SpeedHouse* at = at_headline();
    if (at == nullptr) {
      page_.paragraph("No airflow is known, so neither is what it does to the house.");
      return;
    }
    if (!at->coupled) {
      page_.paragraph(
          "The layout does not state how much the house leaks, so what the exhaust does to its "
          "pressure is not calculated.");
      return;
    }
    std::string text = fmt::format(
        "{}: house depressurization {}.",
        picture::xml_escaped(words::begun_speed(result_.speeds[*result_.headline].name)),
        depressurization(*result_.headline));
    if (const auto limit = house::limit_of(*result_.layout.house)) {
      text += fmt::format(" The limit is {} {}: {}.",
                          page_.pascal(page_.check("/house/limit/depressurisation_pa")),
                          limit->appliance.empty()
                              ? "where nothing draws its air from the room"
                              : "beside the " + picture::xml_escaped(limit->appliance),
                          words::within_limit(at->verdict));
    }
    if (page_.system() == units::System::ip) {
      text += " House pressures are in Pa, as their limits and blower doors are: 1 Pa is " +
              units::display(1.0, units::Dimension::pressure, page_.system()) + ".";
    }
    page_.line("<p>" + text + "</p>");
  }

  void stated() { page_.sentence(words::house_sentence(result_, HtmlFigures(page_))); }

  void speeds() {
    page_.table_begin("The house at each speed",
                      {{"speed", false},
                       {"depressurization", false},
                       {"limit", false},
                       {"makeup air", true},
                       {"through leaks", true},
                       {"airflow without the house", true}});
    for (std::size_t i = 0; i < result_.speeds.size(); ++i) {
      const result::SpeedResult& speed = result_.speeds[i];
      if (!speed.house || !speed.house->coupled) {
        continue;
      }
      page_.row_begin(speed.locked_out ? "aside" : "");
      page_.row_head(
          picture::xml_escaped(speed.name) +
          (speed.house->basis == house::AirflowBasis::rated_airflow ? ", held at its rated airflow"
           : speed.house->basis == house::AirflowBasis::bounds ? ", at the high end of its airflow"
                                                               : ""));
      page_.cell("depressurization", depressurization(i));
      page_.cell("limit", words::within_limit(speed.house->verdict));
      airflows(of_speed(i, ""));
      page_.number_cell(
          "airflow without the house",
          page_.figure(of_speed(i, "airflow_without_house_m3_s"), Dimension::airflow));
      page_.row_end();
      if (speed.house->with_makeup) {
        page_.row_begin();
        page_.row_head(picture::xml_escaped(speed.name) + ", makeup air started by hand");
        page_.cell("depressurization",
                   page_.pascal(of_speed(i, "with_makeup/depressurisation_pa")));
        page_.cell("limit", "");
        airflows(of_speed(i, "with_makeup/"));
        page_.number_cell("airflow without the house", "");
        page_.row_end();
      }
    }
    page_.table_end();
  }

  void airflows(const std::string& from) {
    page_.number_cell("makeup air", page_.figure(from + "makeup_airflow_m3_s", Dimension::airflow));
    page_.number_cell("through leaks",
                      page_.figure(from + "leakage_airflow_m3_s", Dimension::airflow));
  }

  void remedies() {
    const house::SpeedHouse* at = at_headline();
    if (at == nullptr || !at->at_limit || at->verdict == house::Verdict::met) {
      return;
    }
    const HtmlFigures figures(page_);
    page_.sentence(words::opening_sentence(result_, figures));
    page_.sentence(words::airtightness_sentence(result_, figures));
    if (at->openings.empty()) {
      return;
    }
    page_.table_begin("Round openings tried",
                      {{"diameter", false}, {"depressurization", true}, {"airflow", true}});
    for (std::size_t i = 0; i < at->openings.size(); ++i) {
      const std::string one = of_speed(*result_.headline, fmt::format("openings/{}/", i));
      page_.row_begin();
      page_.row_head(page_.figure(one + "round_diameter_m", Dimension::length));
      page_.number_cell("depressurization", page_.pascal(one + "depressurisation_pa"));
      page_.number_cell("airflow", page_.figure(one + "airflow_m3_s", Dimension::airflow));
      page_.row_end();
    }
    page_.table_end();
  }

  HtmlPage& page_;
  const study::CheckResult& result_;
};

// --- advice ----------------------------------------------------------------------------------

class AdviceSection {
 public:
  AdviceSection(HtmlPage& page, const study::CheckResult& result)
      : page_(page), result_(result), advice_(*result.advice) {}

  void write() {
    page_.heading(0, "What would help most", page_.id("advice-heading"));
    page_.paragraph(words::advice_summary(advice_));
    if (advice_.rows.empty()) {
      return;
    }
    table();
    if (advice_.best_pair) {
      pair();
    }
    if (beyond_) {
      page_.line("<p class=\"remark\">at least: the fan curve ends there</p>");
    }
  }

 private:
  [[nodiscard]] bool by_pressure() const { return advice_.airflow_m3_s.has_value(); }
  [[nodiscard]] std::string speed_name(std::size_t index) const {
    return base::escaped(result_.speeds[advice_.speeds[index]].name);
  }
  [[nodiscard]] std::string gain_label(std::size_t index) const {
    return "gain at " + words::spoken_speed(result_.speeds[advice_.speeds[index]].name);
  }

  void table() {
    std::vector<HtmlPage::Heading> columns{{"change", false}, {"piece", false}};
    if (by_pressure()) {
      columns.push_back({"needed", true});
      columns.push_back({"saved", true});
    } else {
      columns.push_back({speed_name(0) + " then", true});
      for (std::size_t i = 0; i < advice_.speeds.size(); ++i) {
        columns.push_back({gain_label(i), true});
      }
    }
    if (by_house()) {
      columns.push_back({"house", true});
    }
    columns.push_back({"parts", true});
    columns.push_back({"more room", true});
    page_.table_begin("Changes, the greatest gain first", columns);
    for (std::size_t i = 0; i < advice_.rows.size(); ++i) {
      row(advice_.rows[i], page_.check(fmt::format("/advice/{}/", i)));
    }
    page_.table_end();
  }

  void row(const study::AdviceRow& row, const std::string& at) {
    const study::Change& change = row.changes.front();
    std::string head = picture::xml_escaped(change.words.text(page_.system()));
    for (const std::string& note : words::advice_notes(row, page_.system())) {
      head += fmt::format(" <span class=\"under\">{}</span>", picture::xml_escaped(note));
    }
    page_.row_begin();
    page_.row_head(head);
    page_.cell("piece", words::pieces_changed(change));
    if (by_pressure()) {
      page_.number_cell("needed", page_.figure(at + "total_pressure_pa", Dimension::pressure));
      page_.number_cell("saved", page_.figure(at + "pressure_saved_pa", Dimension::pressure));
    } else {
      page_.number_cell(
          speed_name(0) + " then",
          bound(row, 0) + page_.figure(at + "speeds/0/airflow_m3_s", Dimension::airflow));
      for (std::size_t i = 0; i < row.speeds.size(); ++i) {
        page_.number_cell(gain_label(i), gain(row, i, at));
      }
    }
    if (by_house()) {
      page_.number_cell("house", house(row, at));
    }
    page_.number_cell("parts", parts(change, at));
    page_.number_cell("more room",
                      change.room_m > 0.0 ? page_.figure(at + "room_m", Dimension::length) : "-");
    page_.row_end();
  }

  /// Whether the rows tell what each change does to the house.
  [[nodiscard]] bool by_house() const { return advice_.depressurisation_pa.has_value(); }
  // House pressures are in pascal in either unit system, as blower doors and limits are.
  [[nodiscard]] std::string house(const study::AdviceRow& row, const std::string& at) const {
    if (!row.depressurisation_pa) {
      return "-";
    }
    return page_.tagged(at + "depressurisation_pa",
                        fmt::format("{:.1f} Pa", *row.depressurisation_pa)) +
           (row.over_limit ? ", over its limit" : "");
  }

  [[nodiscard]] std::string bound(const study::AdviceRow& row, std::size_t speed) {
    if (row.speeds[speed].estimated) {
      return "about ";
    }
    const bool is = row.speeds[speed].status == solve::Status::beyond_curve;
    beyond_ = beyond_ || is;
    return is ? "at least " : "";
  }
  [[nodiscard]] std::string gain(const study::AdviceRow& row,
                                 std::size_t speed,
                                 const std::string& at) {
    return bound(row, speed) +
           page_.gain(at + fmt::format("speeds/{}/gain_m3_s", speed), Dimension::airflow);
  }
  [[nodiscard]] std::string parts(const study::Change& change, const std::string& at) const {
    if (change.parts_new > 0) {
      return page_.tagged(at + "parts_new", fmt::format("{}", change.parts_new)) + " new";
    }
    return change.parts_out > 0
               ? page_.tagged(at + "parts_out", fmt::format("{}", change.parts_out)) + " out"
               : "-";
  }

  void pair() {
    std::string text = words::best_pair_sentence(result_, HtmlFigures(page_)) + '.';
    for (const std::string& note : words::advice_notes(*advice_.best_pair, page_.system())) {
      text += fmt::format(" <span class=\"under\">{}</span>", picture::xml_escaped(note));
    }
    page_.sentence(text);
  }

  HtmlPage& page_;
  const study::CheckResult& result_;
  const study::Advice& advice_;
  bool beyond_ = false;
};

// --- yardsticks ------------------------------------------------------------------------------

void length_table(HtmlPage& page, const study::CheckResult& result) {
  const ReportJson& speeds = page.at(page.check("/speeds"));
  const bool nominal = result.nominal.has_value();
  std::vector<HtmlPage::Heading> columns{
      {"speed", false}, {"at", true}, {"equivalent length", true}, {"actual duct", true}};
  if (nominal) {
    columns.push_back({"nominal route", true});
    columns.push_back({"difference", true});
  }
  const auto known = [&](const ReportJson& speed) {
    return speed.at("equivalent_length_m").is_number() || !speed.at("nominal_route").is_null();
  };
  if (std::none_of(speeds.begin(), speeds.end(), known)) {
    return;
  }
  std::string of;
  for (std::size_t i = 0; i < speeds.size() && of.empty(); ++i) {
    const std::optional<solve::EquivalentLength>& length = i < result.equivalent_lengths.size()
                                                               ? result.equivalent_lengths[i]
                                                               : result.required_length;
    if (length) {
      of = fmt::format(" in straight {}{} duct",
                       duct::to_text(length->section, page.system()),
                       length->material.empty() ? "" : " " + length->material);
    }
  }
  page.table_begin("The whole run" + of, columns);
  for (std::size_t i = 0; i < speeds.size(); ++i) {
    if (!known(speeds[i])) {
      continue;
    }
    page.row_begin();
    page.row_head(i < result.speeds.size() ? picture::xml_escaped(result.speeds[i].name)
                                           : "required airflow");
    page.number_cell(
        "at", page.figure(page.speed_at(i, "/equivalent_length_airflow_m3_s"), Dimension::airflow));
    page.number_cell("equivalent length",
                     page.figure(page.speed_at(i, "/equivalent_length_m"), Dimension::length));
    page.number_cell(
        "actual duct",
        speeds[i].at("equivalent_length_of").is_null()
            ? "-"
            : page.figure(page.speed_at(i, "/equivalent_length_of/duct_m"), Dimension::length));
    if (nominal) {
      const bool has = !speeds[i].at("nominal_route").is_null();
      const std::string at = page.speed_at(i, "/nominal_route/");
      page.number_cell("nominal route",
                       has ? page.figure(at + "airflow_m3_s", Dimension::airflow) : "-");
      page.number_cell("difference",
                       has ? page.gain(at + "difference_m3_s", Dimension::airflow) : "-");
    }
    page.row_end();
  }
  page.table_end();
}

}  // namespace

void doubt_section(HtmlPage& page, const study::CheckResult& result) {
  if (!result.headline || !result.speeds[*result.headline].band) {
    return;
  }
  const solve::AirflowBand& band = *result.speeds[*result.headline].band;
  const auto& effects = band.first_order.effects;
  const std::string sources = page.speed_at(*result.headline, "/uncertainty/sources");
  std::size_t count = 0;
  while (count < effects.size() && count < kMostNamed &&
         effects[count].share >= words::kNamedShare) {
    ++count;
  }
  if (count == 0) {
    return;
  }
  page.heading(0, "Main uncertainty", page.id("doubt-heading"));
  page.sentence(words::doubt_sentence(result, HtmlFigures(page)));
  page.table_begin("The largest errors of the calculation",
                   {{"error", false},
                    {"standard uncertainty", true},
                    {"moves the airflow by", true},
                    {"share of variance", true},
                    {"known from", false}});
  for (std::size_t i = 0; i < count; ++i) {
    const std::string at = fmt::format("{}/{}", sources, i);
    const solve::ErrorSource& source = band.sources[effects[i].source];
    page.row_begin(i == 0 ? "most" : "");
    page.row_head(picture::xml_escaped(source.name(page.system())));
    page.number_cell("standard uncertainty", error_size(page, at));
    page.number_cell("moves the airflow by",
                     page.gain(at + "/airflow_change_m3_s", Dimension::airflow));
    page.number_cell("share of variance", page.figure(at + "/variance_share", Dimension::ratio));
    page.cell("known from", source.stated ? "the layout" : picture::xml_escaped(source.status));
    page.row_end();
  }
  page.table_end();
}

void house_section(HtmlPage& page, const study::CheckResult& result) {
  if (result.layout.house && result.layout.run.discharge == layout::Discharge::outdoors) {
    HouseSection(page, result).write();
  }
}

void advice_section(HtmlPage& page, const study::CheckResult& result) {
  if (result.advice) {
    AdviceSection(page, result).write();
  }
}

void yardstick_section(HtmlPage& page, const study::CheckResult& result) {
  const ReportJson& speeds = page.at(page.check("/speeds"));
  const bool lengths = std::any_of(speeds.begin(), speeds.end(), [](const ReportJson& speed) {
    return speed.at("equivalent_length_m").is_number();
  });
  if (!lengths && !result.nominal && !result.dryer) {
    return;
  }
  page.heading(0,
               result.nominal ? "Nominal route and equivalent length" : "Equivalent length",
               page.id("yardstick-heading"));
  page.sentence(words::nominal_sentence(result, HtmlFigures(page)));
  page.sentence(words::dryer_sentence(result, HtmlFigures(page)));
  length_table(page, result);
}

}  // namespace ductledger::html
