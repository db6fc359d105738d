#include "text/branches_compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "base/text.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/compare.hpp"
#include "words/parts.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

class BranchesCompareText {
 public:
  BranchesCompareText(const study::NetworkComparison& result, const TextOptions& options)
      : result_(result), page_(options) {}

  std::string text() {
    answer();
    inlets();
    figures();
    page_.safety(study::as_single(result_.runs.front().check));
    return page_.take();
  }

 private:
  void answer() {
    for (std::size_t i = 0; i < result_.runs.size(); ++i) {
      const study::ComparedNetwork& run = result_.runs[i];
      const std::string& file = run.check.layout.file;
      page_.marked(
          {.word = words::run_letter(i), .text_column = 5},
          base::escaped(run.name) + (run.name == file ? "" : " (" + base::escaped(file) + ")"));
      page_.marked({.word = "", .text_column = 5},
                   verdict_text(study::as_single(run.check), page_.options().system));
    }
    page_.blank();
    for (const units::Message& sentence : result_.answer) {
      page_.strong_paragraph(sentence.text(page_.options().system));
    }
    page_.strong_paragraph(
        result_.best ? fmt::format("Every inlet of {} surely draws more than in {}.",
                                   base::escaped(result_.runs[*result_.best].name),
                                   result_.runs.size() > 2 ? "every other one" : "the other one")
                     : "No layout surely draws more at every inlet.");
    for (const std::string& one : result_.unlike) {
      page_.paragraph(base::escaped(one) + ": the difference is not of the ducts alone.");
    }
  }

  [[nodiscard]] std::string draws(const study::Inlet& inlet) const {
    if (inlet.status != study::InletStatus::flowing) {
      return study::word(inlet.status);
    }
    const std::string band =
        inlet.band ? words::band_text(*inlet.band, Dimension::airflow, page_.options().system) : "";
    return page_.show(inlet.airflow_m3_s, Dimension::airflow) +
           (band.empty() ? "" : " (" + band + ")");
  }

  [[nodiscard]] std::string against(const std::optional<study::Difference>& d) const {
    if (!d) {
      return "-";
    }
    const auto with_sign = [&](double value) { return page_.gain(value, Dimension::airflow); };
    return d->band_m3_s ? fmt::format("{} ({} to {}){}",
                                      with_sign(d->airflow_m3_s),
                                      with_sign(d->band_m3_s->low),
                                      with_sign(d->band_m3_s->high),
                                      d->is_sure() ? "" : " =")
                        : with_sign(d->airflow_m3_s);
  }

  /// Inlets by name, each in every layout that has it, at each speed.
  void inlets() {
    std::vector<std::string> names;
    for (const study::ComparedNetwork& run : result_.runs) {
      for (const study::Inlet& inlet : run.check.speeds.front().inlets) {
        if (std::ranges::find(names, inlet.name) == names.end()) {
          names.push_back(inlet.name);
        }
      }
    }
    page_.blank();
    Table table({{"inlet", "", Align::left},
                 {"", "", Align::left},
                 {"speed", "", Align::left, 1},
                 {"draws", "", Align::left},
                 {"required", "", Align::left},
                 {"against A", page_.unit(Dimension::airflow), Align::left}});
    bool alike = false;
    for (const std::string& name : names) {
      for (std::size_t i = 0; i < result_.runs.size(); ++i) {
        const study::ComparedNetwork& run = result_.runs[i];
        for (const study::ComparedNetworkSpeed& speed : run.speeds) {
          const study::NetworkSpeed& of = run.check.speeds[speed.index];
          const auto at = std::ranges::find(of.inlets, name, &study::Inlet::name);
          if (at == of.inlets.end()) {
            continue;
          }
          const bool known =
              solve::has_best_airflow(of.point) && of.status == network::Status::solved;
          const std::string difference =
              against(speed.differences[static_cast<std::size_t>(at - of.inlets.begin())]);
          alike = alike || difference.back() == '=';
          table.row({base::escaped(name),
                     words::run_letter(i),
                     base::escaped(speed.name) + (of.locked_out ? " x" : ""),
                     known ? draws(*at) : "not known",
                     at->requirement ? result::word(*at->requirement) : "-",
                     difference});
        }
      }
    }
    page_.table(table);
    page_.paragraph(
        "Bands hold about 95 %; against A: of the difference, where errors that both share "
        "cancel.");
    if (alike) {
      page_.paragraph("= the difference may be zero: no winner");
    }
  }

  void figures() {
    page_.blank();
    Table table({{"", "", Align::left},
                 {"outdoors", "", Align::right},
                 {"depth", "", Align::right},
                 {"parts", "", Align::right},
                 {"holes", "", Align::right},
                 {"sheet", "", Align::right},
                 {"mass", "", Align::right, 1}});
    for (std::size_t i = 0; i < result_.runs.size(); ++i) {
      const study::ComparedNetwork& run = result_.runs[i];
      const study::NetworkSpeed& shown = run.check.speeds[run.check.shown];
      const bool ip = page_.options().system == units::System::ip;
      table.row({words::run_letter(i),
                 page_.show(shown.discharge_m3_s, Dimension::airflow),
                 page_.show(run.depth_m, Dimension::length),
                 fmt::format("{}", run.parts.in_all.part_count),
                 fmt::format("{}", run.hole_count),
                 ip ? fmt::format("{:.1f} ft2", run.duct_surface_m2 / units::kSquareFoot_m2)
                    : fmt::format("{:.2f} m2", run.duct_surface_m2),
                 words::mass_text(run.parts.in_all.mass_kg, page_.options().system)});
    }
    page_.table(table);
  }

  const study::NetworkComparison& result_;
  Page page_;
};

}  // namespace

std::string network_compare_text(const study::NetworkComparison& result,
                                 const TextOptions& options) {
  return BranchesCompareText(result, options).text();
}

}  // namespace ductledger::text
