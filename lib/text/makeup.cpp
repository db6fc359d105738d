#include "text/makeup.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "duct/section_text.hpp"
#include "text/page.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using study::MakeupSpeed;
using study::MakeupTried;
using study::MakeupWay;
using units::Dimension;

// House pressures are in pascal in either unit system, as blower doors and limits are.
std::string pascal(double pressure_pa) {
  const double shown = std::round(pressure_pa * 10.0) / 10.0;
  return fmt::format("{:.1f}", shown == 0.0 ? 0.0 : shown);
}

std::string with_band(const MakeupSpeed& speed) {
  return speed.band_pa ? fmt::format("{} ({} to {})",
                                     pascal(speed.depressurisation_pa),
                                     pascal(speed.band_pa->low),
                                     pascal(speed.band_pa->high))
                       : pascal(speed.depressurisation_pa);
}

class MakeupText : private Page {
 public:
  MakeupText(const study::MakeupSize& result, const TextOptions& options)
      : Page(options), result_(result) {}

  std::string text() {
    const layout::Layout& layout = result_.check.layout;
    title({.title = layout.title, .file = layout.file});
    answer();
    table_of_ways();
    notes();
    safety(result_.check);
    return take();
  }

 private:
  [[nodiscard]] std::string limit() const {
    return fmt::format("{:g} Pa {}",
                       result_.limit.pressure_pa,
                       result_.limit.appliance.empty()
                           ? "where nothing draws its air from the room"
                           : "beside the " + base::escaped(result_.limit.appliance));
  }

  [[nodiscard]] static std::string name_of(const MakeupSpeed& speed) {
    return speed.name.empty() ? "with every fan on" : "at " + words::spoken_speed(speed.name);
  }

  [[nodiscard]] std::string size_of(const MakeupTried& tried) const {
    if (tried.section) {
      return duct::to_text(*tried.section, options().system);
    }
    return tried.way == MakeupWay::powered ? show(tried.airflow_m3_s, Dimension::airflow) : "-";
  }

  void answer() {
    std::vector<std::string> ways;
    if (result_.duct) {
      ways.push_back("a duct of " + size_of(result_.tried[*result_.duct]));
    }
    if (result_.opening) {
      ways.push_back("an opening of " + size_of(result_.tried[*result_.opening]));
    }
    if (result_.powered) {
      ways.push_back("powered makeup air of " + size_of(result_.tried[*result_.powered]));
    }
    const bool drawn = result_.drawn.keeps();
    if (ways.empty()) {
      strong_paragraph("No makeup air that was tried keeps the depressurization within " + limit() +
                       ".");
    } else {
      strong_paragraph(
          fmt::format("Keeps the depressurization within {} at every speed that can "
                      "run, its uncertainty included: {}.",
                      limit(),
                      base::joined(ways)));
    }
    if (ways.empty() || !result_.duct) {
      paragraph("No passive duct does" + (result_.duct_why_not.empty()
                                              ? ", up to the largest stock size."
                                              : ": " + result_.duct_why_not + "."));
    }
    const MakeupSpeed& worst = result_.drawn.worst();
    paragraph(fmt::format("As drawn: {} Pa {}, {}.",
                          with_band(worst),
                          name_of(worst),
                          drawn ? "within it" : words::within_limit(worst.verdict)));
  }

  void row(Table& table, const MakeupTried& tried, bool chosen) const {
    const MakeupSpeed& worst = tried.worst();
    table.row({(chosen ? "> " : "  ") + std::string(word(tried.way)),
               size_of(tried),
               worst.name.empty() ? "-" : base::escaped(worst.name),
               with_band(worst),
               words::within_limit(worst.verdict),
               bare(worst.airflow_m3_s, Dimension::airflow)});
  }

  void table_of_ways() {
    heading("What was tried");
    Table table({{"  makeup air", "", Align::left},
                 {"size", "", Align::left},
                 {"speed", "", Align::left},
                 {"depressurization", "Pa", Align::left},
                 {"limit", "", Align::left},
                 {result_.check.layout.branches.empty() ? "hood" : "leaves",
                  unit(Dimension::airflow),
                  Align::right}});
    row(table, result_.drawn, false);
    for (std::size_t i = 0; i < result_.tried.size(); ++i) {
      const bool chosen = i == result_.duct || i == result_.opening || i == result_.powered;
      // Of powered air only what is near the answer tells something.
      const bool told = result_.tried[i].way != MakeupWay::powered || chosen || !result_.powered ||
                        i + 1 == *result_.powered || options().detail == Detail::verbose;
      if (told && (chosen || options().detail != Detail::brief)) {
        row(table, result_.tried[i], chosen);
      }
    }
    table_out(table);
  }
  void table_out(const Table& table) { Page::table(table); }

  void notes() {
    paragraph(
        result_.own_duct
            ? fmt::format(
                  "The duct has the pieces of the layout{}, each size throughout{}; with a "
                  "motorized damper it has to open with the appliance.",
                  result_.transitions_out == 0   ? ""
                  : result_.transitions_out == 1 ? " without its transition"
                                                 : " without its transitions",
                  result_.check.layout.house->makeup.branches.empty() ? "" : ", its branches too")
            : std::string(
                  "The duct is assumed: an outdoor louver, 6 ft straight, a motorized damper that "
                  "opens with the appliance, a grille. Draw your own under `house: makeup:` and "
                  "size it again."));
    paragraph(
        "The opening is sharp-edged and free of louver, mesh and damper. Powered air runs with the "
        "appliance, at the same airflow at every speed.");
    double lowest_pa = 0.0;
    if (result_.powered) {
      for (const MakeupSpeed& speed : result_.tried[*result_.powered].speeds) {
        lowest_pa = std::min(lowest_pa, speed.depressurisation_pa);
      }
    }
    if (lowest_pa < -0.05) {
      paragraph(fmt::format(
          "At its lowest exhaust the powered air presses the house up by {} Pa: let it follow the "
          "speed.",
          pascal(-lowest_pa)));
    }
    paragraph(
        "A screening figure, no spillage test: that is for the local authority or a qualified "
        "technician.");
  }

  const study::MakeupSize& result_;
};

}  // namespace

std::string makeup_text(const study::MakeupSize& result, const TextOptions& options) {
  return MakeupText(result, options).text();
}

}  // namespace ductledger::text
