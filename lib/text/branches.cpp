#include "text/branches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "duct/section.hpp"
#include "layout/piece_number.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/studies.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

class BranchesText : private Page {
 public:
  BranchesText(const study::NetworkResult& result, const TextOptions& options)
      : Page(options), result_(result), speed_(result.speeds[result.shown]) {}

  std::string text() {
    title({.title = result_.layout.title, .file = result_.layout.file});
    write_verdict(*this, study::as_single(result_));
    answer();
    if (options().detail != Detail::brief) {
      inlets();
      balance();
      ledgers();
      speeds();
      advice();
      if (options().detail == Detail::verbose) {
        details();
      }
    }
    findings(result_.findings);
    safety();
    return take();
  }

 private:
  [[nodiscard]] bool solved() const {
    return speed_.status == network::Status::solved &&
           speed_.point.status != solve::Status::not_determined &&
           speed_.point.status != solve::Status::no_fan;
  }

  [[nodiscard]] std::string name_of(const study::Inlet& inlet) const {
    return base::escaped(inlet.name);
  }

  /// `50 cfm (44 to 56)`, `shut`, `reversed, about 12 cfm come back`.
  [[nodiscard]] std::string airflow(const study::Inlet& inlet) const {
    switch (inlet.status) {
      case study::InletStatus::shut:
        return "shut";
      case study::InletStatus::reversed:
        return fmt::format("reversed, about {} come back",
                           show(-inlet.airflow_m3_s, Dimension::airflow));
      case study::InletStatus::flowing:
        break;
    }
    std::string out = show(inlet.airflow_m3_s, Dimension::airflow);
    const std::string band =
        inlet.band ? words::band_text(*inlet.band, Dimension::airflow, options().system) : "";
    if (!band.empty()) {
      out += " (" + band + ")";
    }
    return out;
  }

  /// The worst inlet first: what is not met, then the rest.
  void answer() {
    const std::string at =
        speed_.name.empty() ? std::string() : "at " + words::spoken_speed(speed_.name) + " ";
    if (!solved()) {
      strong_paragraph(speed_.status == network::Status::solved ||
                               speed_.point.status == solve::Status::not_determined
                           ? "No airflow is known: see the findings."
                           : "No steady answer was found: see the findings.");
      return;
    }
    using State = result::Requirement::State;
    const auto count = [&](State state) {
      return std::ranges::count_if(
          speed_.inlets, [&](const study::Inlet& inlet) { return inlet.requirement == state; });
    };
    // Reversed, shut and not met before what is only not shown.
    const auto tell = [&](const study::Inlet& inlet) {
      std::string line = fmt::format("{}: {}.", name_of(inlet), airflow(inlet));
      if (inlet.required_m3_s) {
        line += fmt::format(" {} required: {}.",
                            show(*inlet.required_m3_s, Dimension::airflow),
                            inlet.requirement ? result::word(*inlet.requirement) : "not shown");
      }
      strong_paragraph(line);
    };
    const auto is_bad = [](const study::Inlet& inlet) {
      return inlet.status != study::InletStatus::flowing || inlet.requirement == State::not_met;
    };
    for (const study::Inlet& inlet : speed_.inlets) {
      if (is_bad(inlet)) {
        tell(inlet);
      }
    }
    for (const study::Inlet& inlet : speed_.inlets) {
      if (!is_bad(inlet) && inlet.requirement == State::not_shown) {
        tell(inlet);
      }
    }
    strong_paragraph(fmt::format("{} inlets {}draw {} together.{}",
                                 speed_.inlets.size(),
                                 at,
                                 show(speed_.discharge_m3_s, Dimension::airflow),
                                 solve::is_bound(speed_.point.status)
                                     ? " That is the end of the fan's curve, a bound."
                                     : ""));
    if (const auto shown = count(State::met); shown > 0) {
      paragraph(fmt::format("{} of {} with a required airflow: met.",
                            shown,
                            shown + count(State::not_met) + count(State::not_shown)));
    }
    if (speed_.house) {
      const auto limit = house::limit_of(*result_.layout.house);
      // In pascal in either unit system, as blower doors and limits are.
      paragraph(fmt::format("House depressurization {:.1f} Pa{}.",
                            speed_.depressurisation_pa,
                            limit ? fmt::format("; limit {:.1f} Pa: {}",
                                                limit->pressure_pa,
                                                words::within_limit(speed_.house->verdict))
                                  : std::string()));
    }
  }

  void inlets() {
    if (!solved()) {
      return;
    }
    blank();
    Table table({{"inlet", "", Align::left},
                 {"draws", "", Align::left},
                 {"required", "", Align::right},
                 {"", "", Align::left},
                 {"path", unit(Dimension::pressure), Align::right}});
    for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
      const study::Inlet& inlet = speed_.inlets[i];
      table.row({name_of(inlet) + (speed_.controlling == i ? " <" : ""),
                 airflow(inlet),
                 inlet.required_m3_s ? show(*inlet.required_m3_s, Dimension::airflow) : "-",
                 inlet.requirement ? result::word(*inlet.requirement) : "",
                 inlet.path.empty() ? "-" : bare(inlet.path_loss_pa, Dimension::pressure)});
    }
    Page::table(table);
    if (speed_.controlling) {
      paragraph(speed_.balance
                    ? "< controls: with every inlet at its required airflow this path has least "
                      "to spare"
                    : "< the costliest path; `required_airflow` of every inlet shows the balance");
    }
  }

  void balance() {
    if (!speed_.balance) {
      return;
    }
    heading("Balance with every inlet at its required airflow");
    const std::string pressure = unit(Dimension::pressure);
    Table table({{"inlet", "", Align::left},
                 {"asks for", pressure, Align::right},
                 {"to spare", pressure, Align::right},
                 {"damper", pressure, Align::right}});
    for (const study::Balance::Path& path : speed_.balance->paths) {
      table.row({name_of(speed_.inlets[path.inlet]) + (path.controlling ? " <" : ""),
                 bare(path.needed_pa, Dimension::pressure),
                 bare(path.surplus_pa, Dimension::pressure),
                 path.damper_pa > 0.0 ? bare(path.damper_pa, Dimension::pressure) : "none"});
    }
    Page::table(table);
    const double least =
        std::ranges::min_element(speed_.balance->paths, {}, &study::Balance::Path::surplus_pa)
            ->surplus_pa;
    if (least < 0.0) {
      paragraph(
          fmt::format("The fan lacks {} on the controlling path: dampers alone do not bring "
                      "every inlet to its airflow.",
                      show(-least, Dimension::pressure)));
    } else if (speed_.balance->shared_fan) {
      paragraph(fmt::format("With these dampers the fan has {} to spare on every path.",
                            show(least, Dimension::pressure)));
    }
  }

  /// The controlling path; verbose: all of them, each up to where it meets one told before.
  void ledgers() {
    if (!solved()) {
      return;
    }
    for (const study::FoldedPath& path : study::folded_paths(result_.network, speed_)) {
      if (options().detail == Detail::verbose || speed_.controlling == path.inlet) {
        ledger(path);
      }
    }
  }

  void ledger(const study::FoldedPath& folded) {
    const study::Inlet& inlet = speed_.inlets[folded.inlet];
    heading(fmt::format("Ledger from {} to the outside", name_of(inlet)));
    Table table = ledger_table();
    std::string before;
    const auto most = std::ranges::max_element(inlet.path, {}, [](const study::PathRow& one) {
      return one.row.number >= 0 ? one.row.loss_pa : -1e300;
    });
    for (std::size_t i = 0; i < folded.rows; ++i) {
      const study::PathRow& one = inlet.path[i];
      const solve::LedgerRow& row = one.row;
      const std::string of = one.branch ? base::escaped(result_.layout.branches[*one.branch].name)
                                        : std::string("run");
      const std::string section =
          row.sections ? duct::to_text(row.sections->before, options().system) : "";
      const std::string here = of + (section.empty() ? "" : ", " + section);
      if (!section.empty() && here != before) {
        table.heading(here);
        before = here;
      }
      auto cells = ledger_cells(row, row.type.empty() ? row.piece : row.piece + " " + row.type);
      if (&one == &*most) {
        table.heading("largest loss:");
        table.strong_row(std::move(cells));
      } else {
        table.row(std::move(cells));
      }
    }
    Page::table(table);
    if (folded.goes_on_as) {
      paragraph(
          fmt::format("From there on as the ledger from {}; shares are of all {} that this "
                      "way loses.",
                      name_of(speed_.inlets[*folded.goes_on_as]),
                      show(inlet.path_loss_pa, Dimension::pressure)));
    }
  }

  void speeds() {
    if (result_.speeds.size() < 2) {
      return;
    }
    blank();
    std::vector<Column> columns{{"speed", "", Align::left}, {"outdoors", "", Align::right}};
    for (const study::Inlet& inlet : speed_.inlets) {
      columns.push_back({shortened(name_of(inlet), 12), "", Align::right, 1});
    }
    Table table(columns);
    for (const study::NetworkSpeed& speed : result_.speeds) {
      std::vector<std::string> cells{base::escaped(speed.name) + (speed.locked_out ? " x" : ""),
                                     show(speed.discharge_m3_s, Dimension::airflow)};
      for (const study::Inlet& inlet : speed.inlets) {
        cells.push_back(inlet.status == study::InletStatus::shut
                            ? "shut"
                            : bare(inlet.airflow_m3_s, Dimension::airflow));
      }
      table.row(cells);
    }
    Page::table(table);
  }

  /// Changes that bring the worst inlet more air, the greatest gain first.
  void advice() {
    if (!result_.advice) {
      return;
    }
    const study::NetworkAdvice& advice = *result_.advice;
    heading("What would help most");
    if (!advice.why_not.empty()) {
      paragraph("Not compared: " + advice.why_not + ".");
      return;
    }
    const std::string name = name_of(speed_.inlets[advice.inlet]);
    if (advice.rows.empty()) {
      paragraph(fmt::format("Of {} changes tried none brings {} more air.", advice.tried, name));
      return;
    }
    const std::size_t most = options().detail == Detail::verbose ? advice.rows.size() : 8;
    Table table({{"of", "", Align::left},
                 {"change", "", Align::left},
                 {"gains", unit(Dimension::airflow), Align::right},
                 {"parts", "", Align::right, 1},
                 {"", "", Align::left}});
    for (std::size_t i = 0; i < std::min(most, advice.rows.size()); ++i) {
      advice_row(table, advice.rows[i]);
    }
    Page::table(table);
    std::string more;
    if (most < advice.rows.size()) {
      more = fmt::format(" {} of smaller gain {} left out here; `--verbose` shows them.",
                         advice.rows.size() - most,
                         advice.rows.size() - most == 1 ? "is" : "are");
    }
    paragraph(words::advice_summary(advice, name) + more +
              " A damper's pressure is what the balance asks for.");
  }

  void advice_row(Table& table, const study::NetworkAdviceRow& row) {
    std::string of =
        row.branch ? base::escaped(result_.layout.branches[*row.branch].name) : std::string("run");
    for (const std::size_t piece : row.change.pieces) {
      of += fmt::format(" {}", layout::piece_number(piece));
    }
    std::string then;
    for (const auto& [names, words] :
         {std::pair(&row.lacks, " too little"), std::pair(&row.mends, " has enough")}) {
      for (const std::string& name : *names) {
        then += (then.empty() ? "" : "; ") + base::escaped(name) + words;
      }
    }
    table.row({row.change.kind == study::ChangeKind::balancing_damper && row.change.parts_new > 1
                   ? "each other"
                   : of,
               row.change.words.text(options().system),
               "+" + bare(row.gain_m3_s, Dimension::airflow),
               fmt::format("{}", row.change.parts_new),
               then});
  }

  void details() {
    heading("Junctions");
    Table table({{"joins", "", Align::left},
                 {"type", "", Align::left},
                 {"share of", "airflow", Align::right},
                 {"area", "ratio", Align::right},
                 {"C straight", "", Align::right},
                 {"C branch", "", Align::right}});
    for (const study::JunctionFound& one : speed_.junctions) {
      table.row({base::escaped(one.branch),
                 one.stated ? "stated" : one.type,
                 show(one.flow_ratio, Dimension::ratio),
                 fmt::format("{:.2f}", one.area_ratio),
                 fmt::format("{:.2f}", one.straight_coefficient),
                 fmt::format("{:.2f}", one.branch_coefficient)});
    }
    Page::table(table);
    paragraph(fmt::format("solved to {:.1e} Pa in {} steps, mass to {:.1e} of the airflow",
                          std::abs(speed_.residual_pa),
                          speed_.iterations,
                          speed_.mass_residual));
    if (!speed_.why_sampled.empty()) {
      paragraph("bands by joint samples: " + base::escaped(speed_.why_sampled));
    }
    paragraph("layout sha256 " + result_.layout.sha256);
    paragraph("catalogue " + result_.catalogue_hash);
  }

  void safety() {
    if (options().detail == Detail::verbose) {
      cautions(result_.cautions);
      return;
    }
    blank();
    const bool outdoors = result_.layout.run.discharge == layout::Discharge::outdoors;
    paragraph(std::string(outdoors ? "Carbon monoxide: exhaust can backdraft flues. " : "") +
              "Local code and authority decide.");
    if (result_.layout.house) {
      paragraph(
          "House pressures are screening figures: a qualified person's spillage test decides.");
    }
    paragraph("Power off and locked before any work; a qualified, licensed installer.");
  }

  const study::NetworkResult& result_;
  const study::NetworkSpeed& speed_;
};

}  // namespace

std::string network_text(const study::NetworkResult& result, const TextOptions& options) {
  return BranchesText(result, options).text();
}

}  // namespace ductledger::text
