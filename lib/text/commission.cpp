#include "text/commission.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "layout/piece_number.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

constexpr const char* kBlank = "________";

class CommissionText : private Page {
 public:
  CommissionText(const site::CommissionResult& result, const TextOptions& options)
      : Page(options), result_(result) {}

  std::string text() {
    const layout::Layout& layout = result_.check.layout;
    title({.title = layout.title, .file = layout.file});
    strong_paragraph("Hand-over sheet: what to find, where to read it.");
    paragraph("Of the file with sha256 " + layout.sha256);
    paragraph(fmt::format("Date {}{}   read by {}{}{}", kBlank, "__", kBlank, kBlank, kBlank));
    write_verdict(*this, result_.check);
    if (!result_.network.empty()) {
      network();
    } else {
      readings();
      holes();
      filter();
    }
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

  // --- a layout with branches

  void network() {
    for (const site::ExpectedNetwork& speed : result_.network) {
      network_readings(speed);
    }
    paragraph(
        "In brackets: where about 95 of 100 readings should lie. `ductledger measured` says what a "
        "reading outside means; `branch` names the inlet it is of.");
    network_holes();
    balancing();
    network_filter();
  }

  void network_readings(const site::ExpectedNetwork& speed) {
    heading(speed.name.empty() ? std::string("Readings, every fan on")
                               : "Readings, " + words::spoken_speed(speed.name) +
                                     (speed.locked_out ? " (locked out)" : ""));
    if (!speed.known) {
      paragraph("No airflow is told beforehand: see the findings of `ductledger check`.");
      return;
    }
    Table table({{"inlet", "", Align::left},
                 {"airflow", unit(Dimension::airflow), Align::left},
                 {"read", unit(Dimension::airflow), Align::left},
                 {"wanted", unit(Dimension::airflow), Align::right, 1},
                 {"at its hole", unit(Dimension::pressure), Align::left},
                 {"read", unit(Dimension::pressure), Align::left}});
    for (const site::ExpectedInlet& inlet : speed.inlets) {
      const bool flows = inlet.status == study::InletStatus::flowing;
      table.row(
          {base::escaped(inlet.name),
           flows ? with_band(inlet.airflow_m3_s, inlet.band, Dimension::airflow)
                 : std::string(study::word(inlet.status)),
           kBlank,
           inlet.required_m3_s ? bare(*inlet.required_m3_s, Dimension::airflow) : "-",
           inlet.at_hole
               ? with_band(inlet.at_hole->pressure_pa, inlet.at_hole->band_pa, Dimension::pressure)
               : "-",
           kBlank});
    }
    Page::table(table);
    std::string all = fmt::format("Together {}.", show(speed.leaves_m3_s, Dimension::airflow));
    if (speed.across_fan) {
      all += fmt::format(" Static rise across the fan on the run: {}; read {}.",
                         show(speed.across_fan->pressure_pa, Dimension::pressure),
                         kBlank);
    }
    paragraph(all);
  }

  void network_holes() {
    heading("Where to read");
    Table table({{"inlet", "", Align::left},
                 {"gauge's hole", "piece, from its start", Align::left},
                 {"traverse", "piece, from its start", Align::left},
                 {"plane", "", Align::left}});
    const auto in_piece = [&](const site::TestHole& hole) {
      return fmt::format(
          "{}, {}", layout::piece_number(hole.piece), show(hole.from_start_m, Dimension::length));
    };
    for (const site::InletHoles& inlet : result_.inlets) {
      table.row({base::escaped(inlet.name),
                 inlet.gauge_hole ? in_piece(*inlet.gauge_hole) : "no straight to drill",
                 inlet.traverse_plane ? in_piece(*inlet.traverse_plane) : "flow hood instead",
                 !inlet.traverse_plane              ? "-"
                 : inlet.traverse_plane->good_plane ? "good"
                                                    : "poor"});
    }
    Page::table(table);
    if (result_.all_plane) {
      paragraph(fmt::format("All together: a traverse in the run, {}, a {} plane.",
                            place(*result_.all_plane),
                            result_.all_plane->good_plane ? "good" : "poor"));
    }
    paragraph(
        "Pieces are those of the inlet's own run. The gauge's other port stays open to the room. "
        "Close each hole with foil tape or a plug; never drill grease-laden duct that must stay "
        "tight without the approval of the authority having jurisdiction.");
  }

  /// Proportional balancing. Source: common practice.
  void balancing() {
    heading("To balance");
    const auto headline = std::ranges::find_if(
        result_.network, [](const auto& speed) { return speed.known && !speed.locked_out; });
    if (headline == result_.network.end()) {
      paragraph("Not before the fans are known.");
      return;
    }
    const bool targets = std::ranges::all_of(
        headline->inlets, [](const auto& inlet) { return inlet.damper_pa.has_value(); });
    if (!targets) {
      paragraph(
          "Not every inlet states a `required_airflow`, so no target can be told: add it to each "
          "and print this sheet again.");
      return;
    }
    Table table({{"inlet", "", Align::left},
                 {"target", unit(Dimension::airflow), Align::right},
                 {"damper takes", unit(Dimension::pressure), Align::right},
                 {"set at", "", Align::left}});
    for (const site::ExpectedInlet& inlet : headline->inlets) {
      table.row({base::escaped(inlet.name),
                 bare(*inlet.required_m3_s, Dimension::airflow),
                 inlet.controlling ? "open" : bare(*inlet.damper_pa, Dimension::pressure),
                 kBlank});
    }
    Page::table(table);
    bullet("every damper open, every fan on; read each inlet; its share is read over target");
    bullet(
        "the inlet of the lowest share stays open; close the damper of the highest until its share "
        "is that of the lowest, then the next: each closed damper gives the others more");
    bullet("then set the fan, so that the shares become 100 %; mark and lock the dampers");
    bullet("read every inlet again and put the readings into `measurements`, each with `branch`");
    paragraph(
        "Proportional balancing, common practice. What a damper takes is calculated, a guide "
        "for its first setting.");
  }

  void network_filter() {
    heading("When to clean");
    bool any = false;
    Table table({{"speed", "", Align::left},
                 {"inlet", "", Align::left},
                 {"airflow", unit(Dimension::airflow), Align::right},
                 {"lost", unit(Dimension::airflow), Align::right}});
    for (const site::ExpectedNetwork& speed : result_.network) {
      for (const site::ExpectedInlet& inlet : speed.inlets) {
        if (inlet.loaded_m3_s) {
          any = true;
          table.row({speed.name.empty() ? "-" : base::escaped(speed.name),
                     base::escaped(inlet.name),
                     bare(*inlet.loaded_m3_s, Dimension::airflow),
                     bare(inlet.airflow_m3_s - *inlet.loaded_m3_s, Dimension::airflow)});
        }
      }
    }
    if (!any) {
      paragraph("Not calculated: " +
                (result_.loaded_why_not.empty() ? "no speed has an operating point to compare"
                                                : result_.loaded_why_not) +
                ".");
      return;
    }
    paragraph("With the drop of every filter doubled (assumed: a loaded filter):");
    Page::table(table);
    paragraph(
        "Clean or change the filters when readings come to that, or as their manufacturers "
        "say.");
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
              words::spoken_speed(result_.check.speeds[expected.speed].name),
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
      line(std::string(kIndent + 4, ' ') +
           "seen: " + std::string(std::min<std::size_t>(40, width() - kIndent - 10), '_'));
    }
  }

  const site::CommissionResult& result_;
};

}  // namespace

std::string commission_text(const site::CommissionResult& result, const TextOptions& options) {
  return CommissionText(result, options).text();
}

}  // namespace ductledger::text
