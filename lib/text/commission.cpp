#include "text/commission.hpp"

#include <fmt/format.h>

#include "base/text.hpp"
#include "layout/piece_number.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

constexpr const char* kBlank = "________";

class Writer : private Page {
 public:
  Writer(const site::CommissionResult& result, const TextOptions& options)
      : Page(options), result_(result) {}

  std::string text() {
    const layout::Layout& layout = result_.check.layout;
    title({.title = layout.title, .file = layout.file});
    strong_paragraph("Hand-over sheet: what to find, where to read it.");
    paragraph("Of the file with sha256 " + layout.sha256);
    paragraph(fmt::format("Date {}{}   read by {}{}{}", kBlank, "__", kBlank, kBlank, kBlank));
    write_verdict(*this, result_.check);
    readings();
    holes();
    filter();
    checks();
    cautions(result_.check.cautions);
    return take();
  }

 private:
  [[nodiscard]] std::string with_band(double value,
                                      const std::optional<result::Band>& band,
                                      Dimension dimension) const {
    const std::string text =
        band ? words::band_text(*band, dimension, options().system) : std::string{};
    return text.empty() ? bare(value, dimension)
                        : fmt::format("{} ({})", bare(value, dimension), text);
  }

  void readings() {
    heading("Readings");
    if (result_.speeds.empty()) {
      paragraph("No fan is stated, so no reading can be told beforehand.");
      return;
    }
    const std::string airflow = unit(Dimension::airflow);
    const std::string pressure = unit(Dimension::pressure);
    const bool at_collar = result_.check.run.fan_at_collar;
    Table table({{"speed", "", Align::left},
                 {"airflow", airflow, Align::left},
                 {"read", airflow, Align::left},
                 {at_collar ? "static, collar" : "rise, fan", pressure, Align::left},
                 {"read", pressure, Align::left}});
    bool bounds = false;
    for (const site::ExpectedSpeed& expected : result_.speeds) {
      const result::SpeedResult& speed = result_.check.speeds[expected.speed];
      const auto& pressure_there = at_collar ? expected.collar : expected.across_fan;
      bounds = bounds || speed.point.estimate.has_value();
      table.row(
          {base::escaped(speed.name) + (speed.locked_out ? " x" : ""),
           solve::has_best_airflow(speed.point) ? with_band(solve::best_airflow_m3_s(speed.point),
                                                            speed.airflow_band_m3_s,
                                                            Dimension::airflow)
                                                : words::delivers(speed, options().system),
           kBlank,
           pressure_there
               ? with_band(
                     pressure_there->pressure_pa, pressure_there->band_pa, Dimension::pressure)
               : "-",
           kBlank});
    }
    Page::table(table);
    paragraph(
        "In brackets: where about 95 of 100 readings should lie. `ductledger measured` says what a "
        "reading outside means.");
    if (bounds) {
      paragraph(
          "Where the fan is known by its ratings alone, the brackets hold what a fan that falls "
          "can do, and the figure before them is an estimate.");
    }
  }

  [[nodiscard]] std::string place(const site::TestHole& hole) const {
    return fmt::format("piece {}, {} from its start",
                       layout::piece_number(hole.piece),
                       show(hole.from_start_m, Dimension::length));
  }

  void holes() {
    heading("Where to read");
    if (!result_.check.run.fan_at_collar) {
      paragraph(
          "Static pressure: the rise across the fan, one port of the gauge in the duct before it "
          "and one behind (`at: fan`). Before the fan a pressure against the room tells of the "
          "hood alone.");
    }
    if (result_.gauge_hole) {
      paragraph(fmt::format(
          "{}: drill {} (as near the fan as is quiet), the gauge's other port open to the room "
          "that the appliance stands in; close the hole with foil tape or a plug. Never on "
          "grease-laden duct that must stay tight without the approval of the authority having "
          "jurisdiction.",
          result_.check.run.fan_at_collar ? "Static pressure" : "Or against the room",
          place(*result_.gauge_hole)));
      std::vector<std::string> there;
      for (const site::ExpectedSpeed& expected : result_.speeds) {
        if (expected.at_hole) {
          there.push_back(fmt::format(
              "{} {} {}",
              base::escaped(result_.check.speeds[expected.speed].name),
              with_band(
                  expected.at_hole->pressure_pa, expected.at_hole->band_pa, Dimension::pressure),
              unit(Dimension::pressure)));
        }
      }
      if (!there.empty()) {
        paragraph(fmt::format(
            "Expected at that hole: {}. `ductledger measured` takes what is read there with "
            "`--at hole`, in a file with `at: hole`.",
            base::joined(there, "and")));
      }
    } else if (result_.check.run.fan_at_collar) {
      paragraph("Static pressure: the run has no straight to drill; read at the collar.");
    }
    if (result_.traverse_plane) {
      const site::TestHole& plane = *result_.traverse_plane;
      paragraph(
          fmt::format("Traverse: {}, with {:.1f} diameters of straight duct before it and {:.1f} "
                      "after: a {} plane (7.5 and 2 wanted, common practice).",
                      place(plane),
                      plane.upstream_diameters,
                      plane.downstream_diameters,
                      plane.good_plane ? "good" : "poor"));
    } else {
      paragraph("Traverse: the run has no straight for one; use a flow hood.");
    }
  }

  void filter() {
    heading("When to clean");
    if (result_.loaded.empty()) {
      paragraph("Not calculated: " + result_.loaded_why_not + ".");
      return;
    }
    paragraph("With the drop of every filter doubled (assumed: a loaded filter):");
    Table table({{"speed", "", Align::left},
                 {"airflow", unit(Dimension::airflow), Align::right},
                 {"lost", unit(Dimension::airflow), Align::right},
                 {"static, collar", unit(Dimension::pressure), Align::right}});
    for (const site::LoadedFilter& loaded : result_.loaded) {
      table.row(
          {base::escaped(result_.check.speeds[loaded.speed].name),
           bare(loaded.airflow_m3_s, Dimension::airflow),
           bare(loaded.lost_m3_s, Dimension::airflow),
           loaded.collar_static_pa ? bare(*loaded.collar_static_pa, Dimension::pressure) : "-"});
    }
    Page::table(table);
    paragraph(
        "Clean or change the filter when a reading comes to that, or as its manufacturer says.");
  }

  void checks() {
    heading("To look at");
    for (const site::SiteCheck& check : result_.checks) {
      line(std::string(kIndent, ' ') + "[ ] " +
           wrapped(check.what, {kIndent + 4, kIndent + 4, width()}));
      line(std::string(kIndent + 4, ' ') + wrapped(check.how, {kIndent + 4, kIndent + 4, width()}));
      line(std::string(kIndent + 4, ' ') + "seen: " + std::string(40, '_'));
    }
  }

  const site::CommissionResult& result_;
};

}  // namespace

std::string commission_text(const site::CommissionResult& result, const TextOptions& options) {
  return Writer(result, options).text();
}

}  // namespace ductledger::text
