#include "html/report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>
#include <optional>
#include <utility>

#include "base/expects.hpp"
#include "base/text.hpp"
#include "document/compare.hpp"
#include "document/json_internal.hpp"
#include "document/parts.hpp"
#include "document/review.hpp"
#include "document/verdict.hpp"
#include "fitting/catalogue.hpp"
#include "html/branches.hpp"
#include "html/ledger.hpp"
#include "html/page.hpp"
#include "html/sections.hpp"
#include "html/shell.hpp"
#include "html/texts_internal.hpp"
#include "picture/results.hpp"
#include "picture/route.hpp"
#include "sheet/rough_in.hpp"
#include "text/compare.hpp"
#include "text/parts.hpp"
#include "text/review.hpp"
#include "words/compare.hpp"
#include "words/words.hpp"

namespace ductledger::html {
namespace {

using document::json::Json;
using units::Dimension;

/// The page of one or more results, written from top to bottom.
class Writer : public HtmlPage {
 public:
  Writer(std::span<const ReportSubject> subjects, const ReportOptions& options)
      : HtmlPage(report_document(subjects, options), options.system),
        subjects_(subjects),
        options_(options) {}

  std::string page() {
    append(shell_begin(shell()));
    if (options_.comparison != nullptr) {
      comparison_section(*this, *options_.comparison);
    } else if (subjects_.size() > 1) {
      overview();
    }
    if (begins_with_a_list()) {
      heading_level(3);
    }
    for (std::size_t i = 0; i < subjects_.size(); ++i) {
      layout(i);
    }
    for (std::size_t i = 0; i < subjects_.size() && options_.on_paper; ++i) {
      rough_in(i);
    }
    fill_contents();
    append(shell_end(shell(), document()));
    return take();
  }

  ReportFragments fragments() {
    about(0);
    heading_level(3);
    const bool network = subjects_.front().network != nullptr;
    const auto part = [this](bool there, auto write) {
      if (there) {
        write();
      }
      return take();
    };
    const bool charged = result().ledger_speed && result().speeds[*result().ledger_speed].ledger;
    ReportFragments out;
    out.ledger = part(charged && !network, [this] { ledger(); });
    out.speeds = part(!network, [this] {
      speeds();
      resistance();
    });
    out.findings = part(true, [this] { findings_part(); });
    out.doubt = part(!network, [this] { doubt_section(*this, result()); });
    out.house = part(true, [this] { house_section(*this, result()); });
    out.yardstick = part(!network, [this] { yardstick_section(*this, result()); });
    const study::ReviewResult* review = subjects_.front().review;
    out.rules = part(review != nullptr, [&] { review_section(*this, *review); });
    out.assumptions = part(true, [this] { assumptions_part(); });
    out.cautions = part(true, [this] { cautions_part(); });
    return out;
  }

 private:
  /// The last page of a print: what goes on site.
  void rough_in(std::size_t index) {
    about(index);
    const build::PartsResult* parts = subjects_[index].parts;
    if (parts == nullptr) {
      return;
    }
    const auto sheets = sheet::rough_in(*parts, options_.system);
    for (const sheet::RoughIn& drawn : sheets ? *sheets : std::vector<sheet::RoughIn>()) {
      line("<section class=\"sheet on-paper\">");
      append(sheet::rough_in_svg(drawn, id(sheet::numbered("rough-in", drawn))));
      line("</section>");
    }
  }

  // --- head, overview and foot ---------------------------------------------------------------

  [[nodiscard]] std::string title() const {
    if (subjects_.size() == 1) {
      const layout::Layout& only = subjects_.front().result->layout;
      return only.title.empty() ? only.file : only.title;
    }
    return fmt::format("{} layouts side by side", subjects_.size());
  }

  [[nodiscard]] Shell shell() const {
    return {.title = title(),
            .kind = "Exhaust duct report",
            .footer = subjects_.size() == 1 ? file_and_hash(subjects_.front().result->layout)
                                            : fmt::format("{} layout files", subjects_.size()),
            .tool_version = options_.record.tool_version,
            .system = options_.system,
            .skip = "the answer"};
  }

  /// Then each layout has a heading of its own.
  [[nodiscard]] bool begins_with_a_list() const {
    return options_.comparison != nullptr || subjects_.size() > 1;
  }

  [[nodiscard]] static std::string counted(const study::CheckResult& result) {
    std::array<int, 3> count{};
    for (const findings::Finding& finding : result.findings) {
      ++count[static_cast<std::size_t>(finding.level)];
    }
    return fmt::format("{} fail, {} warn, {} note", count[2], count[1], count[0]);
  }

  void overview() {
    line("<p>What each layout delivers; each is set out below.</p>");
    if (!options_.not_compared.empty()) {
      paragraph("Not compared: " + options_.not_compared + ".");
    }
    table_begin("The layouts in the order given",
                {{"layout", false},
                 {"delivers", false},
                 {"required", false},
                 {"largest loss", false},
                 {"findings", false}});
    for (std::size_t i = 0; i < subjects_.size(); ++i) {
      about(i);
      const study::CheckResult& result = *subjects_[i].result;
      const std::string name =
          result.layout.title.empty() ? result.layout.file : result.layout.title;
      row_begin();
      row_head(fmt::format("<a href=\"#{}\">{}</a>", id("layout"), escaped(name)));
      cell("delivers", headline_airflow());
      cell("required", required_cell(result));
      cell("largest loss", escaped(costliest_words(result)));
      cell("findings", escaped(counted(result)));
      row_end();
    }
    table_end();
  }

  [[nodiscard]] std::string headline_airflow() const {
    const study::CheckResult& result = *subjects_[index()].result;
    if (const auto* network = subjects_[index()].network; network != nullptr) {
      return fmt::format(
          "{} by {} inlets",
          figure(speed_at(network->shown, "/discharge_airflow_m3_s"), Dimension::airflow),
          network->speeds[network->shown].inlets.size());
    }
    return result.headline ? delivered(*result.headline) : std::string("not determined");
  }

  [[nodiscard]] std::string required_cell(const study::CheckResult& result) const {
    if (!result.requirement) {
      return "-";
    }
    return figure(check("/appliance/required_airflow_m3_s"), Dimension::airflow) + ": " +
           requirement_word(result);
  }
  [[nodiscard]] static std::string requirement_word(const study::CheckResult& result) {
    return result.requirement ? result::word(result.requirement->state) : "";
  }

  [[nodiscard]] std::string costliest_words(const study::CheckResult& result) const {
    if (!result.ledger_speed || !result.speeds[*result.ledger_speed].ledger) {
      return "-";
    }
    const solve::LedgerRow* most = result.speeds[*result.ledger_speed].ledger->costliest();
    return most == nullptr
               ? "-"
               : fmt::format("{}, {}", words::row_name(*most), show(most->share, Dimension::ratio));
  }

  // --- one layout ----------------------------------------------------------------------------

  [[nodiscard]] const study::CheckResult& result() const { return *subjects_[index()].result; }

  void layout(std::size_t index) {
    about(index);
    line(fmt::format("<article class=\"layout\" id=\"{}\">", id("layout")));
    if (begins_with_a_list()) {
      const layout::Layout& of = result().layout;
      line(fmt::format("<h2>{}</h2>", escaped(of.title.empty() ? of.file : of.title)));
    }
    begin_contents();
    const study::NetworkResult* network = subjects_[index].network;
    line("<div class=\"summary\">");
    verdict_part();
    if (network != nullptr) {
      network_answer(*this, *network);
      paragraph("Findings: " + counted(result()) + ".");
      worst_part();
      network_picture(*this, *network);
    } else {
      answer_part();
      worst_part();
      route_part();
    }
    line("</div>");
    contents_here();
    if (network != nullptr) {
      network_sections(*this, *network);
    } else {
      makeup_route_part();
      pressure_part();
      curves_part();
    }
    findings_part();
    if (network == nullptr) {
      doubt_section(*this, result());
    }
    house_section(*this, result());
    if (network == nullptr) {
      advice_section(*this, result());
      yardstick_section(*this, result());
    }
    parts_part();
    if (subjects_[index].review != nullptr) {
      review_section(*this, *subjects_[index].review);
    }
    sources_part();
    assumptions_part();
    line("<div class=\"tail\">");
    cautions_part();
    record_part();
    line("</div>\n</article>");
  }

  /// `412 cfm (352 to 466)`, each figure tied to the document.
  [[nodiscard]] std::string delivered(std::size_t speed) const {
    const result::SpeedResult& of = result().speeds[speed];
    const result::Figures& known = of.figures;
    if (known.bound == result::Bound::none && of.point.bounds) {
      return fmt::format(
          "{} to {}, by one rating",
          figure(speed_at(speed, "/operating_point/airflow_bounds_m3_s/0"),
                 Dimension::airflow,
                 With::number_alone),
          figure(speed_at(speed, "/operating_point/airflow_bounds_m3_s/1"), Dimension::airflow));
    }
    if (known.bound == result::Bound::none) {
      return "not determined";
    }
    if (of.point.status == solve::Status::no_flow) {
      return "no airflow";
    }
    if (of.point.bounds) {
      return fmt::format(
          "{} to {} (about {})",
          figure(speed_at(speed, "/operating_point/airflow_bounds_m3_s/0"),
                 Dimension::airflow,
                 With::number_alone),
          figure(speed_at(speed, "/operating_point/airflow_bounds_m3_s/1"), Dimension::airflow),
          figure(speed_at(speed, "/operating_point/airflow_estimate_m3_s"),
                 Dimension::airflow,
                 With::number_alone));
    }
    std::string text = figure(speed_at(speed, "/operating_point/airflow_m3_s"), Dimension::airflow);
    if (known.bound != result::Bound::exact) {
      return (known.bound == result::Bound::at_least ? "at least " : "at most ") + text;
    }
    return text + band(speed_at(speed, "/operating_point/airflow_band_m3_s"), Dimension::airflow);
  }

  /// The rules that the inspection sheet finds not met, by their titles; empty: none, or no sheet.
  [[nodiscard]] std::string rules_not_met() const {
    const study::ReviewResult* review = subjects_[index()].review;
    std::string first;
    std::vector<std::string> others;
    if (review != nullptr) {
      for (const rules::Judgement& one : review->judgements) {
        if (one.verdict != rules::Verdict::not_met) {
          continue;
        }
        if (first.empty()) {
          const std::string said = one.said.text(options_.system);
          first = one.rule->title + (said.empty() ? "" : ": " + said);
        } else {
          others.push_back(one.rule->title);
        }
      }
    }
    if (first.empty()) {
      return {};
    }
    const std::string more =
        others.empty()
            ? ""
            : fmt::format("; and {} more: {}", others.size(), base::joined(others, "and"));
    return fmt::format(
        "<p class=\"verdict not-met\"><strong>NOT MET</strong> by the inspection sheet: {}</p>",
        escaped(first + more));
  }

  /// The worst first: the verdict and the inspection sheet's.
  void verdict_part() {
    const document::Verdict verdict = document::verdict(result());
    const std::string broken = rules_not_met();
    const std::string found = fmt::format("<p class=\"verdict {}\"><strong>{}</strong> {}</p>",
                                          word(verdict.standing),
                                          verdict.mark(),
                                          escaped(verdict.text(options_.system)));
    const bool found_first = verdict.standing >= document::Standing::not_met || broken.empty();
    line(found_first ? found : broken);
    if (!broken.empty()) {
      line(found_first ? broken : found);
    }
  }

  void answer_part() {
    const study::CheckResult& of = result();
    std::string sentence;
    if (of.headline) {
      const result::SpeedResult& speed = of.speeds[*of.headline];
      sentence = speed.point.status == solve::Status::found
                     ? escaped(words::begun_speed(speed.name)) + " delivers " +
                           delivered(*of.headline) + "."
                     : escaped(words::answer(speed, options_.system));
    } else if (of.speeds.empty()) {
      sentence = "No fan is stated: below stands what the run asks of one.";
    } else {
      sentence = "Every speed is locked out: the appliance does not run as the layout has it.";
    }
    if (of.layout.fan && of.requirement) {
      sentence += " " + figure(check("/appliance/required_airflow_m3_s"), Dimension::airflow) +
                  " required: " + requirement_word(of) + ".";
    }
    line(fmt::format("<p class=\"answer\">{}</p>", sentence));
    const std::string most = costliest_words(of);
    const std::string spent = most == "-" ? "" : "Largest loss: " + most + ". ";
    paragraph(spent + "Findings: " + counted(of) + ".");
    const picture::PlotOptions wide{
        .system = options_.system, .width_px = kWidePx, .use = picture::PictureUse::page};
    picture(
        {.name = "answer",
         .title = "Delivered airflow",
         .caption = (of.headline ? words::answer(of.speeds[*of.headline], options_.system) + " "
                                 : std::string()) +
                    "Bar: delivered, with its band. Marks: what is required and what is rated."},
        [&](const PictureSize& size) {
          picture::PlotOptions options = wide;
          options.width_px = size.width_px;
          return picture::answer_svg(of, options, size.id);
        });
  }

  /// On paper the first page stands alone: what is worst is on it.
  void worst_part() {
    constexpr std::size_t kMost = 5;
    const auto& findings = result().findings;
    if (findings.empty()) {
      return;
    }
    // The first may stand in the verdict above.
    const std::string said = document::verdict(result()).text(options_.system);
    line("<ul class=\"on-paper\">");
    for (std::size_t i = 0; i < std::min(kMost, findings.size()); ++i) {
      if (findings[i].message.text(options_.system) == said) {
        continue;
      }
      line(fmt::format("<li><span class=\"level\">{}</span> {}</li>",
                       word(findings[i].level),
                       escaped(findings[i].message.text(options_.system))));
    }
    if (findings.size() > kMost) {
      line(fmt::format("<li>{} more findings below.</li>", findings.size() - kMost));
    }
    line("</ul>");
  }

  // --- pictures ------------------------------------------------------------------------------

  [[nodiscard]] picture::RoutePicture drawn(const PictureSize& size,
                                            picture::RouteView view) const {
    return picture::route_picture(result(),
                                  {.system = options_.system,
                                   .view = view,
                                   .width_px = size.width_px,
                                   .use = picture::PictureUse::page,
                                   .id = size.id});
  }

  [[nodiscard]] picture::RoutePicture makeup_drawn(const PictureSize& size) const {
    return picture::makeup_picture(result(),
                                   {.system = options_.system,
                                    .width_px = size.width_px,
                                    .use = picture::PictureUse::page,
                                    .id = size.id});
  }

  void route_part() {
    heading(0, "The route", id("route-heading"));
    const picture::RoutePicture sample =
        drawn({kWidePx, id("route-wide")}, picture::RouteView::isometric);
    picture({.name = "route",
             .title = sample.title,
             .caption = sample.reading + " Numbers are those of the ledger."},
            [&](const PictureSize& size) {
              return size.width_px == kWidePx ? sample.svg
                                              : drawn(size, picture::RouteView::isometric).svg;
            });
  }

  void makeup_route_part() {
    const picture::RoutePicture makeup = makeup_drawn({kWidePx, id("makeup-route-wide")});
    if (!makeup.svg.empty()) {
      heading(0, "The makeup air's route", id("makeup-route-heading"));
      picture({.name = "makeup-route",
               .title = makeup.title,
               .caption = "Makeup air: " + makeup.reading},
              [&](const PictureSize& size) { return makeup_drawn(size).svg; });
    }
  }

  void pressure_part() {
    const study::CheckResult& of = result();
    if (!of.ledger_speed || !of.speeds[*of.ledger_speed].ledger) {
      return;
    }
    heading(0, "Where the pressure goes", id("pressure-heading"));
    const auto plot = picture::pressure_plot(of, options_.system);
    plot_picture("pressure", plot);
    bars();
    ledger();
  }

  /// The ledger for a phone: a bar for each piece, its figures folded below it.
  void bars() {
    const study::CheckResult& of = result();
    const std::size_t speed = *of.ledger_speed;
    const auto& rows = of.speeds[speed].ledger->rows;
    const solve::LedgerRow* most = of.speeds[speed].ledger->costliest();
    line("<div class=\"bars\">");
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const solve::LedgerRow& row = rows[i];
      if (row.number < 0) {
        continue;
      }
      const auto in_row = [&](std::string_view key) {
        return speed_at(speed, fmt::format("/ledger/{}/{}", i, key));
      };
      line(
          fmt::format("<details{}><summary><span>{}</span> {}<span class=\"bar\" "
                      "style=\"width:{:.0f}%\"></span></summary>",
                      &row == most ? " class=\"most\"" : "",
                      escaped(words::row_name(row)),
                      figure(in_row("share"), Dimension::ratio),
                      100.0 * std::clamp(row.share, 0.0, 1.0)));
      std::string text = row.sections ? escaped(duct::to_text(*row.sections, system())) : "";
      const auto add = [&text](std::string_view name, const std::string& shown) {
        text += fmt::format("{}{} {}", text.empty() ? "" : "; ", name, shown);
      };
      if (row.length_m > 0.0) {
        add("length", figure(in_row("length_m"), Dimension::length));
      }
      add("loss", figure(in_row("loss_pa"), Dimension::pressure));
      add("velocity", figure(in_row("velocity_m_s"), Dimension::velocity));
      add("static pressure after it",
          figure(in_row("static_pressure_after_pa"), Dimension::pressure));
      line(fmt::format("<p>{}</p></details>", text));
    }
    line("</div>");
  }

  void ledger() {
    const std::size_t speed = *result().ledger_speed;
    const solve::Ledger& ledger = *result().speeds[speed].ledger;
    std::vector<LedgerLine> lines;
    for (std::size_t i = 0; i < ledger.rows.size(); ++i) {
      lines.push_back({ledger.rows[i], speed_at(speed, fmt::format("/ledger/{}", i)), {}});
    }
    ledger_table(*this,
                 fmt::format("Ledger of {} at {}",
                             words::spoken_speed(result().speeds[speed].name),
                             show(ledger.airflow_m3_s, Dimension::airflow)),
                 lines,
                 ledger.costliest());
    ledger_remarks(*this, lines);
  }

  void curves_part() {
    const auto plot = picture::curves_plot(result(), options_.system);
    if (!plot && result().speeds.empty()) {
      return;
    }
    heading(0, "Fan and run", id("curves-heading"));
    plot_picture("curves", plot);
    speeds();
    resistance();
  }

  void speeds() {
    const study::CheckResult& of = result();
    if (of.speeds.empty()) {
      return;
    }
    table_begin("Each speed",
                {{"speed", false},
                 {"delivers", false},
                 {"static pressure", true},
                 {"at the collar", true},
                 {"of rated", true},
                 {"rated", true}});
    for (std::size_t i = 0; i < of.speeds.size(); ++i) {
      const result::SpeedResult& speed = of.speeds[i];
      row_begin(speed.locked_out ? "aside" : "");
      row_head(escaped(speed.name) + (speed.locked_out ? ", locked out" : ""));
      cell("delivers", delivered(i));
      number_cell("static pressure",
                  figure(speed_at(i, "/operating_point/static_pressure_pa"), Dimension::pressure));
      number_cell(
          "at the collar",
          figure(speed_at(i, "/operating_point/collar_static_pressure_pa"), Dimension::pressure));
      number_cell("of rated", figure(speed_at(i, "/share_of_rated"), Dimension::ratio));
      number_cell("rated", figure(speed_at(i, "/rated_airflow_m3_s"), Dimension::airflow));
      row_end();
    }
    table_end();
  }

  void resistance() {
    const study::CheckResult& of = result();
    if (of.resistance.empty()) {
      return;
    }
    table_begin("What the run asks of a fan",
                {{"airflow", false}, {"static pressure", true}, {"total pressure", true}});
    for (std::size_t i = 0; i < of.resistance.size(); ++i) {
      const auto in_row = [&](std::string_view key) {
        return check(fmt::format("/resistance/{}/{}", i, key));
      };
      row_begin(of.resistance[i].at_required ? "most" : "");
      row_head(figure(in_row("airflow_m3_s"), Dimension::airflow) +
               (of.resistance[i].at_required          ? ", required"
                : of.resistance[i].at_rating_pressure ? ", usual rating pressure"
                                                      : ""));
      number_cell("static pressure", figure(in_row("static_pressure_pa"), Dimension::pressure));
      number_cell("total pressure", figure(in_row("total_pressure_pa"), Dimension::pressure));
      row_end();
    }
    table_end();
  }

  void findings_part() {
    heading(0, "Findings", id("findings-heading"));
    const auto& findings = result().findings;
    if (findings.empty()) {
      line("<p>Nothing to object to among what was checked.</p>");
    }
    for (const findings::Finding& finding : findings) {
      line(fmt::format("<section class=\"finding {}\">", word(finding.level)));
      line(fmt::format("<p><span class=\"level\">{}</span> {}</p>",
                       word(finding.level),
                       escaped(finding.message.text(options_.system))));
      if (!finding.why.empty()) {
        line(fmt::format("<p>{}</p>", escaped(finding.why.text(options_.system))));
      }
      if (!finding.remedy.empty()) {
        line(fmt::format("<p>Remedy: {}</p>", escaped(finding.remedy.text(options_.system))));
      }
      std::string where =
          finding.span.line > 0 ? fmt::format("line {}, ", finding.span.line) : std::string();
      where += finding.code;
      if (!finding.source.empty()) {
        where += "; " + finding.source;
      }
      line(fmt::format("<p class=\"where\">{}</p></section>", escaped(where)));
    }
  }

  void parts_part() {
    const ReportSubject& of = subjects_[index()];
    if (of.parts != nullptr) {
      parts_section(*this, *of.parts);
    } else if (!of.parts_missing.empty()) {
      heading(0, "Parts", id("parts-heading"));
      paragraph("No bill can be made: " + of.parts_missing + ".");
    }
  }

  // --- the end -------------------------------------------------------------------------------

  void sources_part() {
    const Json& sources = at(check("/sources"));
    if (sources.empty()) {
      return;
    }
    heading(0, "Sources", id("sources-heading"));
    table_begin("Where the figures of the ledger come from",
                {{"source", false}, {"status", false}, {"used for", false}});
    for (const Json& one : sources) {
      const auto key = one.at("source").get<std::string>();
      const auto known = fitting::Catalogue::built_in().source(key);
      std::string text = escaped(key);
      if (known) {
        text = escaped(known->title);
        for (const std::string& more : {known->author, known->edition}) {
          text += more.empty() ? "" : ", " + escaped(more);
        }
        text += fmt::format(" <span class=\"quiet\">({})</span>", escaped(key));
      }
      std::vector<std::string> used;
      for (const Json& entry : one.at("entries")) {
        if (entry.is_string() && !entry.get<std::string>().empty()) {
          used.push_back(entry.get<std::string>());
        }
      }
      row_begin();
      row_head(text);
      cell("status",
           one.at("status").is_string() ? escaped(one.at("status").get<std::string>()) : "");
      cell("used for", escaped(base::joined(used, "and")));
      row_end();
    }
    table_end();
  }

  void assumptions_part() {
    const layout::Layout& of = result().layout;
    if (of.defaults.empty() && of.remarks.empty()) {
      return;
    }
    heading(0, "Assumptions", id("assumptions-heading"));
    for (const units::Message& remark : of.remarks) {
      line(fmt::format("<p>{}</p>", escaped(remark.text(system()))));
    }
    if (!of.defaults.empty()) {
      table_begin("Assumed, since the layout does not state it",
                  {{"what", false}, {"value", false}});
      for (const layout::DefaultTaken& taken : of.defaults) {
        row_begin();
        row_head(escaped(taken.what));
        cell("value", escaped(taken.value));
        row_end();
      }
      table_end();
    }
  }

  void cautions_part() {
    if (result().cautions.empty()) {
      return;
    }
    heading(0, "Before and after work", id("cautions-heading"));
    line("<ul>");
    for (const std::string& caution : result().cautions) {
      line(fmt::format("<li>{}</li>", escaped(caution)));
    }
    line("</ul>");
  }

  void record_part() {
    const layout::Layout& of = result().layout;
    heading(0, "Record", id("record-heading"));
    line("<dl>");
    const auto entry = [&](std::string_view term, const std::string& html) {
      line(fmt::format("<dt>{}</dt><dd>{}</dd>", escaped(term), html));
    };
    entry("layout file", escaped(of.file));
    entry("its sha256", escaped(of.sha256));
    entry("catalogue", escaped(result().catalogue_hash));
    entry("program", escaped("ductledger " + options_.record.tool_version));
    entry("air in the duct", figure(check("/air/density_kg_m3"), Dimension::density));
    if (at(check("/air/outdoor_density_kg_m3")).is_number()) {
      entry("air outdoors", figure(check("/air/outdoor_density_kg_m3"), Dimension::density));
    }
    if (at(check("/air/stack_pa")).is_number()) {
      entry("stack", figure(check("/air/stack_pa"), Dimension::pressure));
    }
    entry("wind at the cap", figure(check("/air/wind_pa"), Dimension::pressure));
    line("</dl>");
  }

  std::span<const ReportSubject> subjects_;
  const ReportOptions& options_;
};

}  // namespace

nlohmann::ordered_json report_document(std::span<const ReportSubject> subjects,
                                       const ReportOptions& options) {
  Json document = {{"format", "ductledger.report/1"},
                   {"tool_version", options.record.tool_version},
                   {"results", Json::array()}};
  document["parts"] = Json::array();
  document["reviews"] = Json::array();
  for (const ReportSubject& subject : subjects) {
    document["results"].push_back(*subject.document);
    document["parts"].push_back(subject.parts != nullptr
                                    ? document::parts_document(*subject.parts, options.record)
                                    : Json(nullptr));
    document["reviews"].push_back(subject.review != nullptr
                                      ? document::review_document(*subject.review, options.record)
                                      : Json(nullptr));
  }
  document["comparison"] = options.comparison != nullptr
                               ? document::compare_document(*options.comparison, options.record)
                               : Json(nullptr);
  return document;
}

std::string report_html(std::span<const ReportSubject> subjects, const ReportOptions& options) {
  DUCTLEDGER_EXPECTS(!subjects.empty());
  return Writer(subjects, options).page();
}

ReportFragments report_fragments(const ReportSubject& subject, const ReportOptions& options) {
  return Writer({&subject, 1}, options).fragments();
}

std::string comparison_fragment(const study::Comparison& comparison,
                                units::System system,
                                const document::Record& record) {
  HtmlPage page({{"comparison", document::compare_document(comparison, record)}}, system);
  page.heading_level(3);
  comparison_section(page, comparison);
  return page.take();
}

const std::vector<std::string>& picture_names() {
  static const std::vector<std::string> names{
      "route", "plan", "elevation", "curves", "pressure", "answer"};
  return names;
}

std::string picture_svg(const study::CheckResult& result, const PictureWanted& wanted) {
  const auto route = [&](picture::RouteView view) {
    return picture::route_picture(result, {.system = wanted.system, .view = view}).svg;
  };
  const auto plotted = [&](const std::optional<picture::Plot>& plot) {
    return plot ? picture::plot_svg(*plot, {.system = wanted.system}) : std::string();
  };
  if (wanted.name == "route") {
    return route(picture::RouteView::isometric);
  }
  if (wanted.name == "plan" || wanted.name == "elevation") {
    return result.route ? route(wanted.name == "plan" ? picture::RouteView::plan
                                                      : picture::RouteView::elevation)
                        : std::string();
  }
  if (wanted.name == "curves") {
    return plotted(picture::curves_plot(result, wanted.system));
  }
  if (wanted.name == "pressure") {
    return plotted(picture::pressure_plot(result, wanted.system));
  }
  return picture::answer_svg(result, {.system = wanted.system}, "answer");
}

}  // namespace ductledger::html
