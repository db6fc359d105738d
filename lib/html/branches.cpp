#include "html/branches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "html/ledger.hpp"
#include "layout/piece_number.hpp"
#include "picture/svg.hpp"
#include "picture/tree.hpp"
#include "words/studies.hpp"
#include "words/words.hpp"

namespace ductledger::html {
namespace {

using study::Inlet;
using study::InletStatus;
using study::NetworkResult;
using study::NetworkSpeed;
using units::Dimension;

constexpr std::size_t kMostOpen = 8;  // a page for people

/// What no reader may take for an airflow that is known.
bool is_known(const NetworkSpeed& speed) {
  return speed.status == network::Status::solved &&
         speed.point.status != solve::Status::not_determined &&
         speed.point.status != solve::Status::no_fan;
}

class Section {
 public:
  Section(HtmlPage& page, const NetworkResult& result)
      : page_(page), result_(result), speed_(result.speeds[result.shown]) {}

  void answer() {
    if (!is_known(speed_)) {
      strong(speed_.status == network::Status::not_settled &&
                     speed_.point.status != solve::Status::not_determined
                 ? "No steady answer was found: see the findings."
                 : "No airflow is known: see the findings.");
      inlets();
      return;
    }
    for (const bool bad : {true, false}) {
      for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
        const Inlet& inlet = speed_.inlets[i];
        const bool not_shown = inlet.requirement == result::Requirement::State::not_shown;
        if (bad ? is_bad(inlet) : !is_bad(inlet) && not_shown) {
          tell(i);
        }
      }
    }
    const std::string at =
        speed_.name.empty() ? "" : "at " + escaped(words::spoken_speed(speed_.name)) + " ";
    strong(fmt::format(
        "{} inlets {}draw {} together.{}",
        speed_.inlets.size(),
        at,
        page_.figure(page_.speed_at(result_.shown, "/discharge_airflow_m3_s"), Dimension::airflow),
        solve::is_bound(speed_.point.status) ? " That is the end of the fan's curve, a bound."
                                             : ""));
    inlets();
  }

  void picture() {
    page_.heading(0, "The tree", page_.id("route-heading"));
    const auto drawn = [&](const HtmlPage::PictureSize& size) {
      return picture::tree_picture(result_,
                                   {.system = page_.system(),
                                    .width_px = size.width_px,
                                    .use = picture::PictureUse::page,
                                    .id = size.id});
    };
    const picture::TreePicture tree = drawn({720.0, "tree"});
    if (tree.svg.empty()) {
      page_.paragraph(tree.reading);
      return;
    }
    page_.picture({.name = "tree", .title = tree.title, .caption = tree.reading},
                  [&](const HtmlPage::PictureSize& size) { return drawn(size).svg; });
  }

  void sections() {
    if (is_known(speed_)) {
      ledgers();
      junctions();
    }
    speeds();
    advice();
  }

 private:
  void strong(const std::string& html) {
    page_.line(fmt::format("<p class=\"answer\">{}</p>", html));
  }

  [[nodiscard]] static bool is_bad(const Inlet& inlet) {
    return inlet.status != InletStatus::flowing ||
           inlet.requirement == result::Requirement::State::not_met;
  }

  [[nodiscard]] static std::string at(const HtmlPage& page,
                                      std::size_t speed,
                                      std::size_t inlet,
                                      std::string_view key) {
    return page.speed_at(speed,
                         inlet == 0 ? fmt::format("/collar/{}", key)
                                    : fmt::format("/branches/{}/{}", inlet - 1, key));
  }
  [[nodiscard]] std::string at(std::size_t inlet, std::string_view key) const {
    return at(page_, result_.shown, inlet, key);
  }

  [[nodiscard]] std::string name_of(std::size_t inlet) const {
    return escaped(base::escaped(speed_.inlets[inlet].name));
  }

  /// `50 cfm (44 to 56)`, `shut`, `reversed, about 12 cfm come back`.
  [[nodiscard]] std::string airflow(std::size_t speed, std::size_t inlet) const {
    const Inlet& of = result_.speeds[speed].inlets[inlet];
    if (!is_known(result_.speeds[speed])) {
      return "not known";
    }
    const std::string key = at(page_, speed, inlet, "airflow_m3_s");
    switch (of.status) {
      case InletStatus::shut:
        return "shut";
      case InletStatus::reversed:
        return fmt::format("reversed, about {} come back",
                           page_.show(-of.airflow_m3_s, Dimension::airflow));
      case InletStatus::flowing:
        break;
    }
    return page_.figure(key, Dimension::airflow) +
           page_.band(at(page_, speed, inlet, "airflow_band_m3_s"), Dimension::airflow);
  }

  [[nodiscard]] std::string required(std::size_t inlet) const {
    return page_.figure(at(inlet, "required_airflow_m3_s"), Dimension::airflow);
  }

  [[nodiscard]] static const char* standing(const Inlet& inlet) {
    return inlet.requirement ? result::word(*inlet.requirement) : "not shown";
  }

  void tell(std::size_t inlet) {
    std::string text = fmt::format("{}: {}.", name_of(inlet), airflow(result_.shown, inlet));
    if (speed_.inlets[inlet].required_m3_s) {
      text += fmt::format(" {} required: {}.", required(inlet), standing(speed_.inlets[inlet]));
    }
    strong(text);
  }

  void inlets() {
    const std::string pressure = ", " + unit();
    std::vector<HtmlPage::Heading> columns{{"inlet", false},
                                           {"draws", false},
                                           {"required", true},
                                           {"judged", false},
                                           {"path" + pressure, true}};
    if (speed_.balance) {
      columns.push_back({"asks for" + pressure, true});
      columns.push_back({"to spare" + pressure, true});
      columns.push_back({"damper" + pressure, true});
    }
    page_.table_begin(speed_.balance ? "Each inlet, and the balance with every inlet at its "
                                       "required airflow"
                                     : "Each inlet",
                      columns);
    for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
      const Inlet& inlet = speed_.inlets[i];
      page_.row_begin(speed_.controlling == i ? "most" : "");
      page_.row_head(name_of(i) + (speed_.controlling == i ? ", controls" : ""));
      page_.cell("draws", airflow(result_.shown, i));
      page_.number_cell("required", inlet.required_m3_s ? required(i) : "-");
      page_.cell("judged", inlet.requirement ? standing(inlet) : "");
      number("path" + pressure, i, "path_loss_pa");
      if (speed_.balance) {
        const auto path = std::ranges::find(speed_.balance->paths, i, &study::Balance::Path::inlet);
        number("asks for" + pressure, i, "needed_pa");
        number("to spare" + pressure, i, "surplus_pa");
        if (path != speed_.balance->paths.end() && path->damper_pa > 0.0) {
          number("damper" + pressure, i, "damper_pa");
        } else {
          page_.number_cell("damper" + pressure, "none");
        }
      }
      page_.row_end();
    }
    page_.table_end();
    what_controls();
  }

  void number(std::string_view label, std::size_t inlet, std::string_view key) {
    page_.number_cell(
        label, page_.figure(at(inlet, key), Dimension::pressure, HtmlPage::With::number_alone));
  }

  void what_controls() {
    if (!speed_.controlling) {
      return;
    }
    if (!speed_.balance) {
      page_.paragraph(
          "The costliest path controls. `required_airflow` of every inlet shows the balance: what "
          "dampers have to take on the other paths.");
      return;
    }
    const double least =
        std::ranges::min_element(speed_.balance->paths, {}, &study::Balance::Path::surplus_pa)
            ->surplus_pa;
    page_.line(fmt::format(
        "<p>With every inlet at its required airflow the path from {} has least to spare: it "
        "controls, and no damper belongs there. {}</p>",
        name_of(*speed_.controlling),
        least < 0.0 ? fmt::format("The fan lacks {} on it: dampers alone do not bring every inlet "
                                  "to its airflow.",
                                  page_.whole(-least, Dimension::pressure))
        : speed_.balance->shared_fan
            ? fmt::format("With the dampers named the fan has {} to spare on every path.",
                          page_.whole(least, Dimension::pressure))
            : std::string()));
  }

  // --- ledgers -------------------------------------------------------------------------------

  void ledgers() {
    page_.heading(0, "Where the pressure goes", page_.id("pressure-heading"));
    std::size_t open = kMostOpen;
    for (const study::FoldedPath& path : study::folded_paths(result_.network, speed_)) {
      page_.line(fmt::format("<details{} id=\"{}\"><summary>From {} to the outside{}: {}</summary>",
                             open > 0 ? " open" : "",
                             page_.id(fmt::format("path-{}", path.inlet)),
                             name_of(path.inlet),
                             speed_.controlling == path.inlet ? ", controls" : "",
                             airflow(result_.shown, path.inlet)));
      open -= open > 0 ? 1 : 0;
      ledger(path);
      page_.line("</details>");
    }
    std::vector<std::string> none;
    for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
      if (speed_.inlets[i].path.empty()) {
        none.push_back(name_of(i));
      }
    }
    if (!none.empty()) {
      page_.line(fmt::format("<p>No ledger: no air flows to the outside from {}.</p>",
                             base::joined(none, "or")));
    }
  }

  [[nodiscard]] std::string run_name(const study::PathRow& row) const {
    return row.branch ? base::escaped(result_.layout.branches[*row.branch].name) : "run";
  }

  void ledger(const study::FoldedPath& folded) {
    const std::size_t inlet = folded.inlet;
    const auto& path = speed_.inlets[inlet].path;
    const auto most = std::ranges::max_element(path, {}, [](const study::PathRow& one) {
      return one.row.number >= 0 ? one.row.loss_pa : -1e300;
    });
    std::vector<LedgerLine> lines;
    for (std::size_t i = 0; i < folded.rows; ++i) {
      lines.push_back({path[i].row, at(inlet, fmt::format("path/{}", i)), run_name(path[i])});
    }
    ledger_table(
        page_,
        fmt::format("Ledger from {} to the outside", base::escaped(speed_.inlets[inlet].name)),
        lines,
        most != path.end() ? &most->row : nullptr);
    if (folded.goes_on_as) {
      page_.line(fmt::format(
          "<p>From there on as <a href=\"#{}\">the way from {}</a>; shares are of all {} that "
          "this way loses.</p>",
          page_.id(fmt::format("path-{}", *folded.goes_on_as)),
          name_of(*folded.goes_on_as),
          page_.figure(at(inlet, "path_loss_pa"), Dimension::pressure)));
    }
    ledger_remarks(page_, lines);
  }

  // --- junctions and speeds ------------------------------------------------------------------

  void junctions() {
    page_.heading(0, "Junctions", page_.id("junctions-heading"));
    page_.table_begin("Each junction; coefficients on the velocity pressure of the combined leg",
                      {{"takes in", false},
                       {"type", false},
                       {"share of airflow", true},
                       {"area ratio", true},
                       {"C straight", true},
                       {"C branch", true},
                       {"combined", true}});
    for (std::size_t i = 0; i < speed_.junctions.size(); ++i) {
      const study::JunctionFound& one = speed_.junctions[i];
      const std::string here = page_.speed_at(result_.shown, fmt::format("/junctions/{}/", i));
      const auto plain = [&](const char* key, double value) {
        return page_.tagged(here + key, fmt::format("{:.2f}", value));
      };
      page_.row_begin();
      page_.row_head(escaped(base::escaped(one.branch)));
      page_.cell("type", one.stated ? "stated" : escaped(one.type));
      page_.number_cell("share of airflow", page_.figure(here + "flow_ratio", Dimension::ratio));
      page_.number_cell("area ratio", plain("area_ratio", one.area_ratio));
      page_.number_cell("C straight", plain("straight_coefficient", one.straight_coefficient));
      page_.number_cell("C branch", plain("branch_coefficient", one.branch_coefficient));
      page_.number_cell("combined",
                        page_.figure(here + "combined_airflow_m3_s", Dimension::airflow));
      page_.row_end();
    }
    page_.table_end();
  }

  void speeds() {
    if (result_.speeds.size() < 2) {
      return;
    }
    page_.heading(0, "Each speed", page_.id("speeds-heading"));
    std::vector<HtmlPage::Heading> columns{{"inlet", false}};
    const auto name = [](const NetworkSpeed& speed) {
      return base::escaped(speed.name) + (speed.locked_out ? ", locked out" : "");
    };
    for (const NetworkSpeed& speed : result_.speeds) {
      columns.push_back({name(speed), true});
    }
    page_.table_begin("What each inlet draws at each speed", columns);
    for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
      page_.row_begin();
      page_.row_head(name_of(i));
      for (std::size_t s = 0; s < result_.speeds.size(); ++s) {
        page_.number_cell(name(result_.speeds[s]), airflow(s, i));
      }
      page_.row_end();
    }
    page_.row_begin("aside");
    page_.row_head("outdoors");
    for (std::size_t s = 0; s < result_.speeds.size(); ++s) {
      page_.number_cell(
          name(result_.speeds[s]),
          page_.figure(page_.speed_at(s, "/discharge_airflow_m3_s"), Dimension::airflow));
    }
    page_.row_end();
    page_.table_end();
  }

  // --- advice --------------------------------------------------------------------------------

  void advice() {
    if (!result_.advice || !result_.advice->why_not.empty()) {
      return;
    }
    const study::NetworkAdvice& advice = *result_.advice;
    const std::string name = name_of(advice.inlet);
    page_.heading(0, "What would help most", page_.id("advice-heading"));
    if (advice.rows.empty()) {
      page_.line(
          fmt::format("<p>Of {} changes tried none brings {} more air.</p>", advice.tried, name));
      return;
    }
    page_.table_begin(
        "Each change alone, solved again over the whole network",
        {{"change", false}, {"of", false}, {"gains", true}, {"parts", true}, {"then", false}});
    for (std::size_t i = 0; i < advice.rows.size(); ++i) {
      advice_row(advice.rows[i], page_.check(fmt::format("/advice/{}/", i)));
    }
    page_.table_end();
    page_.line(fmt::format("<p class=\"remark\">{}</p>", words::advice_summary(advice, name)));
  }

  void advice_row(const study::NetworkAdviceRow& row, const std::string& here) {
    std::string of =
        row.branch ? base::escaped(result_.layout.branches[*row.branch].name) : std::string("run");
    for (const std::size_t piece : row.change.pieces) {
      of += fmt::format(" {}", layout::piece_number(piece));
    }
    if (row.balances && row.change.parts_new > 1) {
      of = "each other way";
    }
    std::vector<std::string> then;
    for (const std::string& name : row.lacks) {
      then.push_back(base::escaped(name) + " has too little");
    }
    for (const std::string& name : row.mends) {
      then.push_back(base::escaped(name) + " has enough");
    }
    page_.row_begin(row.lacks.empty() ? "" : "aside");
    page_.row_head(escaped(row.change.words.text(page_.system())) +
                   (row.change.condition.empty()
                        ? ""
                        : fmt::format(" <span class=\"under\">{}</span>",
                                      escaped(row.change.condition.text(page_.system())))));
    page_.cell("of", escaped(of));
    page_.number_cell("gains", page_.gain(here + "gain_m3_s", Dimension::airflow));
    page_.number_cell("parts",
                      page_.tagged(here + "parts_new", fmt::format("{}", row.change.parts_new)));
    page_.cell("then", escaped(base::joined(then, "and")));
    page_.row_end();
  }

  [[nodiscard]] std::string unit() const { return page_.unit(Dimension::pressure); }

  HtmlPage& page_;
  const NetworkResult& result_;
  const NetworkSpeed& speed_;
};

}  // namespace

void network_answer(HtmlPage& page, const NetworkResult& result) { Section(page, result).answer(); }

void network_picture(HtmlPage& page, const NetworkResult& result) {
  Section(page, result).picture();
}

void network_sections(HtmlPage& page, const NetworkResult& result) {
  Section(page, result).sections();
}

}  // namespace ductledger::html
