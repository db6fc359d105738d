#include "text/branches_size.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "text/page.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

class BranchesSizeText : private Page {
 public:
  BranchesSizeText(const study::NetworkSizeResult& result, const TextOptions& options)
      : Page(options), result_(result) {}

  std::string text() {
    title({.title = result_.check.layout.title, .file = result_.check.layout.file});
    answer();
    legs();
    inlets();
    remarks();
    safety(study::as_single(result_.check));
    return take();
  }

 private:
  void answer() {
    const std::string& name = result_.check.speeds[result_.speed].name;
    const std::string at = name.empty() ? "" : " at " + words::spoken_speed(name);
    if (result_.found) {
      strong_paragraph(
          fmt::format("With these sizes every inlet draws what it requires{}, with margin; no leg "
                      "can be a size smaller.",
                      at));
      return;
    }
    strong_paragraph(fmt::format("No choice of sizes gives every inlet what it requires{}.", at));
    for (const units::Message& one : result_.why_not) {
      bullet(one.text(options().system));
    }
    if (result_.layout) {
      paragraph(fmt::format("Below: the best of {} tried.", result_.tried));
    }
  }

  void legs() {
    blank();
    Table table({{"leg", "", Align::left},
                 {"length", "", Align::right},
                 {"drawn", "", Align::left},
                 {"size", "", Align::left},
                 {"carries", "", Align::right},
                 {"", unit(Dimension::velocity), Align::right, 1}});
    std::vector<std::string> why;
    for (const study::SizedLeg& leg : result_.legs) {
      const std::string name =
          leg.branch ? base::escaped(result_.check.layout.branches[*leg.branch].name) : "run";
      std::vector<std::string> drawn;
      for (const duct::Section& section : leg.drawn) {
        drawn.push_back(duct::to_text(section, options().system));
      }
      const std::string title = fmt::format("{}, part {}", name, leg.leg + 1);
      table.row({title,
                 show(leg.length_m, Dimension::length),
                 base::joined(drawn, "and"),
                 leg.section ? duct::to_text(*leg.section, options().system) : "none",
                 leg.section ? show(leg.airflow_m3_s, Dimension::airflow) : "-",
                 leg.section ? bare(leg.velocity_m_s, Dimension::velocity) : "-"});
      if (!leg.why_not_smaller.empty()) {
        why.push_back(title + ": " + leg.why_not_smaller.text(options().system));
      }
    }
    Page::table(table);
    if (!why.empty() && options().detail != Detail::brief) {
      heading("A size smaller");
      for (const std::string& one : why) {
        bullet(one);
      }
    }
  }

  void inlets() {
    if (result_.inlets.empty()) {
      return;
    }
    blank();
    Table table(
        {{"inlet", "", Align::left}, {"draws", "", Align::left}, {"required", "", Align::right}});
    for (const study::SizedInlet& inlet : result_.inlets) {
      std::string draws = study::word(inlet.status);
      if (inlet.status == study::InletStatus::flowing) {
        const std::string band =
            inlet.band ? words::band_text(*inlet.band, Dimension::airflow, options().system) : "";
        draws =
            show(inlet.airflow_m3_s, Dimension::airflow) + (band.empty() ? "" : " (" + band + ")");
      }
      table.row({base::escaped(inlet.name),
                 draws,
                 inlet.wanted_m3_s ? show(*inlet.wanted_m3_s, Dimension::airflow) : "-"});
    }
    Page::table(table);
  }

  void remarks() {
    if (!result_.breaks_at_every_size.empty()) {
      paragraph("No size mends: " + base::joined(result_.breaks_at_every_size, "and") + ".");
    }
    paragraph(
        "Stock round sizes, each leg at one size; a combined leg is no smaller than what joins in "
        "it. A part of a run ends at its junctions.");
  }

  const study::NetworkSizeResult& result_;
};

}  // namespace

std::string network_size_text(const study::NetworkSizeResult& result, const TextOptions& options) {
  return BranchesSizeText(result, options).text();
}

}  // namespace ductledger::text
