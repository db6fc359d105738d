#include "text/compare.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/compare.hpp"
#include "words/parts.hpp"
#include "words/whole_length.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

constexpr std::size_t kName = 40;

class CompareText {
 public:
  CompareText(const study::Comparison& result, const TextOptions& options)
      : result_(result), page_(options) {}

  std::string text() {
    const bool verbose = page_.options().detail == Detail::verbose;
    page_.strong_paragraph(words::winner_sentence(result_, page_.options().system));
    for (const std::string& one : result_.unlike) {
      page_.paragraph(base::escaped(one) + ": the difference is not of the run alone.");
    }
    runs();
    if (page_.options().detail != Detail::brief) {
      answer();
      figures();
    }
    if (verbose) {
      speeds();
      changes();
    } else if (page_.options().detail != Detail::brief) {
      page_.paragraph("Every speed, holes and what differs piece by piece: --verbose.");
    }
    page_.safety(result_.runs.front().check);
    return page_.take();
  }

 private:
  [[nodiscard]] std::string show(double si, Dimension dimension) const {
    return page_.show(si, dimension);
  }
  [[nodiscard]] std::string area(double area_m2) const {
    return page_.options().system == units::System::ip
               ? fmt::format("{:.1f} ft2", area_m2 / units::kSquareFoot_m2)
               : fmt::format("{:.2f} m2", area_m2);
  }

  /// One line a run, the most air first, and its worst finding below it.
  void runs() {
    page_.blank();
    const study::CheckResult& first = result_.runs.front().check;
    if (first.headline) {
      page_.paragraph(fmt::format("At {}, the most air first:",
                                  words::spoken_speed(first.speeds[*first.headline].name)));
    }
    for (const std::size_t i : words::best_first(result_)) {
      const study::ComparedRun& run = result_.runs[i];
      const result::SpeedResult* speed =
          run.check.headline ? &run.check.speeds[*run.check.headline] : nullptr;
      std::string text = speed == nullptr ? std::string("not known") : delivers(*speed);
      if (const study::Difference* d = words::headline_difference(run)) {
        text += fmt::format("; against A {}", difference_text(*d));
      }
      const std::string file = run.name == run.check.layout.file
                                   ? ""
                                   : " (" + base::escaped(run.check.layout.file) + ")";
      page_.marked({.word = words::run_letter(i), .text_column = 5},
                   text + ": " + base::escaped(run.name) + file);
      page_.marked({.word = "", .text_column = 5}, verdict_text(run.check, page_.options().system));
    }
    if (words::any_band(result_)) {
      page_.paragraph(
          "Bands hold about 95 %; against A: of the difference, where errors that both share "
          "cancel.");
    }
  }

  [[nodiscard]] std::string difference_text(const study::Difference& d) const {
    const auto with_sign = [&](double value) { return page_.gain(value, Dimension::airflow); };
    std::string text = with_sign(d.airflow_m3_s);
    if (d.band_m3_s) {
      text += fmt::format(" ({} to {}){}",
                          with_sign(d.band_m3_s->low),
                          with_sign(d.band_m3_s->high),
                          d.is_sure() ? "" : ", may be zero");
    }
    return text;
  }

  void answer() {
    page_.blank();
    for (const units::Message& sentence : result_.answer) {
      page_.paragraph(sentence.text(page_.options().system));
    }
  }

  [[nodiscard]] std::string delivers(const result::SpeedResult& speed) const {
    return words::delivers(speed, page_.options().system);
  }

  [[nodiscard]] std::string against(const study::ComparedSpeed& speed) const {
    if (!speed.difference) {
      return "-";
    }
    const study::Difference& d = *speed.difference;
    const auto with_sign = [&](double value) { return page_.gain(value, Dimension::airflow); };
    if (!d.band_m3_s) {
      return with_sign(d.airflow_m3_s);
    }
    return fmt::format("{} ({} to {}){}",
                       with_sign(d.airflow_m3_s),
                       with_sign(d.band_m3_s->low),
                       with_sign(d.band_m3_s->high),
                       d.is_sure() ? "" : " =");
  }

  void speeds() {
    page_.blank();
    Table table({{"", "", Align::left},
                 {"speed", "", Align::left},
                 {"delivers", "", Align::left},
                 {"against A", page_.unit(Dimension::airflow), Align::left},
                 {"static", page_.unit(Dimension::pressure), Align::right, 1},
                 {"fastest", page_.unit(Dimension::velocity), Align::right, 2}});
    bool alike = false;
    for (std::size_t i = 0; i < result_.runs.size(); ++i) {
      const study::ComparedRun& run = result_.runs[i];
      for (const study::ComparedSpeed& speed : run.speeds) {
        const result::SpeedResult& result = run.check.speeds[speed.index];
        const std::string difference = against(speed);
        alike = alike || difference.back() == '=';
        table.row(
            {words::run_letter(i),
             base::escaped(speed.name) + (result.locked_out ? " x" : ""),
             delivers(result),
             difference,
             result.ledger
                 ? page_.bare(result.ledger->collar_static_pressure_pa, Dimension::pressure)
                 : "-",
             speed.velocity_m_s ? page_.bare(*speed.velocity_m_s, Dimension::velocity) : "-"});
      }
    }
    page_.table(table);
    if (words::any_band(result_)) {
      page_.paragraph(
          "Bands hold about 95 %; against A: of the difference, where errors that both "
          "share cancel.");
    }
    if (const std::string remark = words::bounds_remark(result_); !remark.empty()) {
      page_.paragraph(remark);
    }
    if (alike) {
      page_.paragraph("= the difference may be zero: no winner");
    }
  }

  [[nodiscard]] std::string holes(const study::ComparedRun& run) const {
    std::vector<std::string> words;
    for (const build::Hole& hole : run.parts.holes) {
      words.push_back(duct::to_text(hole.size, page_.options().system) + " " + hole.through);
    }
    return words.empty() ? "none stated" : base::joined(words, "and");
  }

  [[nodiscard]] std::string length(const study::ComparedRun& run) const {
    const auto& length = run.equivalent_length;
    return length ? fmt::format("equivalent length {} of straight {} duct",
                                words::whole_length(length->total_m, page_.options().system),
                                duct::to_text(length->section, page_.options().system))
                  : "equivalent length not known";
  }

  void house(const study::ComparedRun& run) {
    const house::SpeedHouse* at = run.house();
    if (at == nullptr) {
      return;
    }
    // In pascal in either unit system, as blower doors and limits are.
    std::string text = fmt::format("house: {:.1f} Pa below outdoors at {}",
                                   at->balance.depressurisation_pa,
                                   words::spoken_speed(run.check.speeds[*run.check.headline].name));
    if (at->verdict != house::Verdict::no_limit) {
      std::string verdict = house::word(at->verdict);
      std::replace(verdict.begin(), verdict.end(), '-', ' ');
      text += "; limit for the combustion appliances: " + verdict;
    }
    page_.marked({.word = "", .text_column = 5}, text);
  }

  void figures() {
    page_.blank();
    const std::string at = show(result_.common_airflow_m3_s, Dimension::airflow);
    Table table({{"", "", Align::left},
                 {"needs at", at, Align::right},
                 {"depth", "", Align::right},
                 {"parts", "", Align::right},
                 {"sheet", "", Align::right},
                 {"mass", "", Align::right, 1},
                 {"makeup", "air", Align::left}});
    for (std::size_t i = 0; i < result_.runs.size(); ++i) {
      const study::ComparedRun& run = result_.runs[i];
      table.row({words::run_letter(i),
                 show(run.common_pressure_pa, Dimension::pressure),
                 show(run.depth_m, Dimension::length),
                 fmt::format("{}", run.parts.part_count),
                 area(run.parts.duct_surface_m2),
                 words::mass_text(run.parts.mass_kg, page_.options().system),
                 run.makeup});
    }
    page_.table(table);
    page_.blank();
    for (std::size_t i = 0; i < result_.runs.size(); ++i) {
      page_.marked({.word = words::run_letter(i), .text_column = 5}, length(result_.runs[i]));
      page_.marked({.word = "", .text_column = 5}, "holes: " + holes(result_.runs[i]));
      house(result_.runs[i]);
    }
  }

  static std::string numbers(const study::PieceChange& change) {
    const auto text = [](const std::optional<int>& number) {
      return number ? fmt::format("{}", *number) : std::string("-");
    };
    return change.first == change.other ? text(change.first)
                                        : text(change.first) + " / " + text(change.other);
  }

  [[nodiscard]] std::string change_text(const study::PieceChange& change) const {
    const std::string was = change.was.text(page_.options().system);
    const std::string is = change.is.text(page_.options().system);
    if (was.empty()) {
      return "new: " + is;
    }
    if (is.empty()) {
      return "left out: " + was;
    }
    return was == is ? is + ", next to another piece" : was + " -> " + is;
  }

  void changes() {
    for (std::size_t i = 0; i < result_.changes.size(); ++i) {
      page_.heading(fmt::format("What differs in {} ({})",
                                words::run_letter(i + 1),
                                shortened(base::escaped(result_.runs[i + 1].name), kName)));
      if (result_.changes[i].empty()) {
        page_.paragraph("No piece differs.");
        continue;
      }
      for (const study::PieceChange& change : result_.changes[i]) {
        std::string text = change_text(change);
        if (change.loss_change_pa) {
          text += fmt::format(": {}{}",
                              *change.loss_change_pa > 0.0 ? "+" : "",
                              show(*change.loss_change_pa, Dimension::pressure));
        }
        page_.marked({.word = numbers(change), .text_column = 10}, text);
      }
      page_.paragraph(fmt::format("Losses at {}; numbers of A / {}.",
                                  show(result_.common_airflow_m3_s, Dimension::airflow),
                                  words::run_letter(i + 1)));
    }
  }

  const study::Comparison& result_;
  Page page_;
};

}  // namespace

std::string compare_text(const study::Comparison& result, const TextOptions& options) {
  return CompareText(result, options).text();
}

}  // namespace ductledger::text
